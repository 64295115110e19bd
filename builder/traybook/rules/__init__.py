"""Findings that need more than one record; a rule may only doubt."""
