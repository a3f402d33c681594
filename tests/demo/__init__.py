"""Tests of the demo's scenario, its loading, its story and its command."""
