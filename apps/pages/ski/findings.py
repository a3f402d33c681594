"""Findings and repairs of a ski, numbered as its map is: those that are open first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.text import capfirst

from apps.pages.pictures.picture import Picture, Row
from apps.pages.places import place_text
from apps.pages.ski.drawings import drawn_map, marks_on
from apps.pages.ski.lines import size_text
from apps.pages.ski.names import Mention, Mentions
from apps.pages.ski.said import said
from apps.pages.ski.viewer import Viewer
from apps.pages.words import word
from apps.records import finding as recorded
from apps.records.folding import Folded
from apps.registry.sight import Sight
from apps.registry.visits import parts_of
from apps.tuning.history import FindingKey

FEW_MARKS = 8


@dataclass(frozen=True, slots=True)
class OpenShown:
    """A finding that nobody has closed.

    Parameters
    ----------
    number : int
        Of its mark on the map.
    what, where, size, severity : str
        In words; `where` and `size` are "" where nobody said.
    remarks : str
        "" for a buyer.
    mention : Mention
        The visit that found it.
    """

    number: int
    what: str
    where: str
    size: str
    severity: str
    remarks: str
    mention: Mention | None


@dataclass(frozen=True, slots=True)
class MarkShown:
    """One mark of the map in words, and the visit behind it."""

    row: Row
    mention: Mention | None


@dataclass(frozen=True, slots=True)
class FindingsNow:
    """What is open, and the map with every mark in words.

    Parameters
    ----------
    open : tuple of OpenShown
        In order of time.
    marks : tuple of MarkShown
        As they are numbered.
    outline : tuple of Row
        What the outline rests on.
    map : Picture
    """

    open: tuple[OpenShown, ...]
    marks: tuple[MarkShown, ...]
    outline: tuple[Row, ...]
    map: Picture

    @property
    def count(self) -> int:
        """How many findings are open."""
        return len(self.open)

    @property
    def few(self) -> bool:
        """Whether the marks are few enough to be listed without being asked for."""
        return len(self.marks) <= FEW_MARKS


def findings_now(sight: Sight, mentions: Mentions, viewer: Viewer) -> FindingsNow:
    """Gather the findings and repairs of a ski, and draw its map."""
    marks = marks_on(sight)
    drawn, showing = drawn_map(sight, marks), _Showing(dict(_stated(sight)), mentions, viewer)
    keys = [one.finding.key for one in sight.condition.open_findings]
    rows = drawn.rows[: len(marks)]
    return FindingsNow(
        tuple(showing.open(number, key) for number, key in enumerate(keys, start=1)),
        tuple(
            MarkShown(row, mentions.of(mark.record)) for row, mark in zip(rows, marks, strict=True)
        ),
        drawn.rows[len(marks) :],
        drawn,
    )


def _stated(sight: Sight) -> Iterator[tuple[FindingKey, recorded.Finding]]:
    for one in sight.effective:
        yield from _of_record(one)


def _of_record(one: Folded) -> Iterator[tuple[FindingKey, recorded.Finding]]:
    for index, finding in enumerate(parts_of(one.content.body).findings):
        yield FindingKey(one.record_id, index), finding


@dataclass(frozen=True, slots=True)
class _Showing:
    stated: Mapping[FindingKey, recorded.Finding]
    mentions: Mentions
    viewer: Viewer

    def open(self, number: int, key: FindingKey) -> OpenShown:
        finding = self.stated[key]
        return OpenShown(
            number=number,
            what=capfirst(said("finding", finding.what, finding.what_text)),
            where=place_text(finding.where),
            size=size_text(finding),
            severity=word("severity", finding.severity),
            remarks="" if self.viewer.is_buyer else finding.remarks or "",
            mention=self.mentions.of(key.record),
        )
