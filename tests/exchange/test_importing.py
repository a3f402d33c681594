"""Lines come through the one door, each with its result; the same lines again add nothing."""

from __future__ import annotations

import io
import json
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from django.utils import timezone

from apps.exchange.import_lines import MAX_LINE_BYTES
from apps.exchange.import_results import Outcome, Result
from apps.exchange.importing import BATCH
from apps.exchange.imports import ImportRefused, Source, run_import
from apps.exchange.models import ImportedRow
from apps.exchange.visit_cells import TableForm
from apps.records.examples import BODIES
from apps.records.signing import PrivateKey
from apps.registry import actions
from apps.registry.actors import OPERATOR, Actor
from apps.registry.errors import NotAllowed, StorageBusy
from apps.registry.models import Record, Tag
from tests.exchange.tables import a_table
from tests.registry.making import a_draft, a_shop, a_ski, a_submission

SKI = {"shop": "fellbench", "tag": "FB-0042"}
DAY = "2025-01-31"


@pytest.fixture
def shop(db: None) -> Actor:
    return a_shop()


@pytest.fixture
def ski(shop: Actor) -> str:
    a_ski(shop)
    return "FB-0042"


def a_line(kind: str, **members: Any) -> dict[str, Any]:
    """A draft as it stands in an import."""
    return {"kind": kind, "ski": SKI, "performed_at": DAY, "body": BODIES[kind], **members}


def usage(days: int, **members: Any) -> dict[str, Any]:
    """A draft that differs by its days."""
    return a_line("usage", body={"days": days}, **members)


def signed(days: int, **more: Any) -> dict[str, Any]:
    """A record that the shop signed itself, as an export has it."""
    submission = a_submission(a_draft("usage", body={"days": days}), **more)
    return {"record": json.loads(submission.data), "signature": submission.signature}


def lines(*documents: object) -> bytes:
    """Documents as lines of JSON; bytes stand as they are."""
    return b"".join(
        (one if isinstance(one, bytes) else json.dumps(one).encode()) + b"\n" for one in documents
    )


def imported(by: Actor, data: bytes, *, whole: bool = False) -> list[Result]:
    """What became of the lines."""
    return list(run_import(Source(io.BytesIO(data), by), whole=whole))


def tabled(by: Actor, data: bytes, *, whole: bool = False) -> list[Result]:
    """What became of the rows of a table."""
    return list(run_import(Source(io.BytesIO(data), by, TableForm()), whole=whole))


def outcomes(results: list[Result]) -> list[tuple[int, str]]:
    return [(one.line, str(one.outcome)) for one in results]


def own_records() -> list[str]:
    """The kinds of the records about skis, in the order of the log."""
    about = Record.objects.filter(subject__isnull=False).order_by("log_index")
    return list(about.values_list("kind", flat=True))


def test_each_line_becomes_a_record(shop: Actor) -> None:
    data = lines(a_line("description"), a_line("job"), usage(3), signed(4))
    results = imported(shop, data)
    assert outcomes(results) == [(1, "created"), (2, "created"), (3, "created"), (4, "created")]
    assert own_records() == ["description", "job", "usage", "usage"]
    places = Record.objects.in_bulk([one.records[0] for one in results])
    assert [places[one.records[0]].kind for one in results] == own_records()


def test_the_same_lines_again_add_nothing(shop: Actor) -> None:
    data = lines(a_line("description"), usage(3), signed(4, salt="0" * 32))
    before = imported(shop, data)
    again = imported(shop, data)
    assert outcomes(again) == [(1, "already-here"), (2, "already-here"), (3, "already-here")]
    assert [one.records for one in again] == [one.records for one in before]
    assert len(own_records()) == 3


def test_a_draft_is_recognised_however_it_is_written(ski: str, shop: Actor) -> None:
    job = {"bevel_settings": [{"edge": "both", "base_bevel_deg": "0.50"}]}
    other = {"bevel_settings": [{"base_bevel_deg": 0.5, "edge": "both", "basis": "set"}]}
    data = lines(
        a_line("job", body=job),
        a_line("job", body=other, author="fellbench"),
        b'{"body":{"bevel_settings":[{"edge":"both","base_bevel_deg":"0.5"}]},"kind":"job",'
        b' "ski":{"tag":"fb-0042","shop":"fellbench"}, "performed_at":"2025-01-31"}',
    )
    results = imported(shop, data)
    assert outcomes(results) == [(1, "created"), (2, "already-here"), (3, "already-here")]
    assert len({one.records for one in results}) == 1


