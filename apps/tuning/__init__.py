"""Bench arithmetic: pure functions over plain numbers and frozen dataclasses."""
