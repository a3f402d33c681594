"""The history of a ski: folded and raw, corrected and retracted, by page and as of a day."""

from __future__ import annotations

from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.records.reading import record_bytes
from apps.registry.known import read_trusted
from apps.registry.models import Record
from tests.api.client import ApiClient
from tests.api.making import draft, write
from tests.registry.making import FIRST


def replacement(days: int, performed_at: str = "2025-01-31") -> dict[str, Any]:
    """A correction of a usage record."""
    body = {"kind": "usage", "performed_at": performed_at, "body": {"days": days}}
    return {"body": {"reason": "typing_error", "replacement": body}}


def correct(client: ApiClient, record: str, document: dict[str, Any]) -> str:
    """Correct a record; gives the id of the correction."""
    return str(write(client, f"records/{record}/correction", document).json["id"])


def retract(client: ApiClient, record: str) -> str:
    """Take a record back; gives the id of the retraction."""
    body = {"body": {"reason": "entered_by_mistake"}}
    return str(write(client, f"records/{record}/retraction", body).json["id"])


def usage(client: ApiClient, days: int, performed_at: str = "2025-01-31") -> str:
    """Write a usage record; gives its id."""
    document = draft("usage", body={"days": days}, performed_at=performed_at)
    return str(write(client, "usage", document).json["id"])


def items(client: ApiClient, ski: str, query: str = "") -> list[dict[str, Any]]:
    """The items of a history."""
    return list(client.get(f"{ski}/history{query}").json["items"])


def all_pages(client: ApiClient, address: str) -> list[list[dict[str, Any]]]:
    """Follow `next` to the end."""
    pages = []
    while address:
        page = client.get(address).json
        pages.append(page["items"])
        address = page.get("next", "")
    return pages


def test_stored_bytes_are_in_the_answer_as_they_are(client: ApiClient, ski: str) -> None:
    write(client, "jobs", draft("job"))
    content = client.get(f"{ski}/history").content
    for row in Record.objects.filter(subject__isnull=False):
        assert bytes(row.document) in content


def test_records_stand_in_the_order_of_the_bench_clock(client: ApiClient, ski: str) -> None:
    late, early = usage(client, 2, "2025-03-01"), usage(client, 1, "2024-12-01")
    noon = usage(client, 3, "2025-02-01T12:00:00+01:00")
    order = [item["id"] for item in items(client, ski)]
    assert [one for one in order if one in {late, early, noon}] == [early, noon, late]
    assert [item["log_index"] for item in items(client, ski, "?raw=true")] == [
        FIRST + place for place in range(4)
    ]


def test_a_correction_stands_with_its_record(client: ApiClient, ski: str) -> None:
    original = usage(client, 12)
    correction = correct(client, original, replacement(21))
    _, item = items(client, ski)
    assert (item["id"], item["state"]) == (original, "corrected")
    assert item["record"]["body"] == {"days": 12}
    assert item["effective"]["body"] == {"days": 21}
    assert item["effective_source"] == correction
    assert [one["id"] for one in item["corrections"]] == [correction]
    assert "retractions" not in item


def test_the_effective_part_is_as_the_correction_has_it(client: ApiClient, ski: str) -> None:
    job = write(client, "jobs", draft("job")).json["id"]
    body = {"kind": "job", "performed_at": "2025-02-01", "body": draft("job")["body"]}
    document = {"body": {"reason": "wrong_date", "replacement": body}}
    correction = correct(client, job, document)
    _, item = items(client, ski)
    stored = bytes(Record.objects.get(id=correction).document)
    assert (
        item["effective"]
        == read_trusted(stored).model_dump(mode="json", exclude_none=True)["body"]["replacement"]
    )
    assert record_bytes(read_trusted(stored)) == stored


def test_a_retracted_record_is_shown_as_such(client: ApiClient, ski: str) -> None:
    original = usage(client, 12)
    retraction = retract(client, original)
    _, item = items(client, ski)
    assert (item["id"], item["state"]) == (original, "retracted")
    assert [one["id"] for one in item["retractions"]] == [retraction]
    assert "effective" not in item


def test_a_correction_that_was_taken_back_counts_no_more(client: ApiClient, ski: str) -> None:
    original = usage(client, 12)
    correction = correct(client, original, replacement(21))
    retraction = retract(client, correction)
    _, item = items(client, ski)
    assert item["state"] == "stands"
    assert [one["id"] for one in item["corrections"]] == [correction]
    assert [one["id"] for one in item["retractions"]] == [retraction]


def test_several_corrections_are_flagged_and_the_last_entered_counts(
    client: ApiClient, ski: str
) -> None:
    original = usage(client, 12)
    early = {**replacement(20), "performed_at": "2025-02-01"}
    late = {**replacement(21), "performed_at": "2025-02-02"}
    first = correct(client, original, late)
    last = correct(client, original, early)
    _, item = items(client, ski)
    assert item["flags"] == ["several-corrections"]
    assert (item["effective_source"], item["effective"]["body"]["days"]) == (last, 20)
    assert [one["id"] for one in item["corrections"]] == [first, last]


