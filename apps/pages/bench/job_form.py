"""A job as a form: its head, and rows in the order of the work."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.bench.fields import BevelField, LengthField, SideField, fixed_step, text_field
from apps.pages.bench.job_rows import (
    BevelRow,
    EarlierRow,
    FindingRow,
    MeasurementRow,
    ProfileRow,
    StepRow,
)
from apps.pages.bench.on_bench import OnBench
from apps.pages.bench.plan_form import finding_text, key_text
from apps.pages.bench.row_form import RowForm
from apps.pages.numbers import Unit
from apps.records.job import Target
from apps.records.model import LIST_LENGTH
from apps.records.texts import REMARKS_LENGTH
from apps.tuning.condition import OpenFinding

SECTIONS: Mapping[str, type[RowForm]] = {
    "findings": FindingRow,
    "measurements": MeasurementRow,
    "profiles": ProfileRow,
    "steps": StepRow,
    "bevels": BevelRow,
}
USUAL_READINGS: tuple[Mapping[str, str], ...] = (
    {"quantity": "edge_height_mm", "edge": "left"},
    {"quantity": "edge_height_mm", "edge": "right"},
    {"quantity": "edge_width_mm", "edge": "left"},
    {"quantity": "edge_width_mm", "edge": "right"},
    {"quantity": "base_thickness_mm"},
)
TARGET = ("base_bevel_deg", "side_bevel_deg", "flatness_tolerance_mm", "structure_text")
EARLIER = "earlier"
HEAD = "head"
ROW_NAME = re.compile(r"([a-z]+)-(\d{1,2})-(\w+)", re.ASCII)

Values = Mapping[str, Any]


class HeadForm(forms.Form):
    """What is said once for the visit."""

    performed_on = forms.DateField(
        label=gettext_lazy("Day of the work"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        input_formats=["%Y-%m-%d"],
    )
    technician = text_field(gettext_lazy("Alias of the technician"))
    base_bevel_deg = BevelField(
        fixed_step(Target, "base_bevel_deg"), label=gettext_lazy("Base bevel asked for")
    )
    side_bevel_deg = SideField(
        fixed_step(Target, "side_bevel_deg"), label=gettext_lazy("Side asked for, bevel or angle")
    )
    flatness_tolerance_mm = LengthField(
        fixed_step(Target, "flatness_tolerance_mm"), label=gettext_lazy("Greatest gap allowed")
    )
    structure_text = text_field(gettext_lazy("Structure asked for"))

    def __init__(
        self,
        data: Values | None = None,
        *,
        tags: Sequence[str],
        unit: Unit,
        initial: Values | None = None,
    ) -> None:
        super().__init__(data, prefix=HEAD, initial=dict(initial or {}), label_suffix="")
        self.use_required_attribute = False
        cast("LengthField", self.fields["flatness_tolerance_mm"]).unit = unit
        for number, tag in enumerate(tags):
            label = _("Remarks on %(tag)s") % {"tag": tag} if len(tags) > 1 else _("Remarks")
            self.fields[f"remarks_{number}"] = forms.CharField(
                label=label,
                required=False,
                max_length=REMARKS_LENGTH,
                widget=forms.Textarea(attrs={"rows": 3}),
            )

    def clean_performed_on(self) -> date:
        """Refuse a day that has not come."""
        day: date = self.cleaned_data["performed_on"]
        if day > timezone.localdate():
            raise ValidationError(_("This day lies in the future."))
        return day

    @property
    def target(self) -> list[forms.BoundField]:
        """What the tune was to reach."""
        return [self[name] for name in TARGET]

    @property
    def remarks(self) -> list[forms.BoundField]:
        """Remarks, ski by ski."""
        return [self[name] for name in self.fields if name.startswith("remarks_")]


@dataclass(frozen=True, slots=True)
class JobStart:
    """What stands in a form that nobody sent yet.

    Parameters
    ----------
    head : mapping
        Values of the head.
    rows : mapping of str to sequence of mapping
        Values of the rows of each section.
    mended : mapping of str to str
        What becomes of earlier findings, by the name of the field.
    """

    head: Values = field(default_factory=dict)
    rows: Mapping[str, Sequence[Values]] = field(default_factory=dict)
    mended: Mapping[str, str] = field(default_factory=dict)


def fresh_start(alias: str) -> JobStart:
    """Give what stands in a fresh form: today, the visitor's alias, the usual readings."""
    rows: dict[str, Sequence[Values]] = {name: [{}] for name in SECTIONS}
    rows["steps"] = [{}, {}, {}]
    rows["measurements"] = USUAL_READINGS
    return JobStart({"performed_on": timezone.localdate(), "technician": alias}, rows)


