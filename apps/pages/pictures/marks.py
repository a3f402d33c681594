"""What a map of a ski shows: open damage, mended damage, and work at one place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from apps.pages.places import place_text
from apps.pages.words import word
from apps.tuning.condition import OpenFinding
from apps.tuning.history import Place, Visit

MarkKind = Literal["open", "mended", "work"]

REPAIRS = frozenset(
    {
        "spot_flatten",
        "fill_gouge",
        "patch_base",
        "recut_groove",
        "remove_hardened_spot",
        "remove_rust",
        "detune",
        "replace_edge",
        "refix_edge",
        "repair_delamination",
    }
)
"""Operations that leave something to be seen on a map; the others belong to a whole service."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing on the map.

    Attributes
    ----------
    kind : {"open", "mended", "work"}
        Left open, repaired in its visit, or a repair that names no damage.
    place : Place
        As recorded; what it leaves out is not guessed.
    words : str
        What it is and when, in the page's language.
    record : str
        Id of the record that says so.
    """

    kind: MarkKind
    place: Place
    words: str
    record: str

    @property
    def where(self) -> str:
        """Its place in words."""
        return place_text(self.place) or _("no place on record")


def marks_of(still_open: Iterable[OpenFinding], visits: Iterable[Visit]) -> tuple[Mark, ...]:
    """Everything a map shows, open damage first and then in order of time.

    Parameters
    ----------
    still_open : iterable of OpenFinding
        `Condition.open_findings`.
    visits : iterable of Visit
        The history in order of time, for what was mended.
    """
    found = [_open(one) for one in still_open]
    for visit in visits:
        found += _mended(visit)
        found += _work(visit)
    return tuple(found)


def _open(one: OpenFinding) -> Mark:
    parts = {
        "what": word("finding", one.finding.what),
        "severity": word("severity", one.finding.severity),
        "day": date_format(one.day),
    }
    words = _("%(what)s, %(severity)s, open since %(day)s") % parts
    return Mark("open", one.finding.place, words, one.finding.key.record)


def _mended(visit: Visit) -> Iterator[Mark]:
    for finding in visit.findings:
        if not finding.open:
            parts = {"what": word("finding", finding.what), "day": date_format(visit.day)}
            words = _("%(what)s, repaired on %(day)s") % parts
            yield Mark("mended", finding.place, words, visit.record)


def _work(visit: Visit) -> Iterator[Mark]:
    mended = [finding.place for finding in visit.findings if not finding.open]
    for step in visit.steps:
        if step.operation in REPAIRS and step.place != Place() and step.place not in mended:
            parts = {"what": word("operation", step.operation), "day": date_format(visit.day)}
            yield Mark("work", step.place, _("%(what)s, on %(day)s") % parts, visit.record)
