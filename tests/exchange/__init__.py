"""Tests of the exchange room."""
