"""The traces by which an import recognises its lines: what must never be, and what must last."""

from __future__ import annotations

import io
import json

import pytest
from django.db import IntegrityError, transaction

from apps.exchange.import_results import Outcome, Result
from apps.exchange.imports import Source, run_import
from apps.exchange.models import ImportedRow
from apps.records.examples import BODIES
from apps.registry.actors import OPERATOR, Actor
from apps.registry.erasing import erase_record
from apps.registry.models import Record
from tests.registry.making import a_shop, a_ski
from tests.registry.threads import THREADS, at_once

ID = "a" * 64


def a_row(by: Actor, **members: str) -> ImportedRow:
    return ImportedRow._default_manager.create(
        shop_id=by.handle, **{"digest": ID, "record": ID, **members}
    )


@pytest.mark.django_db
@pytest.mark.parametrize("wrong", [{"digest": "a"}, {"record": "a"}, {"record": ""}])
def test_a_row_has_whole_digests(wrong: dict[str, str]) -> None:
    by = a_shop()
    with pytest.raises(IntegrityError, match="imported_row_lengths"), transaction.atomic():
        a_row(by, **wrong)
    a_row(by)


@pytest.mark.django_db
def test_a_draft_is_kept_once_a_shop() -> None:
    by, other = a_shop(), a_shop("tarnedge")
    a_row(by)
    with pytest.raises(IntegrityError), transaction.atomic():
        a_row(by, record="b" * 64)
    a_row(other)
    assert ImportedRow._default_manager.count() == 2


def jobs(count: int) -> bytes:
    """Lines with as many jobs."""
    ski = {"shop": "fellbench", "tag": "FB-0042"}
    return b"".join(
        json.dumps(
            {
                "kind": "job",
                "ski": ski,
                "performed_at": "2025-01-31",
                "body": {**BODIES["job"], "remarks": f"no. {number}"},
            }
        ).encode()
        + b"\n"
        for number in range(count)
    )


def imported(by: Actor, data: bytes) -> list[Result]:
    return list(run_import(Source(io.BytesIO(data), by), whole=False))


@pytest.mark.django_db
def test_what_was_erased_does_not_come_back_by_the_same_file() -> None:
    by = a_shop()
    a_ski(by)
    (first,) = imported(by, jobs(1))
    erase_record(record_id=first.records[0], reason="personal_data", reason_text=None, by=OPERATOR)
    (again,) = imported(by, jobs(1))
    assert (again.outcome, again.records) == (Outcome.ALREADY_HERE, first.records)
    assert Record.objects.filter(kind="job").count() == 1


@pytest.mark.django_db(transaction=True)
def test_many_imports_of_one_file_at_once_add_it_once() -> None:
    by = a_shop()
    a_ski(by)
    outcomes = at_once(lambda _: imported(by, jobs(5)))
    results = [one for found in outcomes if isinstance(found, list) for one in found]
    assert len(results) == 5 * THREADS, outcomes
    created = [one.line for one in results if one.outcome is Outcome.CREATED]
    assert sorted(created) == [1, 2, 3, 4, 5]
    assert Record.objects.filter(kind="job").count() == 5
