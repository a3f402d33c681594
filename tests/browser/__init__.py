"""The pages of a real node in a real browser."""
