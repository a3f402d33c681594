"""Carries records between shops and nodes."""
