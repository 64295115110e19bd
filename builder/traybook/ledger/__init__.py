"""Which sowing a line means, and what its words count as."""
