"""REST over the registry: find, check, validate, call, render."""
