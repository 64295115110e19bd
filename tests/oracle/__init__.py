"""A second, slow and plain implementation of the figures, used only to check the first one."""
