"""Tests of the room ``apps.tuning``."""
