"""The two real nodes of the demo: started side by side, each following the other's log."""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from service_registry.demo.asking import Wire
from service_registry.demo.node_process import LOOPBACK, NodeProcess
from service_registry.demo.own_shop import OwnShop, own_key
from service_registry.demo.shops import NEIGHBOUR
from service_registry.demo.surroundings import PEER_TOKEN, SERVER_LOG

PREPARING = (
    ("prepare",),
    ("add-shop", NEIGHBOUR.code, "--label", NEIGHBOUR.label),
    ("issue-key", NEIGHBOUR.code, "--scope", "all"),
)
OPERATOR_NEEDS = ("DATA_DIR", "DATABASE_URL", "NODE_HOST")
OWNER_ONLY = 0o600
# As many old rows as a pull in a loop reads again; by hand it would be all, each time.
REREAD = "256"


@dataclass(frozen=True, slots=True)
class Place:
    """Where a node of the demo is to be.

    Parameters
    ----------
    settings : mapping
        Its whole environment.
    folder : Path
        Its data folder, which is there.
    port : int
        Of this machine.
    """

    settings: Mapping[str, str]
    folder: Path
    port: int


class Side:
    """One of the two nodes, as its operator and its shops use it."""

    def __init__(self, place: Place) -> None:
        self.host = place.settings["NODE_HOST"]
        self.folder = place.folder
        self.port = place.port
        self.wire = Wire(LOOPBACK, place.port)
        self.process = NodeProcess(place.settings, place.folder / SERVER_LOG)
        self.vkey = self._token = ""
        self._settings = place.settings

    @property
    def command(self) -> str:
        """Give the shell's words by which a command is run on this node; no secret is in them."""
        own = [f"{name}={self._settings[name]}" for name in OPERATOR_NEEDS]
        return shlex.join(["env", *own, "service-registry"])

    def begin_introduction(self) -> None:
        """Begin what another node needs to follow this one: the key of its log, and an API key."""
        self.process.begin("peers")
        self.process.begin("issue-key", "node", "--scope", "feed")

    def end_introduction(self) -> None:
        """Wait for what was begun."""
        own, *_ = self.process.went_well("peers").splitlines()
        self.vkey = own.rpartition(": ")[2]
        self._token = self.process.went_well("issue-key")

    def follow(self, other: Side) -> None:
        """Follow the other node, with what its operator handed over."""
        file = self.folder / PEER_TOKEN
        _write_secret(file, other._token)
        key = ("--key", other.vkey, "--token-file", str(file))
        self.process.run("add-peer", other.wire.address, *key)

    def pull(self, other: Side) -> str:
        """Pull from the other node, and give the line that says what came of it."""
        return self.process.run("pull", other.host, "--reread", REREAD).strip()


@dataclass(frozen=True, slots=True)
class TwoNodes:
    """Both nodes, and the shop of the second.

    Parameters
    ----------
    first, second : Side
    neighbour : OwnShop
        Keeps its signing key itself.
    """

    first: Side
    second: Side
    neighbour: OwnShop

    @property
    def are_running(self) -> bool:
        """Whether both run still."""
        return self.first.process.is_running and self.second.process.is_running


@contextmanager
def started(first: Place, second: Place) -> Iterator[tuple[Side, Side]]:
    """Start both processes, and end them in the end, whatever happened.

    The database of the first is prepared already. The second prepares its own, while the first
    is loaded.
    """
    sides: list[Side] = []
    try:
        sides += [Side(first)]
        sides += [Side(second)]
        begin_first(sides[0])
        begin_second(sides[1])
        yield sides[0], sides[1]
    finally:
        for side in sides:
            side.process.hang_up()
        for side in sides:
            side.process.end()


def begin_first(first: Side) -> None:
    """Begin to serve the first node."""
    first.process.begin_to_serve(first.port)
    first.begin_introduction()


def begin_second(second: Side) -> None:
    """Begin to prepare the second node, with its one shop, and to serve it."""
    for arguments in PREPARING:
        second.process.begin(*arguments)
    second.process.begin_to_serve(second.port)
    second.begin_introduction()


def acquaint(first: Side, second: Side, seed: int) -> TwoNodes:
    """Let each node follow the other, and begin the second's first pull.

    The whole log of the first is much, so it comes while the story is told.
    """
    first.process.went_well("serve")
    *_, issued, _ = (second.process.went_well(name) for name, *_ in (*PREPARING, ["serve"]))
    for side in (first, second):
        side.end_introduction()
    first.follow(second)
    second.follow(first)
    for side in (first, second):
        side.process.wait_until_served(side.port)
    second.process.begin("pull", first.host)
    handle, key = f"{NEIGHBOUR.code}@{second.host}", own_key(seed, NEIGHBOUR.code)
    return TwoNodes(first, second, OwnShop(handle, issued.split()[0], key, seed))


def _write_secret(file: Path, text: str) -> None:
    descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, OWNER_ONLY)
    with os.fdopen(descriptor, "w", encoding="ascii") as opened:
        opened.write(text)