def test_a_corrected_date_moves_the_record(client: ApiClient, ski: str) -> None:
    moved, other = usage(client, 1, "2025-03-01"), usage(client, 2, "2025-02-01")
    correct(client, moved, replacement(1, "2025-01-15"))
    assert [item["id"] for item in items(client, ski)][:2] == [
        moved,
        items(client, ski, "?raw=true")[0]["id"],
    ]
    assert items(client, ski)[-1]["id"] == other


def test_raw_lists_every_record_by_itself(client: ApiClient, ski: str) -> None:
    retract(client, correct(client, usage(client, 12), replacement(21)))
    raw = items(client, ski, "?raw=true")
    kinds = [item["record"]["kind"] for item in raw]
    assert kinds == ["description", "usage", "correction", "retraction"]
    assert all("state" not in item for item in raw)


def test_as_of_shows_what_was_done_by_then(client: ApiClient, ski: str) -> None:
    usage(client, 1, "2025-02-01")
    usage(client, 2, "2025-02-02T10:00:00+01:00")
    moved = usage(client, 3, "2025-02-03")
    correct(client, moved, replacement(3, "2025-02-10"))

    def days(as_of: str) -> list[int]:
        shown = items(client, ski, f"?as_of={as_of}")
        return [one["record"]["body"]["days"] for one in shown if one["record"]["kind"] == "usage"]

    assert days("2025-02-01") == [1]
    assert days("2025-02-02T08:59:59Z") == [1]
    assert days("2025-02-02T09:00:00Z") == [1, 2]
    assert days("2025-02-09") == [1, 2]
    assert days("2025-02-10") == [1, 2, 3]
    assert days("2025-02-02T10:00:00%2B01:00") == [1, 2]


@pytest.mark.parametrize("query", ["?limit=2", "?limit=2&raw=true", "?limit=1&as_of=2025-12-31"])
def test_pages_hold_everything_once(query: str, client: ApiClient, ski: str) -> None:
    ids = [usage(client, day, f"2025-02-{day:02}") for day in range(1, 6)]
    correct(client, ids[0], replacement(30, "2025-02-20"))
    whole = items(
        client, ski, query.replace("limit=2", "limit=500").replace("limit=1", "limit=500")
    )
    pages = all_pages(client, f"{ski}/history{query}")
    assert len(pages) > 2
    assert [item for page in pages for item in page] == whole


@pytest.mark.parametrize("query", ["?limit=2", "?limit=2&raw=true"])
def test_what_is_written_meanwhile_changes_no_page(query: str, client: ApiClient, ski: str) -> None:
    ids = [usage(client, day, f"2025-02-{day:02}") for day in range(1, 6)]
    whole = all_pages(client, f"{ski}/history{query}")
    first = client.get(f"{ski}/history{query}").json
    correct(client, ids[4], replacement(9, "2024-12-01"))
    usage(client, 8, "2024-12-02")
    later = all_pages(client, first["next"])
    assert [first["items"], *later] == whole


def test_a_made_up_cursor_is_refused(client: ApiClient, ski: str) -> None:
    for query in ("?after=5", "?raw=true&after=" + "0" * 64, "?after=" + "0" * 64):
        answer = client.get(f"{ski}/history{query}")
        assert (answer.status, answer.pointers) == (400, ["after"])


@pytest.mark.parametrize(
    ("query", "parameter", "words"),
    [
        ("?links=some", "links", "mutual"),
        ("?asof=2025-01-01", "asof", "did you mean `as_of`?"),
        ("?as_of=2025", "as_of", "2025-01-31"),
        ("?as_of=2025-02-02T10:00:00+01:00", "as_of", "%2B"),
        ("?as_of=2025-01-01&raw=true", "as_of", "leave `as_of` or `raw` out"),
        ("?raw=yes", "raw", "true nor false"),
        ("?limit=501", "limit", "at most 500"),
        ("?limit=0", "limit", "at least 1"),
        ("?limit=ten", "limit", "digits only"),
        ("?until=-1", "until", "digits only"),
        ("?limit=1&limit=2", "limit", "give it once"),
    ],
)
def test_a_bad_parameter(
    query: str, parameter: str, words: str, client: ApiClient, ski: str
) -> None:
    answer = client.get(f"{ski}/history{query}")
    assert (answer.status, answer.slug, answer.pointers) == (400, "invalid-parameters", [parameter])
    assert words in answer.json["errors"][0]["detail"]


def test_all_bad_parameters_come_at_once(client: ApiClient, ski: str) -> None:
    answer = client.get(f"{ski}/history?limit=x&colour=red&raw=maybe")
    assert sorted(answer.pointers) == ["colour", "limit", "raw"]


@pytest.mark.parametrize("query", ["", "?raw=true"])
def test_as_many_queries_for_sixty_records_as_for_three(
    query: str,
    client: ApiClient,
    ski: str,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    # The key, the tag, the length of the log, and the records.
    usage(client, 1)
    correct(client, usage(client, 2), replacement(3))
    with django_assert_num_queries(5):
        client.get(f"{ski}/history{query}")
    for number in range(28):
        correct(client, usage(client, number), replacement(number))
    with django_assert_num_queries(5):
        assert client.get(f"{ski}/history{query}").status == 200
