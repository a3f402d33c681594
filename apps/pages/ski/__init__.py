"""The page of one ski, its certificate, and what a buyer sees of it."""
