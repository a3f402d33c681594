"""What a ski is by all its descriptions; the registry lays them over each other."""

from __future__ import annotations

from apps.registry.descriptions import Described, described

__all__ = ["Described", "described"]
