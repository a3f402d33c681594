"""The chapter of the two nodes as it is told, with what both nodes answered at each step."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service_registry.demo.asking import NotAnswered
from service_registry.demo.exchange_story import TAG, ExchangeTeller
from service_registry.demo.node_process import free_port
from service_registry.demo.scenario import DEFAULT_SEED
from service_registry.demo.shops import HIRE
from service_registry.demo.surroundings import (
    own_settings,
    second_folder,
    second_settings,
    with_settings,
)
from service_registry.demo.two_nodes import Place, Side, TwoNodes, acquaint, started
from tests.demo.curl import CurlLine, read_curl
from tests.demo.first_node import the_pair

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Token:
    """A shop that has an API key."""

    token: str


@dataclass(frozen=True)
class Step:
    """What was told until a curl line, and what could be asked at that moment.

    Parameters
    ----------
    text : str
        The words since the part's title.
    line : CurlLine
    answer : Any
        What the curl line is answered.
    histories : mapping
        By host, tag and links: the whole answer.
    """

    text: str
    line: CurlLine
    answer: Any
    histories: Mapping[tuple[str, str, str], Any]

    def ids(self, host: str, tag: str, links: str = "mutual") -> list[str]:
        """The ids of a history."""
        return [item["id"] for item in self.histories[host, tag, links]["items"]]

    def item(self, host: str, record: str) -> Any:
        """What became of a record, as a node says."""
        pages = (page for (of, _, _), page in self.histories.items() if of == host)
        return next(item for page in pages for item in page["items"] if item["id"] == record)


@dataclass(frozen=True)
class Told:
    """The chapter."""

    nodes: TwoNodes
    hire: Token
    hero: str
    lines: list[str]
    steps: list[Step]

    def step(self, number: int) -> Step:
        """The first step of a part, by the part's number."""
        return next(step for step in self.steps if step.text.startswith(f"{number} "))


@contextmanager
def told(folder: Path) -> Iterator[Told]:
    """Load the first node, start both, and tell the chapter."""
    second_folder(folder).mkdir(parents=True)
    first = Place(with_settings(own_settings(folder), os.environ), folder, free_port())
    settings = with_settings(second_settings(folder), os.environ)
    second = Place(settings, second_folder(folder), free_port())
    tokens = loaded(first)
    with started(first, second) as sides:
        nodes = acquaint(*sides, DEFAULT_SEED)
        yield listened(nodes, Token(tokens[HIRE.code]))


def loaded(place: Place) -> dict[str, str]:
    """Load the first node in a process of its own, and give the shops' API keys."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.demo.first_node"],
        env=dict(place.settings),
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    tokens: dict[str, str] = json.loads(done.stdout.splitlines()[-1])
    return tokens


def listened(nodes: TwoNodes, hire: Token) -> Told:
    """Tell the chapter, and ask both nodes at each curl line before it goes on."""
    scenario = the_pair()
    lines: list[str] = []
    steps: list[Step] = []
    words: list[str] = []
    for line in ExchangeTeller(scenario, nodes, hire, DEFAULT_SEED).tell():
        lines.append(line)
        if line.startswith("  curl "):
            curl = read_curl(line)
            histories = dict(asked(nodes, hire, scenario.hero.tag))
            steps.append(Step(" ".join(" ".join(words).split()), curl, curl.answer(), histories))
        elif not line:
            words.clear()
        else:
            words.append(line)
    return Told(nodes, hire, scenario.hero.tag, lines, steps)


def asked(nodes: TwoNodes, hire: Token, hero: str) -> Iterator[tuple[tuple[str, str, str], Any]]:
    """Ask both nodes for both tags, by each sort of links."""
    tags = {
        hero: f"{HIRE.code}@{nodes.first.host}/{hero}",
        TAG: f"{nodes.neighbour.handle}/{TAG}",
    }
    sides: tuple[tuple[Side, Any], ...] = ((nodes.first, hire), (nodes.second, nodes.neighbour))
    for side, shop in sides:
        for tag, address in tags.items():
            for links in ("mutual", "all"):
                path = f"/skis/{address}/history?limit=200&links={links}"
                try:
                    page = side.wire.get(shop, path).document
                except NotAnswered:
                    # Until the first pull the first node knows one of the tags only.
                    continue
                yield (side.host, tag, links), page
