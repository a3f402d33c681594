"""Tests of the running node: its settings and its command line."""
