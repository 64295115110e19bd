"""The one door to MkDocs: the plugin, and building a site into a fresh folder."""
