"""A second reader of the open format, written from docs/format alone, and what it checks."""
