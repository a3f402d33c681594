"""The guide keeps its word: its calls are replayed, and the answers are those that it shows."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from string import Template
from typing import Any

import pytest

from apps.registry.actors import SHOP_SCOPES
from tests.api.client import Answered
from tests.api.making import a_client

GUIDE = Path(__file__).parents[2] / "docs" / "api.md"
STEP = re.compile(
    r"```sh\n(?P<call>.*?)```\n+```json\n(?P<status>\d+)\n(?P<answer>.*?)```"
    r"(?:\n+<!-- keep (?P<name>\w+) (?P<what>\S+) -->)?",
    re.DOTALL,
)
ANYTHING = "…"


@dataclass
class Call:
    """What a curl line asks for."""

    method: str = "GET"
    address: str = ""
    headers: dict[str, str] = field(default_factory=dict)
    body: bytes | None = None


def call_of(line: str) -> Call:
    """Read a curl line as a shell would."""
    words = iter(shlex.split(line.replace("\\\n", " ")))
    assert next(words) == "curl"
    call = Call()
    for word in words:
        if word == "-X":
            call.method = next(words)
        elif word == "-H":
            name, _, value = next(words).partition(": ")
            call.headers[name] = value
        elif word == "-d":
            call.body = next(words).encode()
        elif word != "-i":
            call.address = word
    return call


def disagreements(shown: Any, answered: Any, place: str = "") -> Iterator[str]:
    """Where an answer differs from what is shown of it; what is not shown may be anything."""
    if isinstance(shown, dict) and isinstance(answered, dict):
        yield from between_objects(shown, answered, place)
    elif isinstance(shown, list) and isinstance(answered, list) and (shown or not answered):
        yield from between_lists(shown, answered, place)
    elif shown not in (answered, ANYTHING):
        yield f"{place} is {answered!r}, not {shown!r}"


def between_objects(shown: dict[str, Any], answered: dict[str, Any], place: str) -> Iterator[str]:
    """Where a member differs."""
    for name, part in shown.items():
        if name in answered:
            yield from disagreements(part, answered[name], f"{place}/{name}")
        else:
            yield f"{place}/{name} is missing"


def between_lists(shown: list[Any], answered: list[Any], place: str) -> Iterator[str]:
    """Where an item differs; an answer may go on after what is shown."""
    if len(answered) < len(shown):
        yield f"{place} has {len(answered)} items"
    for number, (part, whole) in enumerate(zip(shown, answered, strict=False)):
        yield from disagreements(part, whole, f"{place}/{number}")


def quoted(known: dict[str, str]) -> dict[str, str]:
    """A shell fills variables in after it has read the quotation marks; here it is the reverse."""
    return {name: value.replace('"', '\\"') for name, value in known.items()}


def kept(answer: Answered, what: str) -> str:
    """What the guide keeps of an answer: a member by its name, or a header."""
    value = answer.json[what[1:]] if what.startswith("/") else answer.headers[what]
    return str(value)


@pytest.mark.django_db
def test_each_call_gets_the_answer_shown() -> None:
    client = a_client("fellbench", *SHOP_SCOPES)
    steps = list(STEP.finditer(GUIDE.read_text(encoding="utf-8")))
    assert len(steps) == GUIDE.read_text(encoding="utf-8").count("```sh")
    known = {"NODE": "", "KEY": str(client.token)}
    for step in steps:
        call = call_of(Template(step["call"]).substitute(quoted(known)))
        content_type = call.headers.pop("Content-Type", "")
        answer = client.send(call.method, call.address, call.body, content_type, **call.headers)
        here = f"{call.method} {call.address}: {answer.content.decode()}"
        assert answer.status == int(step["status"]), here
        if step["answer"].strip():
            shown = json.loads(Template(step["answer"]).substitute(known))
            assert list(disagreements(shown, answer.json)) == [], here
        if step["name"]:
            known[step["name"]] = kept(answer, step["what"])


def test_a_difference_would_be_seen() -> None:
    shown = {"a": [{"b": "1"}], "c": ANYTHING, "d": []}
    assert list(disagreements(shown, {"a": [{"b": "1", "x": 2}], "c": 3, "d": []})) == []
    assert list(disagreements(shown, {"a": [], "c": 3, "d": [1]})) == [
        "/a has 0 items",
        "/d is [1], not []",
    ]
    assert list(disagreements(shown, {"a": [{"b": "2"}]})) == [
        "/a/0/b is '2', not '1'",
        "/c is missing",
        "/d is missing",
    ]
