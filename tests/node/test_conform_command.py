"""A running node conforms; one that is broken in some way fails the checks of that way."""

from __future__ import annotations

import base64
import json
import re
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from service_registry.conformance.checks import Check, Failed, NotRun
from service_registry.conformance.node import Node as Asked
from service_registry.conformance.report import as_json, line, summary
from service_registry.conformance.running import CHECKS, has_passed, run_checks
from tests.exchange.nodes import Node
from tests.node.altering_proxy import Altering, Passing, proxy, unaltered

DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture(scope="module")
def node(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Node]:
    """A node that serves with two workers."""
    running = Node("conform.example", tmp_path_factory.mktemp("node"))
    try:
        running.prepared(running.prepare("fellbench", 1))
        running.serve("--workers", "2")
        yield running
    finally:
        running.stop()


def test_a_running_node_conforms(node: Node) -> None:
    keys = ("--key", node.said["bench"], "--feed", node.said["feed"])
    done = node.run("conform", node.url, *keys)
    assert done.returncode == 0, done.stdout
    assert done.stdout.count("\nok ") + 1 == len(CHECKS)
    assert done.stdout.splitlines()[-1] == f"{node.url} conforms: {len(CHECKS)} checks hold."


def test_the_report_as_json(node: Node) -> None:
    keys = ("--key", node.said["bench"])
    done = node.run("conform", node.url, *keys, "--json", "--subject", "paging")
    assert done.returncode == 0, done.stdout
    report = json.loads(done.stdout)
    assert report["conforms"]
    assert report["counts"] == {"holds": 2, "not-run": 1}
    (without,) = [one for one in report["checks"] if one["outcome"] == "not-run"]
    assert without["name"] == "the-feed-under-writes"
    assert "--feed" in without["detail"]


def altered(node: Node, subjects: set[str], **altering: Altering) -> set[str]:
    """The checks that fail behind a proxy that alters."""
    checks = [check for check in CHECKS if check.subject in subjects]
    with proxy(node.url, **altering) as url:
        tested = Asked(url, key=node.said["bench"], feed=node.said["feed"])
        results = run_checks(tested, checks)
    return {one.check.name for one in results if one.outcome == "fails"}


def test_the_proxy_itself_breaks_nothing(node: Node) -> None:
    assert altered(node, {check.subject for check in CHECKS}) == set()


def edited(passing: Passing, document: Any) -> Passing:
    """The answer with another document."""
    return replace(passing, answer=json.dumps(document, separators=(",", ":")).encode())


def spaced(passing: Passing) -> Passing:
    """Records written with a blank that the canonical form does not have."""
    return replace(passing, answer=passing.answer.replace(b'"record":{', b'"record":{ '))


def other_days(passing: Passing) -> Passing:
    """Usage of another number of days than was signed."""
    return replace(passing, answer=passing.answer.replace(b'"days":1}', b'"days":9}'))


def short_decimals(passing: Passing) -> Passing:
    """Decimals without their last digit."""
    return replace(passing, answer=re.sub(rb'_deg":"(\d\.\d)0"', rb'_deg":"\1"', passing.answer))


def no_idempotency(passing: Passing) -> Passing:
    """The node never sees the key."""
    headers = {k: v for k, v in passing.headers.items() if k.lower() != "idempotency-key"}
    return replace(passing, headers=headers)


def a_hole(passing: Passing) -> Passing:
    """Pages lose their last item."""
    if passing.method != "GET" or not passing.answer.startswith(b'{"until"'):
        return passing
    document = json.loads(passing.answer)
    if "next" not in document:
        return passing
    return edited(passing, {**document, "items": document["items"][:-1]})


def feed_twice(passing: Passing) -> Passing:
    """Pages of the feed hold their first row twice."""
    if "/log/records" not in passing.path or passing.status != 200:
        return passing
    document = json.loads(passing.answer)
    return edited(passing, {**document, "items": [*document["items"][:1], *document["items"]]})


def other_proof(passing: Passing) -> Passing:
    """Proofs whose hashes are turned around in one digit."""
    if "/log/proof" not in passing.path:
        return passing
    answer = re.sub(
        rb'"hashes":\["(.)',
        lambda found: b'"hashes":["' + (b"0" if found[1] != b"0" else b"1"),
        passing.answer,
    )
    return replace(passing, answer=answer)


class Rewriting:
    """A log that says another root for the same size, once it was asked a few times."""

    def __init__(self) -> None:
        self.lock = threading.Lock()

    def __call__(self, passing: Passing) -> Passing:
        """Alter the old root's proof."""
        if "/log/consistency" not in passing.path or passing.status != 200:
            return passing
        document = json.loads(passing.answer)
        return edited(passing, {**document, "hashes": document["hashes"][1:]})


def other_root(passing: Passing) -> Passing:
    """Checkpoints with another root under the same signature."""
    if "/log/checkpoint" not in passing.path:
        return passing
    lines = passing.answer.split(b"\n")
    lines[2] = base64.b64encode(b"x" * 32)
    return replace(passing, answer=b"\n".join(lines))


def plain_json(passing: Passing) -> Passing:
    """Problems sent as plain JSON."""
    headers = dict(passing.answer_headers or {})
    if headers.get("content-type", "").startswith("application/problem"):
        headers["content-type"] = "application/json"
    return replace(passing, answer_headers=headers)


def lax(passing: Passing) -> Passing:
    """A node that lets an unknown field pass, and reads JSON as loosely as Python does."""
    if passing.path != "/api/v1/usage" or not passing.body.startswith(b"{"):
        return passing
    try:
        document = json.loads(passing.body)
    except ValueError:
        return passing
    document.pop("frost", None)
    body = json.dumps(document).encode()
    headers = {**passing.headers, "Content-Length": str(len(body))}
    return replace(passing, body=body, headers=headers)


