"""The traybook command."""
