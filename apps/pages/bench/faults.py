"""What records and registry refuse, worded for a form in the visitor's language."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.html import format_html
from django.utils.translation import gettext_lazy as _

from apps.records.errors import InvalidRecord
from apps.registry.errors import InvalidSubmission, Refused, RegistryError

SENTENCES: Mapping[str, str | Promise] = {
    "text-needed": _("Say here what it is."),
    "reason-needed": _("Say why the ski is retired."),
    "text-refused": _("This text goes with “other” only. Clear it."),
    "does-not-belong": _("This does not go with what is chosen in this row. Clear it."),
    "edge-needed": _("Say which edge."),
    "unit-needed": _("Say in which unit."),
    "points-not-in-order": _("Sort the points from the left edge; give each place once."),
    "too-few": _("Give at least two points."),
    "too-many": _("There are too many rows. Write a second job for the rest."),
    "half-a-stretch": _("Give both ends of the stretch, or neither."),
    "stretch-reversed": _("The stretch begins nearer the tail: the smaller number comes first."),
    "nothing-given": _("Something is missing in this row. Complete it or clear it."),
    "missing": _("This is missing."),
    "unknown-word": _("Choose one of the list."),
    "too-long": _("This text is too long. Shorten it."),
    "refused-character": _("Take out the character that can't be seen."),
    "empty-text": _("There is nothing to read here. Clear it."),
    "not-an-alias": _("An alias has up to 32 letters, digits, full stops, low lines or hyphens."),
    "waist-wider-than-ends": _("The waist is wider than both ends. Check the order of the widths."),
    "out-of-range": _("This number is outside what is possible here."),
    "finer-than-step": _("This number is finer than is recorded here. Round it."),
    "tag-exists": _("This tag is on a ski already. Use another tag."),
    "storage-busy": _("The node is busy. Nothing was written; send it again in a moment."),
    "storage-full": _("The node has no room left. Nothing was written; tell its operator."),
    "idempotency-in-progress": _("This form is being written just now. Send it again shortly."),
}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing to mend.

    Parameters
    ----------
    number : int
        Which of the records of the call it is about.
    pointer : str
        JSON Pointer into the record.
    sentence : str
        For the visitor; marked as English where there is no translation.
    """

    number: int
    pointer: str
    sentence: str


def faults_of(error: InvalidRecord | RegistryError, number: int = 0) -> Iterator[Fault]:
    """Give all that is wrong; `number` is the record where the error names none."""
    if isinstance(error, Refused):
        for one in error.errors:
            yield from faults_of(one, number)
        return
    if isinstance(error, RegistryError):
        number = error.submission if error.submission is not None else number
    if isinstance(error, InvalidRecord | InvalidSubmission):
        found = error.errors if isinstance(error, InvalidRecord) else error.faults
        for fault in found:
            yield Fault(number, fault.pointer, sentence(fault.code, fault.message))
        return
    yield Fault(number, error.pointer, sentence(error.code, error.sentence))


def sentence(code: str, english: str) -> str:
    """Word a refusal; the refusal's own English, marked as such, where it has no translation."""
    known = SENTENCES.get(code)
    return format_html('<span lang="en">{}</span>', english) if known is None else str(known)
