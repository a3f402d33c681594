"""Tests of the page of one ski, its certificate, and what a buyer sees."""
