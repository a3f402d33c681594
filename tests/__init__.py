"""Tests, one folder a room; ``python -m tests`` runs them on both databases."""