def typed_start(data: Values, *, add: str = "") -> JobStart:
    """Give what was typed, unchecked, with one more row in the section `add`."""
    head = {name[len(HEAD) + 1 :]: data[name] for name in data if name.startswith(f"{HEAD}-")}
    mended = {name: data[name] for name in data if name.startswith(f"{EARLIER}-")}
    rows: dict[str, list[dict[str, Any]]] = {
        name: [{} for _row in range(rows_sent(data, name))] for name in SECTIONS
    }
    for name in data:
        found = ROW_NAME.fullmatch(name)
        if found and found[1] in rows and int(found[2]) < len(rows[found[1]]):
            rows[found[1]][int(found[2])][found[3]] = data[name]
    if add in rows and len(rows[add]) < LIST_LENGTH:
        rows[add].append({})
    return JobStart(head, rows, mended)


def rows_sent(data: Values, section: str) -> int:
    """Say how many rows of a section were sent; no more than a record holds."""
    text = str(data.get(f"{section}-rows", ""))
    # A few digits are enough to be too many; thousands of them can't even be read.
    return min(int(text[:4]), LIST_LENGTH) if text.isascii() and text.isdigit() else 0


@dataclass(frozen=True, slots=True)
class Earlier:
    """An earlier finding that is open, on which ski, and what becomes of it."""

    number: int
    found: OpenFinding
    form: EarlierRow


class JobForm:
    """Head and rows together, as they stand at first or as they were sent.

    Parameters
    ----------
    bench : OnBench
        The skis that the job is on.
    unit : {"mm", "um"}
        How the visitor writes small lengths.
    start : JobStart, optional
        What stands in a form that nobody sent yet.
    data : mapping, optional
        What was sent.
    """

    def __init__(
        self,
        bench: OnBench,
        unit: Unit,
        *,
        start: JobStart | None = None,
        data: Values | None = None,
    ) -> None:
        self.bench = bench
        self._unit = unit
        self._data = data
        self._start = start or JobStart()
        tags = bench.tags
        self.head = HeadForm(data, tags=tags, unit=unit, initial=self._start.head)
        self.rows = {name: tuple(self._rows(name)) for name in SECTIONS}
        self.earlier = tuple(self._earlier())
        self.faults: list[str] = []

    def _rows(self, section: str) -> Iterator[RowForm]:
        if self._data is not None:
            for number in range(rows_sent(self._data, section)):
                yield self.row(section, str(number), self._data)
        for number, initial in enumerate(self._start.rows.get(section, ())):
            yield self.row(section, str(number), initial=initial)

    def row(
        self,
        section: str,
        number: str,
        data: Values | None = None,
        *,
        initial: Values | None = None,
    ) -> RowForm:
        """Make one row of a section."""
        return SECTIONS[section](
            data,
            prefix=f"{section}-{number}",
            tags=self.bench.tags,
            unit=self._unit,
            initial=initial,
        )

    def _earlier(self) -> Iterator[Earlier]:
        for number, sight in enumerate(self.bench.sights):
            for found in sight.condition.open_findings:
                yield Earlier(number, found, self._earlier_row(number, found))

    def _earlier_row(self, number: int, found: OpenFinding) -> EarlierRow:
        name = f"{EARLIER}-{key_text(found.finding.key)}"
        label = finding_text(found)
        if len(self.bench.tags) > 1:
            told = {"tag": self.bench.tags[number], "finding": label}
            label = _("%(tag)s: %(finding)s") % told
        initial = {"done": self._start.mended.get(f"{name}-done", "")}
        return EarlierRow(self._data, prefix=name, label=label, initial=initial)

    @property
    def parts(self) -> Iterator[forms.Form]:
        """All parts, in the order of the page."""
        yield self.head
        yield from (one.form for one in self.earlier)
        for rows in self.rows.values():
            yield from rows

    @property
    def is_valid(self) -> bool:
        """Whether each part is well formed by itself."""
        return all(part.is_valid() for part in self.parts) and not self.faults

    @property
    def wrong(self) -> list[forms.BoundField]:
        """The fields that must be mended, in the order of the form."""
        return [field for part in self.parts for field in part if field.errors]

    @property
    def has_errors(self) -> bool:
        """Whether something is to be mended in what was sent."""
        return bool(self.faults) or any(part.errors for part in self.parts)