def no_etag(passing: Passing) -> Passing:
    """Answers without ETag."""
    headers = {k: v for k, v in (passing.answer_headers or {}).items() if k != "etag"}
    return replace(passing, answer_headers=headers)


def always_new(passing: Passing) -> Passing:
    """A tag that is taken is answered as if it were new."""
    if passing.path == "/api/v1/skis" and passing.status == 409:
        return replace(passing, status=201)
    return passing


def no_capabilities(passing: Passing) -> Passing:
    """Capabilities without limits and with another host."""
    if "well-known" not in passing.path:
        return passing
    document = json.loads(passing.answer)
    del document["limits"]
    return edited(passing, {**document, "node_host": "other.example"})


BROKEN: list[tuple[Altering, Altering, set[str], set[str]]] = [
    (unaltered, spaced, {"vectors"}, {"bytes-are-canonical"}),
    (
        unaltered,
        other_days,
        {"vectors", "proofs"},
        {"id-is-the-hash", "the-bundle-verifies"},
    ),
    (unaltered, short_decimals, {"vectors"}, {"decimals-are-strings", "angle-becomes-bevel"}),
    (
        no_idempotency,
        unaltered,
        {"idempotence", "races"},
        {"a-repeat-is-answered-again", "a-key-is-for-one-request", "one-key-writes-once"},
    ),
    (unaltered, a_hole, {"paging"}, {"a-list-under-writes"}),
    (
        unaltered,
        feed_twice,
        {"paging", "proofs"},
        {"the-feed-under-writes", "the-root-follows-from-the-feed"},
    ),
    (unaltered, other_proof, {"proofs"}, {"records-are-in-the-tree"}),
    (unaltered, Rewriting(), {"proofs"}, {"the-log-only-grows"}),
    (
        unaltered,
        other_root,
        {"proofs", "capabilities"},
        {
            "checkpoint-is-signed",
            "records-are-in-the-tree",
            "the-log-only-grows",
            "the-root-follows-from-the-feed",
        },
    ),
    (unaltered, plain_json, {"errors"}, {"problems-have-one-shape"}),
    (lax, unaltered, {"errors"}, {"unknown-fields-are-refused", "only-strict-json-is-read"}),
    (unaltered, no_etag, {"paging"}, {"etags-hold"}),
    (unaltered, always_new, {"races", "vectors"}, {"one-registers-a-tag", "tags-are-capitals"}),
    (
        unaltered,
        no_capabilities,
        {"capabilities"},
        {"capabilities-are-public", "handle-is-of-the-host"},
    ),
]


@pytest.mark.parametrize(
    ("requests", "answers", "subjects", "failing"),
    BROKEN,
    ids=[
        getattr(row[0] if row[0] is not unaltered else row[1], "__name__", "rewriting")
        for row in BROKEN
    ],
)
def test_a_broken_node_fails_the_checks_of_what_is_broken(
    requests: Altering, answers: Altering, subjects: set[str], failing: set[str], node: Node
) -> None:
    assert altered(node, subjects, requests=requests, answers=answers) == failing


def test_a_node_that_is_not_there(node: Node) -> None:
    done = node.run("conform", "http://127.0.0.1:9", "--key", "none", "--subject", "capabilities")
    assert done.returncode == 1
    assert "got no whole answer" in done.stdout
    assert "does NOT conform" in done.stdout
    assert "Traceback" not in done.stderr


def test_an_address_without_a_scheme(node: Node) -> None:
    done = node.run("conform", "conform.example", "--key", "none")
    assert done.returncode == 1
    assert "https://HOST" in done.stderr


def test_the_address_of_the_api_in_place_of_the_node_s(node: Node) -> None:
    done = node.run("conform", f"{node.url}/api/v1/", "--key", "none")
    assert done.returncode == 1
    assert "without /api/v1" in done.stderr


def results(*outcomes: Exception | None) -> Any:
    """Results of made-up checks that end so."""

    def run(error: Exception | None) -> Any:
        def check(_node: Asked) -> None:
            if error is not None:
                raise error

        return check

    made = [Check(f"c{n}", "made-up", "It holds.", run(one)) for n, one in enumerate(outcomes)]
    return run_checks(Asked("http://node.example", key="none"), made)


def test_an_answer_of_another_shape_fails_one_check_and_no_more() -> None:
    came = results(KeyError("items"), None, NotRun("It needs more."), Failed("It is not."))
    assert [one.outcome for one in came] == ["fails", "holds", "not-run", "fails"]
    assert "another shape" in came[0].detail
    assert not has_passed(came)
    assert has_passed(results(None, NotRun("It needs more.")))


def test_reports_say_what_failed_and_why() -> None:
    came = results(Failed("It is not."), None)
    assert line(came[0]) == "FAILS   made-up/c0: It holds.\n        It is not."
    assert summary("http://n", came) == "http://n does NOT conform: 1 checks hold, 1 fail."
    document = json.loads(as_json("http://n", came))
    assert document["checks"][0] == {
        "name": "c0",
        "subject": "made-up",
        "sentence": "It holds.",
        "outcome": "fails",
        "detail": "It is not.",
    }


def test_each_check_has_a_name_of_its_own_and_a_sentence() -> None:
    names = [check.name for check in CHECKS]
    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[A-Z].+\.", check.sentence) for check in CHECKS)


def test_the_page_lists_every_check() -> None:
    page = (DOCS / "conformance.md").read_text(encoding="utf-8")
    for check in CHECKS:
        assert f"| {check.subject} | `{check.name}` | {check.sentence} |" in page
    assert page.count("| `") == len(CHECKS)
