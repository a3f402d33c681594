"""Tests of the room ``apps.api``."""
