"""Characters and places: a grower's text, where each piece of it stands, and how it splits."""
