"""The fixed CSV tables."""
