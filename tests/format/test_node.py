"""A node's answers as the second reader sees them: it follows the log, and it hands records in."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest
from django.conf import settings

from apps.registry import actions
from apps.registry.actors import OPERATOR, Scope
from apps.registry.erasing import erase_record
from apps.registry.identity import node_handle
from tests.api.client import Answered, ApiClient
from tests.api.making import TAG, a_client, draft, register, write
from tests.format.bundle import holds_bundle
from tests.format.documents import base64url, canonical, id_of, parse, read_record
from tests.format.keys import Book, key_id, private, proof_bytes, public
from tests.format.log import grew, included, root
from tests.format.notes import read_checkpoint, read_note, read_vkey
from tests.format.pages import SHOP_SEED

pytestmark = pytest.mark.django_db

KEY = private(SHOP_SEED)


@pytest.fixture
def shop(db: None) -> ApiClient:
    """A shop whose key the node held first, and that signs itself from then on."""
    client = a_client("fellbench", Scope.READ, Scope.WRITE, Scope.KEYS)
    register(client, TAG)
    write(client, "jobs", draft("job"))
    raw = public(KEY)
    proof = base64url(KEY.sign(proof_bytes(client.handle)))
    answer = client.post("keys", {"public": base64url(raw), "proof": proof})
    assert answer.status == 201, answer.content
    return client


@pytest.fixture
def follower(shop: ApiClient) -> ApiClient:
    """A client with the key of a peer."""
    issued = actions.issue_api_key(shop=node_handle(), scopes=[Scope.FEED], by=OPERATOR)
    return ApiClient(issued.token)


def made(handle: str, **members: Any) -> dict[str, Any]:
    """A record as the pages describe it."""
    document = {
        "format": 1,
        "kind": "usage",
        "author": handle,
        "key": key_id(public(KEY)),
        "ski": {"shop": handle, "tag": TAG},
        "performed_at": "2025-02-01",
        "body": {"days": 3},
        "refers_to": [],
        "salt": "0f" * 16,
        **members,
    }
    return read_record(document)


def put(client: ApiClient, document: dict[str, Any]) -> Answered:
    data = canonical(document)
    body = {"record": document, "signature": base64url(KEY.sign(data))}
    return client.put(f"records/{id_of(data)}", body)


def test_a_record_that_is_made_by_the_pages_is_taken(shop: ApiClient) -> None:
    document = made(shop.handle)
    first, again = put(shop, document), put(shop, document)
    assert (first.status, again.status) == (201, 200)
    assert first.json["rank"] == "shop-signed"
    assert first.json["id"] == id_of(canonical(document))
    later = made(shop.handle, format=2, kind="scan", later={"colours": [1, 2]})
    assert put(shop, later).status == 201


def test_a_reader_follows_the_log_by_the_pages(shop: ApiClient, follower: ApiClient) -> None:
    seen = put(shop, made(shop.handle)).json["log_index"]
    put(shop, made(shop.handle, format=2, kind="scan"))
    erase_record(record_id=id_of(canonical(made(shop.handle))), reason="author_asked", by=OPERATOR)
    name, size, top = checkpoint(follower)
    rows = follower.get(f"log/records?until={size}").json["items"]
    ids = [row["id"] for row in rows]
    assert (name, len(rows), root(ids)) == (f"{settings.NODE_HOST}/log", size, top)
    check_rows(rows)
    assert [row["index"] for row in rows if "erased_by" in row] == [seen]
    for index in range(size):
        proof = follower.get(f"log/proof?index={index}&size={size}").json
        assert included(ids[index], index, size, [*map(bytes.fromhex, proof["hashes"])], top)
        growth = follower.get(f"log/consistency?old={index}&size={size}").json
        hashes = [*map(bytes.fromhex, growth["hashes"])]
        assert grew(index, size, hashes, root(ids[:index]), top)


def checkpoint(client: ApiClient) -> tuple[str, int, bytes]:
    """Read the checkpoint under the key that the node names; gives origin, size and root."""
    said = client.django.get("/.well-known/ski-service-registry").json()
    name, raw = read_vkey(said["log"]["node_key"])
    note = read_note(client.get("log/checkpoint").content.decode())
    assert note.signed_by(name, raw)
    return read_checkpoint(note.text)


def check_rows(rows: list[dict[str, Any]]) -> None:
    """Check each record of a whole log: shape, id, key and signature."""
    book = Book()
    for index, row in enumerate(rows):
        assert row["index"] == index
        if "erased_by" in row:
            continue
        record = read_record(row["record"])
        assert id_of(canonical(record)) == row["id"]
        if record["kind"] in {"key", "key-end"}:
            book.take(index, record, row["signature"])
        else:
            book.check(index, record, row["signature"])


def test_an_export_is_lines_as_the_page_says(shop: ApiClient, follower: ApiClient) -> None:
    put(shop, made(shop.handle))
    erase_record(record_id=id_of(canonical(made(shop.handle))), reason="author_asked", by=OPERATOR)
    for client, whole in ((shop, False), (follower, True)):
        data = client.get("exports").content
        *lines, last = data.splitlines(keepends=True)
        rows = [parse(line, max_bytes=100_000, max_depth=18) for line in lines]
        end = json.loads(last)["end"]
        assert end == {
            "count": len(rows),
            "digest": hashlib.sha256(b"".join(lines)).hexdigest(),
            "from": 0,
            "until": checkpoint(follower)[1],
        }
        assert sum("erased_by" in row for row in rows) == 1
        if whole:
            check_rows(rows)


def test_a_bundle_of_the_node_holds(shop: ApiClient) -> None:
    put(shop, made(shop.handle))
    put(shop, made(shop.handle, format=2, kind="scan"))
    erase_record(record_id=id_of(canonical(made(shop.handle))), reason="author_asked", by=OPERATOR)
    said = shop.django.get("/.well-known/ski-service-registry").json()
    data = shop.get(f"skis/fellbench/{TAG}/bundle").content
    assert holds_bundle(data, said["log"]["node_key"])
    assert not holds_bundle(data.replace(b"author_asked", b"legal_duty"))
