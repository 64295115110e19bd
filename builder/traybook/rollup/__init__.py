"""Figures of a sowing, a kind and a season, added up from the ledger."""
