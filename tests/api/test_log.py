"""The log as anybody can check it: checkpoint, proofs, and the rows that a peer follows."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from django.conf import settings
from pytest_django import DjangoAssertNumQueries

from apps.exchange.models import Cosignature
from apps.records.canonical import record_id
from apps.records.checkpoint import Checkpoint, log_origin, read_checkpoint
from apps.records.notes import Note, VerifierKey, cosign_text
from apps.records.signing import PrivateKey
from apps.records.tree import record_leaf, verify_consistency, verify_inclusion
from apps.registry import actions
from apps.registry.actors import OPERATOR, Scope
from apps.registry.identity import node_handle, node_key
from apps.registry.models import Record
from tests.api.client import ApiClient
from tests.api.making import draft, write

pytestmark = pytest.mark.django_db


@pytest.fixture
def log(client: ApiClient, ski: str) -> list[str]:
    """A log of keys, a description and five records of use; gives the ids in its order."""
    for _ in range(5):
        write(client, "usage", draft("usage"))
    return list(Record.objects.order_by("log_index").values_list("id", flat=True))


@pytest.fixture
def peer(client: ApiClient) -> ApiClient:
    """A client with the key of a peer."""
    issued = actions.issue_api_key(shop=node_handle(), scopes=[Scope.FEED], by=OPERATOR)
    return ApiClient(issued.token)


def checkpoint_of(client: ApiClient, query: str = "") -> Checkpoint:
    """The checkpoint of the node, once its signature holds under the node's key."""
    answer = client.get(f"log/checkpoint{query}")
    assert answer.status == 200
    assert answer.headers["Content-Type"] == "text/plain; charset=utf-8"
    key = VerifierKey(log_origin(settings.NODE_HOST), node_key().public)
    reading = read_checkpoint(answer.content, key)
    assert reading.holds, reading.sentence
    return reading.checkpoint


def hashes(answer: Any) -> list[bytes]:
    return [bytes.fromhex(one) for one in answer["hashes"]]


class TestCheckpoint:
    def test_it_is_signed_by_the_node_and_needs_no_key(
        self, log: list[str], nobody: ApiClient
    ) -> None:
        checkpoint = checkpoint_of(nobody)
        assert checkpoint.origin == f"{settings.NODE_HOST}/log"
        assert checkpoint.size == len(log)

    def test_it_follows_the_log(self, log: list[str], client: ApiClient, nobody: ApiClient) -> None:
        before = checkpoint_of(nobody)
        write(client, "usage", draft("usage"))
        after = checkpoint_of(nobody)
        assert (after.size, after.root != before.root) == (before.size + 1, True)
        assert checkpoint_of(nobody, f"?size={before.size}") == before

    def test_an_unchanged_log_is_not_sent_twice(self, log: list[str], nobody: ApiClient) -> None:
        first = nobody.get("log/checkpoint")
        again = nobody.get("log/checkpoint", If_None_Match=first.headers["ETag"])
        assert (again.status, again.content) == (304, b"")

    def test_cosignatures_stand_under_the_checkpoint_that_they_are_of(
        self, log: list[str], client: ApiClient, nobody: ApiClient
    ) -> None:
        seen = checkpoint_of(nobody)
        witness = PrivateKey.from_seed(b"witness".ljust(32, b"."))
        line = cosign_text(seen.text, "west.example/log", witness, time_s=1_700_000_000).line
        Cosignature._default_manager.create(
            witness="west.example",
            size=seen.size,
            root=seen.root.hex(),
            line=line,
            noted_at=datetime(2025, 3, 1, tzinfo=UTC),
        )
        key = VerifierKey("west.example/log", witness.public).as_cosigner
        note = Note.from_bytes(nobody.get("log/checkpoint").content)
        assert note.check(key).holds
        write(client, "usage", draft("usage"))
        grown = Note.from_bytes(nobody.get("log/checkpoint").content)
        assert len(grown.signatures) == 1
        older = Note.from_bytes(nobody.get(f"log/checkpoint?size={seen.size}").content)
        assert older.check(key).holds

    def test_a_size_that_the_log_has_not(self, log: list[str], nobody: ApiClient) -> None:
        answer = nobody.get(f"log/checkpoint?size={len(log) + 1}")
        assert (answer.status, answer.slug) == (400, "invalid-parameters")
        assert answer.pointers == ["size"]
        assert f"The log has {len(log)} records" in answer.json["detail"]

    def test_a_key_that_is_not_valid_is_refused_here_too(self, log: list[str]) -> None:
        assert ApiClient("skireg_aaaaaaaa_" + "A" * 43).get("log/checkpoint").status == 401

    def test_it_is_text_and_nothing_else(self, log: list[str], nobody: ApiClient) -> None:
        assert nobody.get("log/checkpoint", Accept="image/png").status == 406


