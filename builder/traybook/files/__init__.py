"""The only code that touches the disk or the clock."""
