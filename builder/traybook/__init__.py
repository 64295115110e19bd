"""Dated entries of a cut-flower grower -> figures -> a read-only site and CSV."""
