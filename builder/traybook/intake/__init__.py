"""Tables and text from elsewhere in, entry lines out: no disk, no markup."""
