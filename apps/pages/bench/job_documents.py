"""From the form of a job to one record for each ski, and from a record's faults back to fields."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import NON_FIELD_ERRORS
from django.utils.translation import gettext as _

from apps.pages.bench.faults import Fault, faults_of
from apps.pages.bench.job_form import TARGET, Earlier, JobForm
from apps.pages.bench.job_rows import MeasurementRow, ProfileRow
from apps.pages.bench.on_bench import tag_of
from apps.pages.bench.row_form import RowForm
from apps.records.envelope import Draft
from apps.records.errors import InvalidRecord
from apps.records.folding import Folded
from apps.records.job import JobBody
from apps.records.place import Place as PlaceOnSki
from apps.records.place import SkiTag
from apps.records.reading import document_of, read_draft
from apps.records.step import Inspection
from apps.registry.errors import RegistryError
from apps.tuning.history import FindingKey

WHERE = tuple(PlaceOnSki.model_fields)
# A reading and a bevel say their place in fields of their own.
NESTED_PLACE = {"findings": "where", "steps": "place"}
INSPECTED = tuple(name for name in Inspection.model_fields if name != "device_calibrated_on")


@dataclass(frozen=True, slots=True)
class Origin:
    """The part of the form that an item of a record came from.

    Parameters
    ----------
    form : Form
    renamed : mapping
        Fields that are called otherwise in the form than in the record.
    """

    form: forms.Form
    renamed: Mapping[str, str] = field(default_factory=dict)


class JobOfSki:
    """The record of one ski in the making, and where each of its items came from."""

    def __init__(self, ski: SkiTag) -> None:
        self.ski = ski
        self.body: dict[str, Any] = {}
        self.origins: dict[str, Origin] = {}
        self._lists: defaultdict[str, list[dict[str, Any]]] = defaultdict(list)

    def add(self, name: str, item: dict[str, Any], origin: Origin) -> None:
        """Add an item to one of the lists."""
        self.origins[f"/body/{name}/{len(self._lists[name])}"] = origin
        self._lists[name].append(item)
        self.body[name] = self._lists[name]

    @property
    def says_something(self) -> bool:
        """Whether something was found, done, measured, set or remarked on this ski."""
        return bool(self._lists) or "remarks" in self.body


def jobs_of(form: JobForm) -> list[JobOfSki]:
    """Make the record of each ski that the form says something of; the form is valid.

    A target alone is worth a record only where the form says nothing else at all.
    """
    jobs = [_job(form, number) for number in range(len(form.bench.sights))]
    telling = [job for job in jobs if job.says_something]
    return telling or [job for job in jobs if "target" in job.body]


def _job(form: JobForm, number: int) -> JobOfSki:
    job = JobOfSki(tag_of(form.bench.sights[number]))
    for earlier in form.earlier:
        if earlier.number == number and earlier.form.cleaned_data["done"]:
            effective = form.bench.sights[number].effective
            job.add("findings", _closing(earlier, effective), Origin(earlier.form))
    for section in ("findings", "steps"):
        for row in _filled(form, section, number):
            job.add(section, _nested(section, row.given), Origin(row))
    _add_readings(job, form, number)
    for row in _filled(form, "bevels", number):
        job.add("bevel_settings", texts(row.given), Origin(row))
    _add_head(job, form, number)
    return job


def _filled(form: JobForm, section: str, number: int) -> Iterator[RowForm]:
    return (row for row in form.rows[section] if not row.is_blank and row.is_on(number))


def _nested(section: str, given: Mapping[str, Any]) -> dict[str, Any]:
    """Put the place, and of a step the inspection, where the record has them."""
    inside = {NESTED_PLACE[section]: WHERE}
    if section == "steps":
        # Of a step, the edge is said beside its place.
        inside = {"place": WHERE[1:], "inspection": INSPECTED}
    rest = {**texts(given)}
    found: dict[str, Any] = {}
    for name, names in inside.items():
        part = {one: rest.pop(one) for one in names if one in rest}
        if part:
            found[name] = part
    return {**rest, **found}


def texts(given: Mapping[str, Any]) -> dict[str, Any]:
    """Write what a row read as a draft takes it; on which ski it is, is no part of a record."""
    return {
        name: str(value) if isinstance(value, Decimal) else value
        for name, value in given.items()
        if name != "on"
    }


def _closing(earlier: Earlier, effective: Sequence[Folded]) -> dict[str, Any]:
    """Say of an earlier finding that it was mended: the same finding at the same place."""
    key = earlier.found.finding.key
    stated = _stated(key, effective)
    named = ("what", "what_text", "severity", "where")
    kept: dict[str, Any] = {name: stated[name] for name in named if name in stated}
    closes = {"record": key.record, "index": key.index}
    return {**kept, "state": "repaired", "closes": closes}


def _stated(key: FindingKey, effective: Sequence[Folded]) -> dict[str, Any]:
    bodies = (one.content.body for one in effective if one.record_id == key.record)
    body = next(one for one in bodies if isinstance(one, JobBody))
    return document_of(body.findings[key.index])


def _add_readings(job: JobOfSki, form: JobForm, number: int) -> None:
    for row in form.rows["measurements"]:
        if isinstance(row, MeasurementRow) and not row.is_blank:
            _add_row_readings(job, row, number)
    for row in form.rows["profiles"]:
        points = row.given.get(f"points_{number}")
        if isinstance(row, ProfileRow) and points:
            item: dict[str, Any] = {"quantity": "base_gap_profile", "profile": points}
            item |= {name: row.given[name] for name in ("moment", "station") if name in row.given}
            job.add("measurements", item, Origin(row, {"profile": f"points_{number}"}))


def _add_row_readings(job: JobOfSki, row: MeasurementRow, number: int) -> None:
    given = row.given
    beside = {name: value for name, value in given.items() if name not in row.values}
    for moment in ("before", "after"):
        name = f"{moment}_{number}"
        if name in given:
            item = texts({**beside, "value": given[name], "moment": moment})
            job.add("measurements", item, Origin(row, {"value": name}))


def _add_head(job: JobOfSki, form: JobForm, number: int) -> None:
    given = {name: one for name, one in form.head.cleaned_data.items() if one not in (None, "")}
    target = {name: given[name] for name in TARGET if name in given}
    if target:
        job.body["target"] = texts(target)
    if "technician" in given:
        job.body["technician"] = given["technician"]
    if f"remarks_{number}" in given:
        job.body["remarks"] = given[f"remarks_{number}"]
    job.origins[""] = Origin(
        form.head, {"remarks": f"remarks_{number}", "performed_at": "performed_on"}
    )


def drafts_of(form: JobForm, jobs: Sequence[JobOfSki]) -> list[Draft]:
    """Read the records strictly; what is wrong comes back at the fields, and nothing is given."""
    day = form.head.cleaned_data["performed_on"].isoformat()
    drafts: list[Draft] = []
    for number, job in enumerate(jobs):
        document = {"ski": document_of(job.ski), "performed_at": day, "body": job.body}
        try:
            drafts.append(read_draft("job", document, node_host=settings.NODE_HOST))
        except InvalidRecord as error:
            put_back(form, jobs, faults_of(error, number))
    if not jobs:
        form.faults.append(_("Say at least one thing that was found, done, measured or set."))
    return [] if form.has_errors else drafts


def put_back(form: JobForm, jobs: Sequence[JobOfSki], faults: Iterator[Fault]) -> None:
    """Show each fault at the field that caused it; what has no field stands above the form."""
    for fault in faults:
        job = jobs[fault.number] if fault.number < len(jobs) else None
        origin, rest = _origin_of(job, fault.pointer)
        if origin is None:
            form.faults.append(fault.sentence)
        else:
            _at_field(form, origin, rest, fault.sentence)


def _origin_of(job: JobOfSki | None, pointer: str) -> tuple[Origin | None, list[str]]:
    if job is None:
        return None, []
    parts = pointer.split("/")
    # "", "body", the name of the list, the number of the item.
    place = "/".join(parts[:4])
    if place in job.origins:
        return job.origins[place], parts[4:]
    return job.origins[""], [part for part in parts if part not in ("", "body")]


def _at_field(form: JobForm, origin: Origin, rest: Sequence[str], sentence: str) -> None:
    names = [origin.renamed.get(part, part) for part in rest]
    name = next((one for one in names if one in origin.form.fields), None)
    if name is None and origin.form is form.head:
        form.faults.append(sentence)
    else:
        _add_once(origin.form, name, sentence)


def _add_once(form: forms.Form, name: str | None, sentence: str) -> None:
    """A row that is on both skis comes back with the same fault twice."""
    if sentence not in form.errors.get(name or NON_FIELD_ERRORS, ()):
        form.add_error(name, sentence)


def refused(form: JobForm, jobs: Sequence[JobOfSki], error: RegistryError) -> None:
    """Show what the registry refused."""
    put_back(form, jobs, faults_of(error))
