"""Pages into HTML, by our own templates."""
