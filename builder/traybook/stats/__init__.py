"""Statistics that know numbers only and say where each formula comes from."""
