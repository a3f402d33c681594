"""What is told of a bevel: whether it still stands, since when, and what that rests on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from apps.tuning.figures import Length
from apps.tuning.history import Basis, Edge, Place

Face = Literal["base", "side"]
Standing = Literal["stands", "partly_ground_away", "ground_away", "uncertain", "never_stated"]


@dataclass(frozen=True, slots=True)
class StatedBevel:
    """A bevel as a record states it.

    Attributes
    ----------
    bevel_deg : float
        From square [deg].
    expanded_uncertainty_deg : float
        k = 2 [deg].
    uncertainty_assumed : bool
        True where the record states none and the shop's practice stands in.
    basis : {"set", "measured", "specified"}
        Whether a bench set it, measured it, or the maker specified it.
    record : str
        Id of the record.
    day : date
        Day of the record.
    instrument : str or None
        As recorded.
    station_from_mm, station_to_mm : int or None
        Range it speaks of [mm from the tail]; both None for the whole edge.
    """

    bevel_deg: float
    expanded_uncertainty_deg: float
    uncertainty_assumed: bool
    basis: Basis
    record: str
    day: date
    instrument: str | None = None
    station_from_mm: int | None = None
    station_to_mm: int | None = None


@dataclass(frozen=True, slots=True)
class DoubtfulPlace:
    """A place where work since makes the bevel unknown while the rest of it is as told."""

    place: Place
    record: str


@dataclass(frozen=True, slots=True)
class BevelNow:
    """One bevel of one edge, for the whole edge or one range of it.

    Attributes
    ----------
    edge : {"left", "right"}
        Seen from above, tip forward.
    face : {"base", "side"}
        Which bevel.
    station_from_mm, station_to_mm : int or None
        Range [mm from the tail]; both None for the whole edge.
    standing : str
        "stands", "partly_ground_away", "ground_away", "uncertain" (worked since, to an unknown
        depth or bevel) or "never_stated".
    stated : StatedBevel or None
        What was last set or measured; it is the bevel now where it stands or is partly ground
        away.
    facet : Length or None
        Width of the base facet left; its basis is "practice" where nobody measured the facet.
        None for a side, a base bevel of 0, and where it can't be told.
    since : str or None
        Record that made the standing what it is.
    since_day : date or None
        Day of that record.
    sentence : str
        The standing for a person, with the reason.
    doubtful_places : tuple of DoubtfulPlace
        Places worked on their own since.
    rests_on : tuple of str
        Records behind the standing.
    """

    edge: Edge
    face: Face
    station_from_mm: int | None
    station_to_mm: int | None
    standing: Standing
    stated: StatedBevel | None
    facet: Length | None
    since: str | None
    since_day: date | None
    sentence: str
    doubtful_places: tuple[DoubtfulPlace, ...]
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EdgeBevels:
    """Both bevels of one edge.

    Attributes
    ----------
    edge : {"left", "right"}
        Seen from above, tip forward.
    base, side : tuple of BevelNow
        The whole edge first, always there, then ranges stated on their own, from the tail.
        Where ranges overlap the later record holds.
    specified_base, specified_side : tuple of StatedBevel
        What the maker specified, never the bevel now.
    """

    edge: Edge
    base: tuple[BevelNow, ...]
    side: tuple[BevelNow, ...]
    specified_base: tuple[StatedBevel, ...] = ()
    specified_side: tuple[StatedBevel, ...] = ()

    @property
    def base_bevel(self) -> BevelNow:
        """The base bevel of the whole edge."""
        return self.base[0]

    @property
    def side_bevel(self) -> BevelNow:
        """The side bevel of the whole edge."""
        return self.side[0]
