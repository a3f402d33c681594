"""Tests of the room ``apps.records``."""