def test_another_shop_says_the_same_for_itself(shop: Actor, ski: str) -> None:
    other = a_shop("tarnedge")
    data = lines(a_line("job"))
    assert outcomes(imported(shop, data)) == outcomes(imported(other, data)) == [(1, "created")]
    assert ImportedRow._default_manager.count() == 2


def test_more_lines_than_a_batch_come_in_order(shop: Actor, ski: str) -> None:
    count = 2 * BATCH + 7
    many = lines(*(a_line("job", body={"remarks": f"no. {n}"}) for n in range(count)))
    assert outcomes(imported(shop, many)) == [(n, "created") for n in range(1, count + 1)]


def test_a_refused_line_does_not_keep_the_others_out(shop: Actor, ski: str) -> None:
    tomorrow = (timezone.localdate() + timedelta(days=2)).isoformat()
    data = lines(
        usage(1),
        usage(2, performed_at=tomorrow),
        a_line("job", ski={"shop": "fellbench", "tag": "FB-9"}),
        usage(3),
        a_line("usage", body={"days": -1, "dyas": 2}),
        usage(4, ski={"shop": "tarnedge", "tag": "T-1"}),
    )
    results = imported(shop, data)
    assert [str(one.outcome) for one in results] == [
        "created",
        "refused",
        "refused",
        "created",
        "refused",
        "refused",
    ]
    told = {one.line: [(f.pointer, f.code) for f in one.faults] for one in results if one.faults}
    assert told == {
        2: [("/performed_at", "wrong-state")],
        3: [("/ski", "unknown-tag")],
        5: [("/body/days", "out-of-range"), ("/body/dyas", "unknown-field")],
        6: [("/ski/shop", "not-allowed"), ("/ski", "unknown-tag")],
    }
    assert own_records() == ["description", "usage", "usage"]


def test_a_line_that_rests_on_a_refused_one_is_refused_too(shop: Actor) -> None:
    ahead = (timezone.localdate() + timedelta(days=2)).isoformat()
    results = imported(shop, lines(a_line("description", performed_at=ahead), usage(1)))
    assert [one.refusal for one in results] == ["wrong-state", "unknown-tag"]
    assert own_records() == []


def test_a_line_may_rest_on_the_one_before(shop: Actor) -> None:
    job = a_submission(a_draft("job"), salt="1" * 32)
    first = imported(
        shop,
        lines(a_line("description"), {"record": json.loads(job.data), "signature": job.signature}),
    )
    took_back = a_line("retraction", refers_to=[first[1].records[0]], body={"reason": "wrong_ski"})
    assert outcomes(imported(shop, lines(took_back, took_back))) == [
        (1, "created"),
        (2, "already-here"),
    ]


BAD_LINES: list[tuple[bytes, str, str, str]] = [
    (b"\xff\xfe{", "malformed-json", "", "not-utf-8"),
    (b'{"kind": "usage", "ski": \xfc}', "malformed-json", "", "not-utf-8"),
    (b'{"kind": "usage"', "malformed-json", "", "not-json"),
    (b'{"kind": "usage", "kind": "job"}', "malformed-json", "/kind", "duplicate-key"),
    (b"[" * 18 + b"]" * 18, "malformed-json", "", "too-deep"),
    (b'{"kind": "job", "body": {"days": NaN}}', "malformed-json", "/body/days", "not-a-number"),
    (b"{" + b" " * MAX_LINE_BYTES + b"}", "too-large", "", "too-large"),
    (b"{" + b" " * 3 * MAX_LINE_BYTES + b"}", "too-large", "", "too-large"),
    (b"[]", "invalid-record", "", "not-an-object"),
    (b'"usage"', "invalid-record", "", "not-an-object"),
    (b"{}", "invalid-record", "/kind", "missing"),
    (b'{"kind": "wax"}', "invalid-record", "/kind", "unknown-kind"),
    (b'{"kind": 7}', "invalid-record", "/kind", "unknown-kind"),
    (b'{"kind": "key", "body": {}}', "invalid-record", "/kind", "unknown-kind"),
    (b'{"record": 7, "signature": ""}', "invalid-record", "/record", "not-an-object"),
    (b'{"record": {}}', "invalid-record", "/signature", "missing"),
    (b'{"record": {}, "signature": "", "more": 1}', "invalid-record", "/more", "unknown-field"),
    (b'{"record": {"a": 0.5}, "signature": ""}', "malformed-json", "/record/a", "fraction"),
    (b'{"record": {}, "signature": "", "id": "00"}', "invalid-record", "/id", "wrong-id"),
    (b'{"record": {}, "signature": ""}', "invalid-record", "/record/kind", "missing"),
    (b'{"erased_by": "x", "more": 1}', "invalid-record", "/more", "unknown-field"),
]