class TestProof:
    def test_of_every_record_by_id_and_by_place(self, log: list[str], nobody: ApiClient) -> None:
        root = checkpoint_of(nobody).root
        for index, one in enumerate(log):
            answer = nobody.get(f"log/proof?record={one}").json
            assert nobody.get(f"log/proof?index={index}").json == answer
            assert (answer["record"], answer["index"], answer["size"]) == (one, index, len(log))
            assert answer["root"] == root.hex()
            leaf = record_leaf(one)
            assert verify_inclusion(leaf, index, len(log), hashes(answer), root).holds

    def test_in_an_older_tree(self, log: list[str], nobody: ApiClient) -> None:
        old = checkpoint_of(nobody, "?size=5")
        answer = nobody.get(f"log/proof?record={log[3]}&size=5").json
        assert verify_inclusion(record_leaf(log[3]), 3, 5, hashes(answer), old.root).holds

    @pytest.mark.parametrize(
        ("query", "status", "place"),
        [
            ("", 400, ["record"]),
            ("?record={known}&index=0", 400, ["record"]),
            ("?record=ABC", 400, ["record"]),
            ("?index=-1", 400, ["index"]),
            ("?index=99", 400, ["index"]),
            ("?index=0&size=99", 400, ["size"]),
            ("?index=5&size=5", 400, ["size"]),
            ("?record=" + "ab" * 32, 404, []),
            ("?leaf=0", 400, ["leaf"]),
        ],
    )
    def test_what_there_is_no_proof_of(
        self, log: list[str], nobody: ApiClient, query: str, status: int, place: list[str]
    ) -> None:
        answer = nobody.get(f"log/proof{query.format(known=log[0])}")
        assert answer.status == status
        assert answer.pointers[:1] == place

    def test_it_costs_the_same_few_queries_in_a_longer_log(
        self,
        log: list[str],
        client: ApiClient,
        nobody: ApiClient,
        django_assert_num_queries: DjangoAssertNumQueries,
    ) -> None:
        for _ in range(2):
            with django_assert_num_queries(4):
                assert nobody.get(f"log/proof?record={log[2]}").status == 200
            for _ in range(9):
                write(client, "usage", draft("usage"))


class TestConsistency:
    def test_between_any_two_sizes(self, log: list[str], nobody: ApiClient) -> None:
        roots = [checkpoint_of(nobody, f"?size={size}").root for size in range(len(log) + 1)]
        for size in range(1, len(log) + 1):
            for old in range(size + 1):
                answer = nobody.get(f"log/consistency?old={old}&size={size}").json
                assert (answer["old_root"], answer["root"]) == (roots[old].hex(), roots[size].hex())
                check = verify_consistency(old, size, hashes(answer), roots[old], roots[size])
                assert check.holds, check.sentence

    def test_to_the_log_as_it_is(self, log: list[str], nobody: ApiClient) -> None:
        assert nobody.get("log/consistency?old=3").json["size"] == len(log)

    @pytest.mark.parametrize(
        ("query", "place"),
        [("", "old"), ("?old=5&size=4", "old"), ("?old=5&size=99", "size"), ("?old=x", "old")],
    )
    def test_what_never_was(
        self, log: list[str], nobody: ApiClient, query: str, place: str
    ) -> None:
        answer = nobody.get(f"log/consistency{query}")
        assert (answer.status, answer.pointers) == (400, [place])


class TestRows:
    def test_every_record_once_in_the_order_of_the_log(
        self, log: list[str], peer: ApiClient
    ) -> None:
        rows: list[Any] = []
        address: str | None = "log/records?limit=3"
        while address is not None:
            page = peer.get(address).json
            assert (page["size"], page["until"]) == (len(log), len(log))
            rows += page["items"]
            address = page.get("next")
        assert [row["id"] for row in rows] == log
        assert [row["index"] for row in rows] == list(range(len(log)))

    def test_the_bytes_are_those_that_were_signed(self, log: list[str], peer: ApiClient) -> None:
        content = peer.get("log/records?from=2&until=3").content
        document = content.partition(b'"record":')[2].removesuffix(b"}]}")
        assert record_id(document) == log[2]

    def test_what_is_written_meanwhile_lies_beyond_the_bound(
        self, log: list[str], client: ApiClient, peer: ApiClient
    ) -> None:
        first = peer.get("log/records?limit=5").json
        write(client, "usage", draft("usage"))
        second = peer.get(first["next"]).json
        assert [row["id"] for row in (*first["items"], *second["items"])] == log
        assert "next" not in second
        assert (second["size"], second["until"]) == (len(log) + 1, len(log))
        (new,) = peer.get(f"log/records?from={second['until']}").json["items"]
        assert new["index"] == len(log)

    def test_up_to_a_checkpoint(self, log: list[str], peer: ApiClient) -> None:
        page = peer.get("log/records?from=1&until=4").json
        assert [row["index"] for row in page["items"]] == [1, 2, 3]
        assert "next" not in page

    def test_nothing_new_is_an_empty_page(self, log: list[str], peer: ApiClient) -> None:
        page = peer.get(f"log/records?from={len(log)}").json
        assert page == {"size": len(log), "until": len(log), "items": []}

    def test_a_page_ends_where_its_bytes_grow_many(
        self, log: list[str], peer: ApiClient, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr("apps.exchange.feed.MOST_BYTES", 1)
        page = peer.get("log/records").json
        assert [row["index"] for row in page["items"]] == [0]
        assert "from=1" in page["next"]

    def test_a_page_is_one_query_of_rows(
        self,
        log: list[str],
        peer: ApiClient,
        django_assert_num_queries: DjangoAssertNumQueries,
    ) -> None:
        # The other two look up the key and the length of the log.
        with django_assert_num_queries(3):
            assert len(peer.get("log/records").json["items"]) == len(log)

    def test_only_for_peers(self, log: list[str], client: ApiClient, nobody: ApiClient) -> None:
        assert client.get("log/records").status == 403
        assert nobody.get("log/records").status == 401

    @pytest.mark.parametrize(
        ("query", "place"),
        [
            ("?until=99", "until"),
            ("?from=x", "from"),
            ("?limit=501", "limit"),
            ("?start=1", "start"),
        ],
    )
    def test_what_can_not_be_listed(
        self, log: list[str], peer: ApiClient, query: str, place: str
    ) -> None:
        answer = peer.get(f"log/records{query}")
        assert (answer.status, answer.pointers) == (400, [place])
