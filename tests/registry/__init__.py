"""Tests of the room ``apps.registry``."""
