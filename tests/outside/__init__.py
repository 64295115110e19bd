"""Published data as day files, and figures worked out apart from the package."""
