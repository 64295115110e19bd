"""Typed records: the one table of verbs and fields, the reader, the settings and the Book."""
