"""What the shops write about the simulated skis, as drafts that still name each other by label."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from service_registry.demo.shops import DemoShop


@dataclass(frozen=True, slots=True)
class Ski:
    """A tag and the shop that put it on a ski."""

    shop: DemoShop
    tag: str


@dataclass(frozen=True, slots=True)
class LabelOf:
    """Stands in a body for the id of an earlier entry, which is known only once it is signed."""

    label: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One record to be written.

    Parameters
    ----------
    by : DemoShop
        Its author.
    ski : Ski
    kind : str
    day : date
        When it was done.
    body : mapping
        The draft's body; a `LabelOf` in it becomes the id of the entry with that label.
    label : str
        By which later entries speak of it; "" when none does.
    refers_to : str
        Label of the entry that it corrects or takes back; "" for other kinds.
    """

    by: DemoShop
    ski: Ski
    kind: str
    day: date
    body: Mapping[str, Any]
    label: str = ""
    refers_to: str = ""

    def draft(self, ids: Mapping[str, str]) -> dict[str, Any]:
        """Give the draft a client would send, with the ids of the entries it speaks of."""
        draft = {
            "ski": {"shop": self.ski.shop.code, "tag": self.ski.tag},
            "performed_at": self.day.isoformat(),
            "body": _with_ids(self.body, ids),
        }
        return draft | ({"refers_to": [ids[self.refers_to]]} if self.refers_to else {})


def _with_ids(value: Any, ids: Mapping[str, str]) -> Any:
    if isinstance(value, LabelOf):
        return ids[value.label]
    if isinstance(value, Mapping):
        return {name: _with_ids(part, ids) for name, part in value.items()}
    if isinstance(value, list):
        return [_with_ids(part, ids) for part in value]
    return value


@dataclass(slots=True)
class Chronicle:
    """The entries about one ski, in the order they were written."""

    ski: Ski
    entries: list[Entry] = field(default_factory=list)

    def write(
        self,
        kind: str,
        day: date,
        body: Mapping[str, Any],
        *,
        by: DemoShop | None = None,
        refers_to: str = "",
    ) -> str:
        """Write an entry and give its label."""
        label = f"{self.ski.shop.code}/{self.ski.tag}/{len(self.entries)}"
        entry = Entry(by or self.ski.shop, self.ski, kind, day, body, label, refers_to)
        self.entries.append(entry)
        return label

    def correct(self, label: str, day: date, body: Mapping[str, Any], reason: str) -> None:
        """Correct an entry's body."""
        wrong = self.find(label)
        replacement = {
            "kind": wrong.kind,
            "performed_at": wrong.day.isoformat(),
            "body": body,
        }
        correction = {"reason": reason, "replacement": replacement}
        self.write("correction", day, correction, by=wrong.by, refers_to=label)

    def retract(self, label: str, day: date, reason: str) -> None:
        """Take an entry back."""
        self.write("retraction", day, {"reason": reason}, by=self.find(label).by, refers_to=label)

    def find(self, label: str) -> Entry:
        """Give the entry with a label."""
        return next(entry for entry in self.entries if entry.label == label)
