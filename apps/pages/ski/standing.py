"""What is set on each edge and whether it stands, as the page says it first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.numbers import Unit, degrees, length
from apps.pages.places import stretch_text
from apps.pages.sentences import standing_sentence
from apps.pages.ski.names import Mention, Mentions
from apps.pages.words import word
from apps.tuning.condition import Condition
from apps.tuning.history import Edge
from apps.tuning.standing import BevelNow, EdgeBevels, Face, Standing, StatedBevel

# What needs a hand comes before what nobody knows, and that before what is well.
WORST_FIRST: tuple[Standing, ...] = (
    "ground_away",
    "uncertain",
    "partly_ground_away",
    "never_stated",
    "stands",
)
HOLDING: frozenset[Standing] = frozenset({"stands", "partly_ground_away"})
HEADLINES: Mapping[Standing, Promise] = {
    "ground_away": gettext_lazy("What was set no longer stands: some of it was ground away."),
    "uncertain": gettext_lazy("Nobody can say whether all that was set still stands."),
    "partly_ground_away": gettext_lazy("What was set is partly ground away."),
    "never_stated": gettext_lazy("Not every bevel of this ski was ever stated."),
    "stands": gettext_lazy("What was set stands."),
}
NOTHING_STATED = gettext_lazy("Nobody ever stated a bevel of this ski.")
# By the worst of a face: where all of it is so, and where only some of it is.
FACE_LINES: Mapping[tuple[Face, Standing], tuple[Promise, Promise]] = {
    ("base", "ground_away"): (
        gettext_lazy("The base bevels are ground away."),
        gettext_lazy("Some of the base bevels are ground away."),
    ),
    ("base", "uncertain"): (
        gettext_lazy("Nobody can say whether the base bevels still stand."),
        gettext_lazy("Nobody can say whether all base bevels still stand."),
    ),
    ("base", "partly_ground_away"): (
        gettext_lazy("The base bevels are partly ground away."),
        gettext_lazy("Some of the base bevels are partly ground away."),
    ),
    ("base", "never_stated"): (
        gettext_lazy("Nobody ever stated the base bevels."),
        gettext_lazy("Not every base bevel was ever stated."),
    ),
    ("base", "stands"): 2 * (gettext_lazy("The base bevels stand."),),
    ("side", "ground_away"): (
        gettext_lazy("The side bevels are ground away."),
        gettext_lazy("Some of the side bevels are ground away."),
    ),
    ("side", "uncertain"): (
        gettext_lazy("Nobody can say whether the side bevels still stand."),
        gettext_lazy("Nobody can say whether all side bevels still stand."),
    ),
    ("side", "partly_ground_away"): (
        gettext_lazy("The side bevels are partly ground away."),
        gettext_lazy("Some of the side bevels are partly ground away."),
    ),
    ("side", "never_stated"): (
        gettext_lazy("Nobody ever stated the side bevels."),
        gettext_lazy("Not every side bevel was ever stated."),
    ),
    ("side", "stands"): 2 * (gettext_lazy("The side bevels stand."),),
}
FACES: Mapping[Face, Promise] = {
    "base": gettext_lazy("Base bevel"),
    "side": gettext_lazy("Side bevel"),
}


@dataclass(frozen=True, slots=True)
class BevelShown:
    """One bevel as the page shows it.

    Parameters
    ----------
    name : str
        Base bevel or side bevel.
    stretch : str
        Which stretch of the edge; "" for the whole of it.
    figure : str
        The bevel now; "" where it isn't known, however often one was set.
    uncertainty : str
        Of the figure; "" without one.
    assumed : bool
        Whether practice stands in for the uncertainty.
    standing, sentence : str
        In a few words, and with the reason; no reason where nobody stated any.
    basis : str
        Whether it was set or measured; "" where nobody stated any.
    facet : str
        Width of the facet left; "" where it can't be told.
    facet_assumed : bool
        Whether practice stands in for it.
    stated, changed : Mention or None
        Who stated it, and the record that made the standing what it is.
    """

    name: str
    stretch: str
    figure: str
    uncertainty: str
    assumed: bool
    standing: str
    sentence: str
    basis: str
    facet: str
    facet_assumed: bool
    stated: Mention | None
    changed: Mention | None


@dataclass(frozen=True, slots=True)
class SpecifiedShown:
    """A bevel that the maker specified, which says nothing of the ski now."""

    name: str
    figure: str
    mention: Mention | None


@dataclass(frozen=True, slots=True)
class EdgeShown:
    """One edge: its bevels, the whole edge first, and what the maker specified."""

    edge: Edge
    name: str
    bevels: tuple[BevelShown, ...]
    specified: tuple[SpecifiedShown, ...]


@dataclass(frozen=True, slots=True)
class SetNow:
    """What is set: the answer in short, then edge by edge."""

    headline: str
    edges: tuple[EdgeShown, ...]


def set_now(condition: Condition, mentions: Mentions, unit: Unit) -> SetNow:
    """Say what is set and whether it stands."""
    showing = _Showing(mentions, unit)
    edges = tuple(showing.edge(one) for one in condition.bevels)
    return SetNow(headline(condition.bevels), edges)


def headline(edges: Iterable[EdgeBevels]) -> str:
    """Give the answer that a person reads first: one sentence, or one for each face."""
    kept = tuple(edges)
    found: dict[Face, set[Standing]] = {
        "side": {bevel.standing for edge in kept for bevel in edge.side},
        "base": {bevel.standing for edge in kept for bevel in edge.base},
    }
    if found["side"] | found["base"] == {"never_stated"}:
        return str(NOTHING_STATED)
    worst = {face: _worst(standings) for face, standings in found.items()}
    if worst["side"] == worst["base"]:
        return str(HEADLINES[worst["side"]])
    return " ".join(
        str(FACE_LINES[face, worst[face]][len(standings) > 1]) for face, standings in found.items()
    )


def _worst(found: set[Standing]) -> Standing:
    return next(standing for standing in WORST_FIRST if standing in found)


def _says_no_more(now: BevelNow) -> bool:
    """Say whether the sentence would only repeat that nobody stated the bevel."""
    return now.standing == "never_stated" and now.since_day is None and not now.doubtful_places


@dataclass(frozen=True, slots=True)
class _Showing:
    mentions: Mentions
    unit: Unit

    def edge(self, edge: EdgeBevels) -> EdgeShown:
        bevels = tuple(self._bevel(one) for one in (*edge.base, *edge.side))
        return EdgeShown(edge.edge, word("edge", edge.edge), bevels, tuple(self._specified(edge)))

    def _bevel(self, now: BevelNow) -> BevelShown:
        stated = now.stated
        holds = stated is not None and now.standing in HOLDING
        facet = now.facet
        return BevelShown(
            name=str(FACES[now.face]),
            stretch=stretch_text(now.station_from_mm, now.station_to_mm),
            figure=degrees(stated.bevel_deg) if stated and holds else "",
            uncertainty=degrees(stated.expanded_uncertainty_deg) if stated and holds else "",
            assumed=stated is not None and stated.uncertainty_assumed,
            standing=word("standing", now.standing),
            sentence="" if _says_no_more(now) else standing_sentence(now, self.unit),
            basis="" if stated is None else word("basis", stated.basis),
            facet="" if facet is None else length(facet.value_mm, self.unit),
            facet_assumed=facet is not None and facet.basis == "practice",
            stated=None if stated is None else self.mentions.of(stated.record),
            changed=None if now.since is None else self.mentions.of(now.since),
        )

    def _specified(self, edge: EdgeBevels) -> Iterator[SpecifiedShown]:
        faces: tuple[tuple[Face, tuple[StatedBevel, ...]], ...] = (
            ("base", edge.specified_base),
            ("side", edge.specified_side),
        )
        for face, stated in faces:
            for one in stated:
                yield SpecifiedShown(
                    self._named(face, one), degrees(one.bevel_deg), self.mentions.of(one.record)
                )

    def _named(self, face: Face, one: StatedBevel) -> str:
        stretch = stretch_text(one.station_from_mm, one.station_to_mm)
        if not stretch:
            return str(FACES[face])
        return _("%(bevel)s, %(stretch)s") % {"bevel": FACES[face], "stretch": stretch}
