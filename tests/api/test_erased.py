"""A record that the operator erased: 410 by its id, and never a gap in what is listed."""

from __future__ import annotations

import json
from typing import Any

import pytest

from apps.registry import actions
from apps.registry.actors import OPERATOR, Scope
from apps.registry.erasing import erase_record
from apps.registry.identity import node_handle
from apps.registry.models import IdempotencyKey
from apps.registry.submissions import Appended
from tests.api.client import ApiClient
from tests.api.making import draft, write

pytestmark = pytest.mark.django_db

WORD = "t99"


def erase(record_id: str) -> Appended:
    return erase_record(record_id=record_id, reason="personal_data", by=OPERATOR)


@pytest.fixture
def job(client: ApiClient, ski: str) -> dict[str, Any]:
    """A job in which a word stands that must go; gives the answer to its writing."""
    body = {**draft("job")["body"], "technician": WORD}
    answer: dict[str, Any] = write(client, "jobs", draft("job", body=body)).json
    return answer


def left_of(job: dict[str, Any], erased: Appended) -> dict[str, Any]:
    """What is shown in place of the record."""
    return {
        "id": job["id"],
        "log_index": job["log_index"],
        "received_at": job["received_at"],
        "state": "erased",
        "erased_by": erased.record_id,
    }


@pytest.mark.parametrize("segment", ["jobs", "records"])
def test_by_its_id_it_is_gone_and_the_reason_is_named(
    client: ApiClient, job: dict[str, Any], segment: str
) -> None:
    erased = erase(job["id"])
    answer = client.get(f"{segment}/{job['id']}")
    assert (answer.status, answer.slug) == (410, "erased")
    assert erased.record_id in answer.json["detail"]


def test_whoever_could_read_it_can_read_why(client: ApiClient, job: dict[str, Any]) -> None:
    erased = erase(job["id"])
    reason = client.get(f"records/{erased.record_id}").json["record"]
    assert reason["kind"] == "erasure"
    assert reason["refers_to"] == [job["id"]]
    assert reason["body"] == {"reason": "personal_data"}


def test_whoever_could_not_read_it_does_not_learn_of_it(
    other: ApiClient, job: dict[str, Any]
) -> None:
    erase(job["id"])
    assert other.get(f"records/{job['id']}").status == 404


def test_the_history_shows_its_place(client: ApiClient, ski: str, job: dict[str, Any]) -> None:
    erased = erase(job["id"])
    items = client.get(f"{ski}/history").json["items"]
    assert left_of(job, erased) in items
    assert {one["state"] for one in items} == {"stands", "erased"}
    assert [one["record"]["kind"] for one in items if "record" in one] == ["description", "erasure"]


def test_so_does_the_raw_one(client: ApiClient, ski: str, job: dict[str, Any]) -> None:
    erased = erase(job["id"])
    items = client.get(f"{ski}/history?raw=true").json["items"]
    places = [one["log_index"] for one in items]
    assert places == sorted(places)
    assert left_of(job, erased) in items


def test_so_does_the_list_of_its_kind(client: ApiClient, job: dict[str, Any]) -> None:
    (second,) = [write(client, "jobs", draft("job")).json]
    erased = erase(job["id"])
    items = client.get("jobs").json["items"]
    assert items[0] == left_of(job, erased)
    assert items[1]["id"] == second["id"]


def test_so_does_the_log_as_peers_read_it(client: ApiClient, job: dict[str, Any]) -> None:
    erased = erase(job["id"])
    issued = actions.issue_api_key(shop=node_handle(), scopes=[Scope.FEED], by=OPERATOR)
    page = ApiClient(issued.token).get(f"log/records?from={job['log_index']}").json
    place = {"index": job["log_index"], "id": job["id"], "erased_by": erased.record_id}
    assert page["items"][0] == place
    assert page["items"][1]["id"] == erased.record_id
    assert page["items"][1]["record"]["refers_to"] == [job["id"]]


def test_its_proof_still_holds(client: ApiClient, nobody: ApiClient, job: dict[str, Any]) -> None:
    before = nobody.get(f"log/proof?record={job['id']}").json
    erase(job["id"])
    assert nobody.get(f"log/proof?record={job['id']}&size={before['size']}").json == before


def test_no_answer_holds_its_words_any_more(
    client: ApiClient, ski: str, job: dict[str, Any]
) -> None:
    addresses = (f"{ski}/history", f"{ski}/history?raw=true", f"{ski}/condition", ski, "jobs")
    shown = [client.get(address) for address in addresses]
    assert any(WORD.encode() in answer.content for answer in shown)
    erase(job["id"])
    for address in addresses:
        answer = client.get(address)
        assert answer.status == 200
        assert WORD.encode() not in answer.content


@pytest.mark.parametrize("way", ["correction", "retraction"])
def test_it_is_not_amended_any_more(client: ApiClient, job: dict[str, Any], way: str) -> None:
    erase(job["id"])
    answer = client.post(f"records/{job['id']}/{way}", {"body": draft(way)["body"]})
    assert (answer.status, answer.slug) == (410, "erased")


def test_a_ski_of_which_all_is_erased_is_still_there(
    client: ApiClient, ski: str, job: dict[str, Any]
) -> None:
    items = client.get(f"{ski}/history").json["items"]
    for one in items:
        erase(one["id"])
    for address in (ski, f"{ski}/history", f"{ski}/condition", f"{ski}/wear"):
        assert client.get(address).status == 200, address
    states = [one["state"] for one in client.get(f"{ski}/history").json["items"]]
    assert states.count("erased") == 2


def test_a_repeated_request_writes_it_no_second_time(client: ApiClient, ski: str) -> None:
    body = {**draft("job")["body"], "technician": WORD}
    sent = json.dumps(draft("job", body=body)).encode()
    first = client.send("POST", "jobs", sent, Idempotency_Key="once")
    assert first.status == 201
    erase(first.json["id"])
    answer = client.send("POST", "jobs", sent, Idempotency_Key="once")
    assert (answer.status, answer.slug) == (410, "erased")
    assert len(client.get("jobs").json["items"]) == 1
    (kept,) = IdempotencyKey.objects.all()
    assert bytes(kept.body) == b""


def test_other_kept_answers_stay(client: ApiClient, ski: str, job: dict[str, Any]) -> None:
    sent = json.dumps(draft("usage")).encode()
    first = client.send("POST", "usage", sent, Idempotency_Key="other")
    erase(job["id"])
    again = client.send("POST", "usage", sent, Idempotency_Key="other")
    assert (again.status, again.content) == (201, first.content)
