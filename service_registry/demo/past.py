"""Sums up a ski's history, as the API answers it, winter by winter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from service_registry.demo.seasons import Season


@dataclass(slots=True)
class Winter:
    """What one winter did to a ski."""

    days: int = 0
    visits: int = 0
    grinds: int = 0
    filled: int = 0
    last_heights: dict[str, str] = field(default_factory=dict)

    def add(self, stated: Mapping[str, Any]) -> None:
        """Count what one record in effect states."""
        body = stated["body"]
        if stated["kind"] == "usage":
            self.days += body["days"]
        if stated["kind"] != "job":
            return
        steps = [step["operation"] for step in body.get("steps", [])]
        self.visits += 1
        self.grinds += steps.count("stone_grind")
        self.filled += steps.count("fill_gouge")
        for reading in body.get("measurements", []):
            if reading["quantity"] == "edge_height_mm":
                text = f"{reading['value']} +-{reading['uncertainty']}"
                self.last_heights[reading["edge"]] = text

    @property
    def sentence(self) -> str:
        """Say it in a line."""
        heights = [f"{edge} {text}" for edge, text in sorted(self.last_heights.items())]
        read = f"; edge height last read {', '.join(heights)} mm" if heights else ""
        return (
            f"{self.days} days out, {self.visits} visits, {self.grinds} grinds, "
            f"{self.filled} gouges filled{read}"
        )


def stated(item: Mapping[str, Any]) -> Mapping[str, Any] | None:
    """Give what counts of an item of a history; None for what was taken back."""
    if item["state"] not in {"stands", "corrected"}:
        return None
    counts: Mapping[str, Any] = item.get("effective") or item["record"]
    return counts


def winters(items: Iterable[Mapping[str, Any]]) -> Iterator[tuple[Season, Winter]]:
    """Sum up the items of a history, the oldest winter first."""
    found: dict[Season, Winter] = {}
    for item in items:
        counts = stated(item)
        if counts is not None:
            season = Season.of(date.fromisoformat(counts["performed_at"][:10]))
            found.setdefault(season, Winter()).add(counts)
    yield from sorted(found.items(), key=lambda pair: pair[0].first_year)
