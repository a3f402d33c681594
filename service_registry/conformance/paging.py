"""Checks that pages hold each thing once, while others write."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from apps.records.canonical import canonical_bytes, record_id
from service_registry.conformance.answers import Answer
from service_registry.conformance.checks import Failed, Subject, expect, expect_that
from service_registry.conformance.node import Node

SUBJECT = Subject("paging")
RECORDS = 12
WRITERS = 2
MOST_PAGES = 2000
PATIENCE_S = 60


@contextmanager
def writing(node: Node) -> Iterator[list[str]]:
    """Let several write until the block ends; gives the ids they wrote, as they come."""
    over = threading.Event()
    ids: list[str] = []
    draft = node.usage()

    def write() -> None:
        while not over.is_set():
            answer = node.post("usage", draft)
            if answer.status == 201:
                ids.append(str(answer.at("id")))

    writers = [threading.Thread(target=write, daemon=True) for _ in range(WRITERS)]
    for writer in writers:
        writer.start()
    try:
        yield ids
    finally:
        over.set()
        for writer in writers:
            writer.join(PATIENCE_S)


def pages(node: Node, path: str, *, key: str = "own") -> Iterator[Answer]:
    """Follow a list from page to page."""
    for _ in range(MOST_PAGES):
        page = node.get(path, key=key).has_status(200)
        yield page
        following = page.json.get("next")
        if following is None:
            return
        path = str(following)
    raise Failed(f"The list has more than {MOST_PAGES} pages.")


@SUBJECT.check("A list read page by page under writes holds each record below its bound once.")
def a_list_under_writes(node: Node) -> None:
    """Page through the own records on one ski while others write to it."""
    before = [str(node.write("usage", node.usage()).at("id")) for _ in range(RECORDS)]
    with writing(node):
        read = list(pages(node, f"usage?tag={node.tag}&limit=3"))
    bounds = {page.at("until") for page in read}
    expect(len(bounds), 1, "The number of bounds from the first page to the last")
    items = [item for page in read for item in page.at("items")]
    _each_once_in_order([item["log_index"] for item in items], bounds.pop())
    missing = set(before) - {item["id"] for item in items}
    expect(missing, set(), "What was written before the first page and is on none")
    expect_that(len(read) > 1, "A list of more items than a page holds has no `next`.")


def _each_once_in_order(places: list[int], bound: int) -> None:
    expect(places, sorted(set(places)), "The places on the pages")
    expect_that(not places or places[-1] < bound, "A page holds what is beyond the bound.")


@SUBJECT.check("The feed read page by page under writes holds every place once, without a hole.")
def the_feed_under_writes(node: Node) -> None:
    """Follow the end of the log while others write, and hash every row."""
    start = int(node.write("usage", node.usage()).at("log_index"))
    with writing(node) as written:
        rows = _follow(node, start)
        while len(written) < RECORDS:
            rows += _follow(node, start + len(rows))
    rows += _follow(node, start + len(rows))
    expect([row["index"] for row in rows], list(range(start, start + len(rows))), "The places")
    for row in rows:
        _is_itself(row)
    missing = set(written) - {row["id"] for row in rows}
    expect(missing, set(), "What was written and is not in the feed")


def _follow(node: Node, start: int) -> list[dict[str, Any]]:
    path = f"log/records?from={start}&limit=3"
    return [row for page in pages(node, path, key="feed") for row in page.at("items")]


def _is_itself(row: dict[str, Any]) -> None:
    if "record" in row:
        hashed = record_id(canonical_bytes(row["record"]))
        expect(row["id"], hashed, f"The id at place {row['index']}")


@SUBJECT.check("An answer that a client has already is answered with 304.")
def etags_hold(node: Node) -> None:
    """Ask again with the ETag."""
    first = node.get(node.ski_path).has_status(200)
    etag = first.headers.get("etag", "")
    expect_that(etag.startswith('"'), "The answer has no strong ETag.")
    node.get(node.ski_path, headers={"If-None-Match": etag}).has_status(304)
    node.write("usage", node.usage())
    node.get(f"{node.ski_path}/history", headers={"If-None-Match": etag}).has_status(200)
