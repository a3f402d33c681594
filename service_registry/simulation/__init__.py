"""Fleets of known truth, and how often the intervals that benches are shown hold it."""
