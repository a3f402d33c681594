"""Where on a ski something is, in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from django.utils.translation import gettext as _

from apps.pages.words import word


class Placed(Protocol):
    """What says where on a ski it is, in one way or several."""

    @property
    def edge(self) -> str | None:
        """The edge."""

    @property
    def surface(self) -> str | None:
        """The surface."""

    @property
    def station(self) -> str | None:
        """The named place along the ski."""

    @property
    def position_mm(self) -> int | None:
        """Distance from the tail [mm]."""


def place_text(place: Placed | None) -> str:
    """List where something is, the widest word first; "" where nobody said."""
    return "" if place is None else ", ".join(_terms(place))


def _terms(place: Placed) -> Iterator[str]:
    for kind in ("surface", "edge", "station"):
        value = getattr(place, kind)
        if value is not None:
            yield word(kind, str(value))
    if place.position_mm is not None:
        yield _along(place.position_mm, getattr(place, "length_mm", None))


def _along(position_mm: int, length_mm: int | None) -> str:
    if length_mm is None:
        return _("%(position)d mm from the tail") % {"position": position_mm}
    return stretch_text(position_mm, position_mm + length_mm)


def stretch_text(start_mm: int | None, end_mm: int | None) -> str:
    """Say which stretch of the ski is meant; "" for the whole of it."""
    if start_mm is None or end_mm is None:
        return ""
    return _("%(start)d to %(end)d mm from the tail") % {"start": start_mm, "end": end_mm}
