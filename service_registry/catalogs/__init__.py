"""Catalogs of translations: what the pages say, gathered from the code, written and held to it."""
