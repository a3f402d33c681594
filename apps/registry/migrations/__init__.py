"""Changes to the tables, one a step; each can be taken back."""
