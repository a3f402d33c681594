"""Shops that each describe some skis and state something of them, for tests of like skis."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from apps.registry.actors import Actor
from tests.registry.making import DAY, a_draft, a_shop, write

SCREE: dict[str, Any] = {
    "maker_text": "Corvid",
    "model_text": "Scree 84",
    "model_year": 2019,
    "length_mm": 1720,
    "construction": "sandwich",
    "use": "piste",
    "waist_width_mm": "84.0",
}
CODES = ("fellbench", "tarnedge", "beckside", "cragfoot", "moorhead")


def shops(count: int) -> list[Actor]:
    """Add shops, the same ones each time."""
    return [a_shop(code) for code in CODES[:count]]


def described(by: Actor, tag: str, **changed: Any) -> str:
    """Register a ski with the model's description, some of it changed; gives its key."""
    body = {name: value for name, value in {**SCREE, **changed}.items() if value is not None}
    write(by, a_draft("description", shop=code_of(by), tag=tag, body=body), registers=True)
    return f"{by.handle}/{tag}"


def code_of(by: Actor) -> str:
    """The shop's part of its handle."""
    return by.handle.partition("@")[0]


def set_bevels(
    by: Actor, tag: str, base: str, side: str = "2.00", *, day: str = DAY, **more: Any
) -> str:
    """State the bevels of both edges; gives the record's id."""
    body = {
        "edge": "both",
        "base_bevel_deg": base,
        "side_bevel_deg": side,
        "basis": "set",
        **more,
    }
    draft = a_draft("bevel-setting", shop=code_of(by), tag=tag, body=body, performed_at=day)
    (appended,) = write(by, draft)
    return appended.record_id


def one_ski_each(actors: Iterable[Actor], *bases: str) -> None:
    """Give each shop one ski of the model and a base bevel that it set."""
    for by, base in zip(actors, bases, strict=True):
        described(by, "L-1")
        set_bevels(by, "L-1", base)
