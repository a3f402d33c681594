"""The views, by subject; each finds, checks, validates, calls one thing and renders."""
