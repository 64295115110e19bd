"""Pages as frozen values: everything worded, nothing marked up."""