@pytest.mark.parametrize(("line", "refusal", "pointer", "code"), BAD_LINES)
def test_a_bad_line_is_told_and_the_next_one_read(
    shop: Actor, ski: str, line: bytes, refusal: str, pointer: str, code: str
) -> None:
    bad, good = imported(shop, lines(line, usage(1)))
    assert (bad.outcome, bad.refusal) == (Outcome.REFUSED, refusal)
    assert [(fault.pointer, fault.code) for fault in bad.faults] == [(pointer, code)]
    assert outcomes([good]) == [(2, "created")]


def test_a_byte_order_mark_before_lines_is_told(shop: Actor, ski: str) -> None:
    results = imported(shop, b"\xef\xbb\xbf" + lines(usage(1), usage(2)))
    assert outcomes(results) == [(1, "refused"), (2, "created")]
    assert results[0].faults[0].code == "byte-order-mark"


def test_blank_lines_and_windows_line_ends_are_passed_over(shop: Actor, ski: str) -> None:
    data = b"\r\n" + lines(usage(1)).replace(b"\n", b"\r\n") + b"  \n" + lines(usage(2)).strip()
    assert outcomes(imported(shop, data)) == [(2, "created"), (4, "created")]


def test_a_cut_last_line_is_refused_and_those_before_stand(shop: Actor, ski: str) -> None:
    results = imported(shop, lines(usage(1), usage(2))[:-12])
    assert outcomes(results) == [(1, "created"), (2, "refused")]
    assert results[1].faults[0].code == "not-json"


def test_a_line_of_the_greatest_length_is_read(shop: Actor, ski: str) -> None:
    line = lines(usage(1)).strip()
    line = line[:-1] + b" " * (MAX_LINE_BYTES - len(line)) + b"}"
    assert outcomes(imported(shop, line + b"\r\n" + line)) == [(1, "created"), (2, "already-here")]


def test_a_record_signed_by_a_strange_key_is_refused(shop: Actor, ski: str) -> None:
    other = signed(1) | {"signature": PrivateKey.generate().sign_text(b"x")}
    (result,) = imported(shop, lines(other))
    assert (result.refusal, [f.pointer for f in result.faults]) == ("bad-signature", ["/record"])


def test_a_record_of_another_author_is_refused(shop: Actor, ski: str) -> None:
    a_shop("tarnedge")
    (result,) = imported(shop, lines(signed(1, code="tarnedge")))
    assert (result.refusal, result.faults[0].pointer) == ("not-allowed", "/record/author")


def test_a_draft_of_another_author_is_refused(shop: Actor, ski: str) -> None:
    (result,) = imported(shop, lines(usage(1, author="tarnedge")))
    assert [(f.pointer, f.code) for f in result.faults] == [("/author", "another-author")]


def test_all_or_nothing_writes_all(shop: Actor) -> None:
    data = lines(a_line("description"), *(usage(n) for n in range(BATCH + 3)))
    results = imported(shop, data, whole=True)
    assert {str(one.outcome) for one in results} == {"created"}
    assert len(own_records()) == len(results) == BATCH + 4


@pytest.mark.parametrize("bad", [b"{", lines(usage(1, ski={"shop": "fellbench", "tag": "X"}))])
def test_all_or_nothing_writes_nothing_when_a_line_is_refused(shop: Actor, bad: bytes) -> None:
    data = lines(a_line("description"), *(usage(n) for n in range(BATCH + 3))) + bad
    with pytest.raises(ImportRefused) as caught:
        imported(shop, data, whole=True)
    assert (caught.value.count, [one.line for one in caught.value.results]) == (1, [BATCH + 5])
    assert own_records() == []
    assert not ImportedRow._default_manager.exists()


