"""Text that comes in by commands, phones and messages, turned into entry lines."""
