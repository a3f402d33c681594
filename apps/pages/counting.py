"""Counts how often something happens in a stretch of time, in the memory of each worker."""

from __future__ import annotations

from django.core.cache import cache


def counted(key: str, period_s: int) -> int:
    """Count once more, and give how often it was since the first time of the period [s]."""
    cache.add(key, 0, period_s)
    try:
        return cache.incr(key)
    except ValueError:  # It ran out between the two calls.
        cache.set(key, 1, period_s)
        return 1