def test_a_table_registers_unknown_own_tags_and_the_same_table_adds_nothing(shop: Actor) -> None:
    data = a_table(
        {"tag": "fb-1", "model_text": "Arrow 9"},
        {"tag": "fb-1", "model_text": "Arrow 9", "date": "2025-02-01"},
        {"tag": "fb-2", "days_out": "4"},
        {"tag": "fb-2", "model_text": "Arrow 8", "date": "2025-02-02"},
    )
    results = tabled(shop, data)
    assert outcomes(results) == [(2, "created"), (3, "created"), (4, "created"), (5, "created")]
    kinds = ["description", "job", "job", "description", "job", "usage", "description", "job"]
    assert own_records() == kinds
    assert [len(one.records) for one in results] == [2, 1, 3, 2]
    assert Tag.objects.count() == 2
    again = tabled(shop, data)
    assert {str(one.outcome) for one in again} == {"already-here"}
    assert own_records() == kinds


def test_a_longer_table_adds_what_is_new_in_it(shop: Actor) -> None:
    rows = [{"tag": f"fb-{n}", "remarks": f"no. {n}"} for n in range(BATCH + 5)]
    tabled(shop, a_table(*rows[: BATCH - 3]))
    results = tabled(shop, a_table(*rows))
    assert [str(one.outcome) for one in results] == ["already-here"] * (BATCH - 3) + ["created"] * 8
    assert own_records().count("job") == BATCH + 5


def test_a_registered_tag_keeps_its_description(shop: Actor, ski: str) -> None:
    tabled(shop, a_table({"tag": ski}))
    assert own_records() == ["description", "job"]


def test_a_table_with_a_fault_writes_nothing(shop: Actor) -> None:
    rows = [{"tag": f"fb-{n}"} for n in range(BATCH + 5)]
    with pytest.raises(ImportRefused) as caught:
        tabled(shop, a_table(*rows, {"tag": "fb-1", "side_bevel_deg": "45"}, {"date": ""}))
    told = [(one.line, one.faults[0].column, one.faults[0].code) for one in caught.value.results]
    assert told == [(107, "side_bevel_deg", "out-of-range"), (108, "date", "missing")]
    assert own_records() == []


def test_a_tag_of_another_shop_must_be_registered(shop: Actor) -> None:
    other = a_shop("tarnedge")
    a_ski(other, tag="T-1")
    well = a_table({"shop": "tarnedge", "tag": "T-1"})
    assert outcomes(tabled(shop, well)) == [(2, "created")]
    with pytest.raises(ImportRefused) as caught:
        tabled(shop, a_table({}, {"shop": "tarnedge", "tag": "T-2"}))
    (result,) = caught.value.results
    assert (result.line, result.faults[0].column, result.faults[0].code) == (
        3,
        "tag",
        "unknown-tag",
    )


def test_what_only_the_door_refuses_is_told_by_its_column(
    shop: Actor, monkeypatch: pytest.MonkeyPatch
) -> None:
    later = SimpleNamespace(localdate=lambda: timezone.localdate() + timedelta(days=9))
    monkeypatch.setattr("apps.exchange.imports.timezone", later)
    ahead = (timezone.localdate() + timedelta(days=2)).isoformat()
    (result,) = tabled(shop, a_table({"date": ahead, "days_out": "3"}))
    assert {(fault.column, fault.code) for fault in result.faults} == {("date", "wrong-state")}


def test_a_shop_without_a_kept_key_imports_what_it_signed(shop: Actor, ski: str) -> None:
    with pytest.raises(NotAllowed):
        imported(Actor("fellbench@elsewhere.example", shop.scopes), lines(usage(1)))


def test_a_busy_database_stops_the_import_and_leaves_the_batches_before(
    shop: Actor, ski: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[int] = []
    plain = actions.write_drafts

    def busy(**given: Any) -> Any:
        calls.append(1)
        if len(calls) > 1:
            raise StorageBusy("The database is busy.")
        return plain(**given)

    monkeypatch.setattr("apps.exchange.importing.write_drafts", busy)
    data = lines(*(usage(n) for n in range(BATCH + 5)))
    results = run_import(Source(io.BytesIO(data), shop), whole=False)
    first = [next(results) for _ in range(BATCH)]
    assert {str(one.outcome) for one in first} == {"created"}
    with pytest.raises(StorageBusy):
        next(results)
    monkeypatch.undo()
    again = imported(shop, data)
    assert [str(one.outcome) for one in again] == ["already-here"] * BATCH + ["created"] * 5
    assert own_records().count("usage") == BATCH + 5


def test_the_operator_imports_nothing(shop: Actor, ski: str) -> None:
    with pytest.raises(NotAllowed):
        imported(OPERATOR, lines(signed(1)))
