"""What each operation does to the geometry: which bevels and which material it disturbs."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Effect:
    """Which faces an operation works.

    ``base_plane``: takes base and steel off the whole running surface, as a grind does.
    ``base_shape``: brings a part of the running surface to another level, so that a profile taken
    there before no longer holds; no bevel is lost by it.
    ``base_facet`` and ``side``: works the base-side or the side face of the named edges.
    ``new_edge``: the edge was replaced, so its past readings and bevels no longer speak of it.
    """

    base_plane: bool = False
    base_shape: bool = False
    base_facet: bool = False
    side: bool = False
    new_edge: bool = False


NO_EFFECT = Effect()

# Deburring, polishing and stoning off a hardened spot follow the face that is there: they don't
# count as working the side anew, though they take a little steel.
EFFECTS: dict[str, Effect] = {
    "file_flat": Effect(base_plane=True),
    "stone_grind": Effect(base_plane=True),
    "belt_grind": Effect(base_plane=True),
    "structure": Effect(base_plane=True),
    "scrape_steel": Effect(base_shape=True),
    "spot_flatten": Effect(base_shape=True),
    "base_bevel": Effect(base_facet=True),
    "side_bevel": Effect(side=True),
    "replace_edge": Effect(base_facet=True, side=True, new_edge=True),
}


def effect_of(operation: str) -> Effect:
    """The effect of an operation; an operation that is not listed disturbs neither face."""
    return EFFECTS.get(operation, NO_EFFECT)
