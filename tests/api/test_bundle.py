"""The bundle of a ski, taken from the API and verified without the node."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from apps.api.bundle_example import example_file
from apps.exchange import bundles
from apps.records.bundle import verify_bundle
from apps.records.bundle_report import BundleReport
from apps.records.checkpoint import log_origin
from apps.records.notes import VerifierKey
from apps.registry import tree
from apps.registry.actors import OPERATOR, shop_actor
from apps.registry.erasing import erase_record
from apps.registry.identity import public_key_of_node
from apps.registry.key_actions import replace_signing_key
from apps.registry.submissions import Submission
from tests.api.client import Answered, ApiClient
from tests.api.making import draft, handle_of, register, write
from tests.api.test_history import correct, replacement, usage
from tests.exchange.homes import Home
from tests.registry.links import say
from tests.registry.making import pulled

HOST = handle_of("").removeprefix("@")


def node_vkey() -> str:
    public = public_key_of_node(HOST)
    assert public is not None
    return VerifierKey(log_origin(HOST), public).text


def verified(answer: Answered) -> BundleReport:
    assert answer.status == 200, answer.content
    report = verify_bundle(answer.content, node_vkey())
    assert report.faults == ()
    return report


def facts_of(answer: Answered) -> tuple[int, int, int]:
    facts = verified(answer).facts
    assert facts is not None
    return facts.records, facts.erased, facts.size


def test_a_bundle_verifies_and_has_all_records_of_the_ski(client: ApiClient, ski: str) -> None:
    register(client, "FB-0099")
    write(client, "usage", draft("usage", tag="FB-0099"))
    correct(client, usage(client, 3), replacement(2))
    answer = client.get(f"{ski}/bundle")
    assert facts_of(answer) == (3, 0, tree.log_size())
    assert answer.headers["Content-Disposition"] == 'attachment; filename="FB-0042.bundle.json"'
    assert answer.headers["Content-Type"] == "application/json"


def test_the_same_log_gives_the_same_file(client: ApiClient, ski: str) -> None:
    one, two = client.get(f"{ski}/bundle"), client.get(f"{ski}/bundle")
    assert one.content == two.content
    assert client.get(f"{ski}/bundle", If_None_Match=one.headers["ETag"]).status == 304


def test_it_takes_in_every_key_that_spoke(client: ApiClient, other: ApiClient, ski: str) -> None:
    usage(client, 3)
    for handle in (client.handle, handle_of("node"), client.handle):
        replace_signing_key(shop=handle, by=OPERATOR)
    usage(client, 4)
    write(other, "measurements", draft("measurement"))
    facts = verified(client.get(f"{ski}/bundle")).facts
    assert facts is not None
    assert facts.ranks == {"node-attested": 4}
    # Of the node, of the shop and of the other shop: six were begun, and three of them ended.
    rows = client.get(f"{ski}/bundle").json["bundle"]["keys"]
    kinds = [row["record"]["kind"] for row in rows]
    assert (kinds.count("key"), kinds.count("key-end")) == (6, 3)


def test_what_was_erased_keeps_its_place(client: ApiClient, ski: str) -> None:
    record = usage(client, 3)
    erased = erase_record(record_id=record, reason="personal_data", by=OPERATOR)
    answer = client.get(f"{ski}/bundle")
    assert facts_of(answer) == (3, 1, tree.log_size())
    row = answer.json["bundle"]["records"][1]
    assert (row["id"], row["erased_by"]) == (record, erased.record_id)
    assert "record" not in row


def test_records_of_a_peer_come_with_the_keys_of_their_node(client: ApiClient) -> None:
    home = Home("fjall.example", ["tarnside"])
    for kind in ("description", "usage"):
        home.write(kind, "tarnside", tag="TS-7")
    pulled(*(Submission(record.data, record.signature) for record in home.records))
    answer = client.get("skis/tarnside@fjall.example/TS-7/bundle")
    facts = verified(answer).facts
    assert facts is not None
    assert (facts.records, facts.first_seen) == (2, ("fjall.example",))
    authors = {row["record"]["author"] for row in answer.json["bundle"]["keys"]}
    assert authors == {handle_of("node"), "node@fjall.example"}


def test_links_join_what_the_bundle_holds(client: ApiClient, other: ApiClient, ski: str) -> None:
    register(other, "TE-1")
    ours, theirs = "fellbench/FB-0042", "tarnedge/TE-1"
    say(shop_actor(client.handle), "same-ski", ours, theirs)
    assert [facts_of(client.get(f"{ski}/bundle?links={links}"))[0] for links in LINKS] == [2, 3, 2]
    say(shop_actor(other.handle), "same-ski", theirs, ours)
    assert [facts_of(client.get(f"{ski}/bundle?links={links}"))[0] for links in LINKS] == [4, 4, 2]
    facts = verified(client.get(f"{ski}/bundle")).facts
    assert facts is not None
    assert facts.tags == (f"{client.handle}/FB-0042", f"{other.handle}/TE-1")
    say(shop_actor(other.handle), "distinct-ski", theirs, ours)
    assert [facts_of(client.get(f"{ski}/bundle?links={links}"))[0] for links in LINKS] == [2, 2, 2]


LINKS = ("mutual", "all", "none")


def test_anybody_who_holds_the_tag_takes_it_and_is_noted(
    client: ApiClient, other: ApiClient, nobody: ApiClient, ski: str
) -> None:
    verified(other.get(f"{ski}/bundle"))
    assert nobody.get(f"{ski}/bundle").slug == "unauthenticated"
    assert other.get("skis/fellbench/FB-0043/bundle").slug == "unknown-ski"
    assert client.get(f"{ski}/bundle?links=some").slug == "invalid-parameters"


def test_a_ski_names_its_bundle(client: ApiClient, ski: str) -> None:
    assert client.get(ski).json["links"]["bundle"] == f"{ski}/bundle"


def test_a_ski_with_too_many_records_is_refused(
    client: ApiClient, ski: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bundles, "MOST_ROWS", 1)
    verified(client.get(f"{ski}/bundle"))
    usage(client, 3)
    assert client.get(f"{ski}/bundle").slug == "too-many-records"
    monkeypatch.setattr(bundles, "MOST_ROWS", 2)
    monkeypatch.setattr(bundles, "MOST_BYTES", 600)
    assert client.get(f"{ski}/bundle").slug == "too-many-records"


@contextmanager
def counted() -> Iterator[list[int]]:
    counts: list[int] = []
    with CaptureQueriesContext(connection) as queries:
        yield counts
    counts.append(len(queries))


def test_many_records_take_no_more_queries(client: ApiClient, ski: str) -> None:
    def took() -> int:
        with counted() as counts:
            assert client.get(f"{ski}/bundle").status == 200
        return counts[0]

    for day in range(13):
        write(client, "usage", draft("usage", performed_at=f"2025-01-{day + 1:02}"))
    assert tree.log_size() == 16
    before = took()
    usage(client, 1)
    for day in range(14, 29):
        write(client, "usage", draft("usage", performed_at=f"2025-01-{day:02}"))
    assert tree.log_size() == 32
    # Twice as long a log has one level more, which is one query more, whatever is on it.
    assert took() <= before + 1


def test_the_example_of_the_contract_verifies() -> None:
    assert verify_bundle(example_file()).holds
