"""Who may correct or take back what, and what is refused."""

from __future__ import annotations

import pytest

from tests.api.client import ApiClient
from tests.api.making import draft, write
from tests.api.test_history import correct, replacement, retract, usage


def test_only_the_author_corrects_and_retracts(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    job = write(other, "jobs", draft("job")).json["id"]
    for kind in ("correction", "retraction"):
        body = {"reason": "duplicate"} if kind == "retraction" else job_correction()
        answer = client.post(f"records/{job}/{kind}", {"body": body})
        assert (answer.status, answer.slug) == (403, "not-allowed")
        assert f"Only {other.handle}" in answer.json["detail"]


def job_correction() -> dict[str, object]:
    """The body of a correction of a job."""
    whole = {"kind": "job", "performed_at": "2025-01-30", "body": draft("job")["body"]}
    return {"reason": "wrong_date", "replacement": whole}


def test_a_record_that_is_not_here(client: ApiClient, ski: str) -> None:
    answer = client.post(f"records/{'0' * 64}/correction", replacement(2))
    assert (answer.status, answer.slug) == (404, "unknown-record")


def test_a_record_of_a_ski_that_was_never_looked_up(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    answer = other.post(f"records/{usage(client, 3)}/correction", replacement(2))
    assert (answer.status, answer.slug) == (404, "unknown-record")


def test_a_correction_is_not_corrected(client: ApiClient, ski: str) -> None:
    correction = correct(client, usage(client, 3), replacement(2))
    answer = client.post(f"records/{correction}/correction", replacement(4))
    assert (answer.status, answer.slug) == (422, "wrong-state")
    assert "Correct the record that it is about" in answer.json["detail"]


def test_a_retraction_is_not_taken_back(client: ApiClient, ski: str) -> None:
    retraction = retract(client, usage(client, 3))
    answer = client.post(f"records/{retraction}/retraction", {"body": {"reason": "duplicate"}})
    assert (answer.status, answer.slug) == (422, "wrong-state")


def test_a_correction_keeps_the_kind(client: ApiClient, ski: str) -> None:
    body = {"kind": "status", "performed_at": "2025-01-31", "body": {"status": "sold"}}
    document = {"body": {"reason": "wrong_value", "replacement": body}}
    answer = client.post(f"records/{usage(client, 3)}/correction", document)
    assert (answer.status, answer.pointers) == (422, ["/body/replacement/kind"])


@pytest.mark.parametrize("name", ["ski", "refers_to"])
def test_what_the_address_says_is_not_sent(name: str, client: ApiClient, ski: str) -> None:
    document = {**replacement(2), name: draft("usage")["ski"]}
    answer = client.post(f"records/{usage(client, 3)}/correction", document)
    assert (answer.status, answer.pointers) == (400, [f"/{name}"])


def test_a_bad_replacement_is_named_by_its_field(client: ApiClient, ski: str) -> None:
    answer = client.post(f"records/{usage(client, 3)}/correction", replacement(-2))
    assert (answer.status, answer.pointers) == (400, ["/body/replacement/body/days"])


def test_the_correction_is_about_the_same_ski_by_the_same_author(
    client: ApiClient, ski: str
) -> None:
    original = usage(client, 3)
    written = write(client, f"records/{original}/correction", replacement(2))
    record = written.json["record"]
    assert written.headers["Location"] == f"/api/v1/records/{written.json['id']}"
    assert record["refers_to"] == [original]
    assert record["ski"] == {"shop": client.handle, "tag": "FB-0042"}
    assert record["author"] == client.handle


def test_a_field_of_another_kind_is_not_proposed_in_a_replacement(
    client: ApiClient, ski: str
) -> None:
    job = write(client, "jobs", draft("job")).json["id"]
    whole = {"kind": "job", "performed_at": "2025-01-30", "body": {"days": 3, "remark": "x"}}
    answer = client.post(
        f"records/{job}/correction", {"body": {"reason": "wrong_value", "replacement": whole}}
    )
    said = {one["pointer"]: one["detail"] for one in answer.json["errors"]}
    assert said == {
        "/body/replacement/body/days": "No field `days` here; leave it out.",
        "/body/replacement/body/remark": "No field `remark` here; did you mean `remarks`?",
    }
