"""Checking a bundle, by docs/format/exchange.md and its ten steps in docs/bundles.md."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from tests.format.documents import (
    ID,
    MAX_DEPTH,
    MAX_INTEGER,
    Unreadable,
    canonical,
    id_of,
    need,
    parse,
    read_record,
    read_ski,
    unbase64url,
)
from tests.format.keys import Book, holds
from tests.format.log import included
from tests.format.notes import read_checkpoint, read_note, read_vkey

MEMBERS = {"format", "ski", "links", "tags", "checkpoint", "node_key", "records", "keys"}
MOST_TAGS = 8

Row = Mapping[str, Any]


def verify(data: bytes, expected_key: str | None = None) -> None:
    """Check a bundle; raises `Unreadable` where it doesn't hold."""
    whole = parse(data, max_bytes=64 * 2**20, max_depth=MAX_DEPTH + 4)
    need(isinstance(whole, dict) and set(whole) == {"bundle", "signature"}, "no bundle")
    body = whole["bundle"]
    need(isinstance(body, dict) and set(body) == MEMBERS, "no bundle")
    need(canonical(whole) == data, "not canonical")
    need(type(body["format"]) is int and body["format"] == 1, "another format")
    need(isinstance(body["node_key"], str) and isinstance(body["checkpoint"], str), "no texts")
    name, raw = read_vkey(body["node_key"])
    need(expected_key in (None, body["node_key"]), "another node's key")
    need(holds(raw, canonical(body), whole["signature"]), "the node didn't sign it")
    note = read_note(body["checkpoint"])
    need(note.signed_by(name, raw), "the checkpoint isn't signed")
    origin, size, top = read_checkpoint(note.text)
    need(origin == name, "a checkpoint of another log")
    keys, records = (_rows(body[part], size, top) for part in ("keys", "records"))
    _signatures(keys, records, name.removesuffix("/log"), raw)
    _subjects(body, records)


def _rows(rows: Any, size: int, top: bytes) -> list[Row]:
    need(isinstance(rows, list), "no list")
    before = -1
    for row in rows:
        _shape(row)
        need(row["index"] > before, "out of order")
        before = row["index"]
        proof = [bytes.fromhex(one) for one in row["proof"]]
        need(included(row["id"], row["index"], size, proof, top), "not in the tree")
    return list(rows)


def _shape(row: Any) -> None:
    need(isinstance(row, dict), "no row")
    erased = set(row) == {"index", "id", "proof", "erased_by"}
    need(erased or set(row) == {"index", "id", "proof", "signature", "record"}, "no row")
    need(type(row["index"]) is int and 0 <= row["index"] <= MAX_INTEGER, "no place")
    need(isinstance(row["proof"], list) and len(row["proof"]) <= 64, "no proof")
    ids = [row["id"], *row["proof"], *([row["erased_by"]] if erased else [])]
    need(all(isinstance(one, str) and ID.fullmatch(one) for one in ids), "no hash")
    if not erased:
        unbase64url(row["signature"], 64)
        data = canonical(read_record(row["record"]))
        need(len(data) <= 32_768 and parse(data) == row["record"], "no record")
        need(id_of(data) == row["id"], "another record's id")


def _signatures(keys: list[Row], records: list[Row], host: str, raw: bytes) -> None:
    book = Book()
    for row in keys:
        need("record" in row, "a key is never erased")
        book.take(row["index"], row["record"], row["signature"])
    own = [key for key in book.keys.values() if key.shop == f"node@{host}" and key.ends is None]
    need(raw in [key.raw for key in own], "the node's key isn't stated")
    for row in records:
        if "record" in row:
            book.check(row["index"], row["record"], row["signature"])
        else:
            need(_erasure_of(row, records), "no erasure")


def _erasure_of(row: Row, records: list[Row]) -> bool:
    return any(
        one["id"] == row["erased_by"]
        and one["record"]["format"] == 1
        and one["record"]["kind"] == "erasure"
        and one["record"]["refers_to"] == [row["id"]]
        for one in records
        if "record" in one
    )


def _subjects(body: Mapping[str, Any], records: list[Row]) -> None:
    need(isinstance(body["tags"], list), "no list")
    tags = [_own_tag(one) for one in body["tags"]]
    need(tags == sorted(set(tags)) and 1 <= len(tags) <= MOST_TAGS, "tags out of order")
    need(_own_tag(body["ski"]) in tags, "the tag that was asked for is missing")
    for row in records:
        if "record" in row:
            need(_tag(row["record"].get("ski")) in tags, "about another ski")
    joined = joined_with(_tag(body["ski"]), standing_links(records), body["links"])
    need(set(tags) <= joined, "tags that nothing joins")


def _own_tag(ski: Any) -> str:
    read_ski(ski)
    need(set(ski) == {"shop", "tag"}, "more about the ski")
    return _tag(ski)


def _tag(ski: Any) -> str:
    need(isinstance(ski, dict) and {"shop", "tag"} <= set(ski), "no ski")
    return f"{ski['shop']}/{ski['tag']}"


@dataclass(frozen=True)
class Link:
    """A statement about two tags that counts."""

    author: str
    same: bool
    tags: frozenset[str]

    @property
    def shops(self) -> set[str]:
        """The shops of the two tags."""
        return {tag.partition("/")[0] for tag in self.tags}


def standing_links(rows: Iterable[Row]) -> list[Link]:
    """Give the statements that their authors didn't take back and that count."""
    records = {row["id"]: row["record"] for row in rows if "record" in row}
    firsts = {i: one for i, one in records.items() if one["format"] == 1}
    back = {
        (one["refers_to"][0], one["author"], _tag(one["ski"]))
        for one in firsts.values()
        if one["kind"] == "retraction"
    }
    said = [
        Link(
            one["author"],
            one["kind"] == "same-ski",
            frozenset((_tag(one["ski"]), _tag(one["body"]["other_ski"]))),
        )
        for i, one in firsts.items()
        if one["kind"] in {"same-ski", "distinct-ski"}
        and (i, one["author"], _tag(one["ski"])) not in back
    ]
    return [link for link in said if link.author in link.shops]


def joined_with(tag: str, links: Iterable[Link], mode: str) -> set[str]:
    """Give the tags that are joined with one, by the rules of docs/format/records.md."""
    need(mode in {"mutual", "all", "none"}, "no mode of links")
    known = list(links)
    same = {link.tags for link in known if link.same}
    authors = {pair: {k.author for k in known if k.same and k.tags == pair} for pair in same}
    joining = [
        pair
        for pair in same
        if mode == "all" or (mode == "mutual" and Link("", True, pair).shops <= authors[pair])
    ]
    found = {tag}
    while new := {other for pair in joining if pair & found for other in pair} - found:
        found |= new
    contested = any(not link.same and link.tags <= found for link in known)
    return {tag} if contested or len(found) > MOST_TAGS else found


def holds_bundle(data: bytes, expected_key: str | None = None) -> bool:
    """Say whether a bundle holds."""
    try:
        verify(data, expected_key)
    except Unreadable:
        return False
    return True
