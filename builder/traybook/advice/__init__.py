"""What to do next: figures and facts turned into dated things to do."""
