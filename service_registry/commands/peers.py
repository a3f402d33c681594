"""Commands that follow the logs of other nodes."""

from __future__ import annotations

import argparse
import signal
import sys
from collections.abc import Sequence
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, TextIO

from django.db import DatabaseError, close_old_connections
from django.utils import timezone

from apps.exchange.models import Evidence, Peer, PeerRefusal
from apps.exchange.peers.again import OLD_ROWS
from apps.exchange.peers.keeping import (
    add_peer,
    find_peer,
    follow_again,
    own_key,
    peers,
    pin_key,
    remove_peer,
)
from apps.exchange.peers.looping import Rounds, turns
from apps.exchange.peers.pulling import Pulled, pull
from apps.registry.actors import OPERATOR
from apps.registry.errors import InvalidSetting, RegistryError
from apps.registry.identity import ensure_identity
from service_registry.commands.places import whole_number

if TYPE_CHECKING:
    from argparse import _SubParsersAction

EVERY_S = 60
# Beside one peer that drips its rows, the others get their turn.
TURN_S = 600.0
LONGEST_EVERY_S = 24 * 3600
SHOWN = 20
# A loop comes by again soon; who pulls by hand wants to know now.
REREAD_ONCE = 5000
MOST_REREAD = 10**9
TOKEN_FILE_BYTES = 1000


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``add-peer``, ``peers``, ``remove-peer``, ``pin-key`` and ``pull``."""
    add = commands.add_parser("add-peer", help="follow the log of another node")
    add.add_argument("url", help="address of the node, such as https://ski.example.org")
    add.add_argument("--key", required=True, help="key of its log, had from its operator")
    add.add_argument("--token-file", type=Path, help="file with the API key that it issued")
    add.set_defaults(command=run_add_peer)
    shown = commands.add_parser("peers", help="show this node's own key, and whom it follows")
    shown.add_argument("host", nargs="?", help="show one peer, its refused records and evidence")
    shown.set_defaults(command=run_peers)
    remove = commands.add_parser("remove-peer", help="follow a node no longer; its records stay")
    remove.add_argument("host")
    remove.set_defaults(command=run_remove_peer)
    pin = commands.add_parser("pin-key", help="hold a peer to the key that replaced its old one")
    pin.add_argument("host")
    pin.add_argument("--key", required=True, help="new key of its log, had from its operator")
    pin.set_defaults(command=run_pin_key)
    _add_pull(commands)


def _add_pull(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser("pull", help="bring what peers have that is not here yet")
    parser.add_argument("hosts", nargs="*", metavar="HOST", help="only these peers")
    parser.add_argument("--loop", action="store_true", help="again and again, until ended")
    parser.add_argument(
        "--every",
        type=whole_number(1, LONGEST_EVERY_S),
        default=EVERY_S,
        metavar="SECONDS",
        help="between two pulls of a peer in a loop",
    )
    parser.add_argument(
        "--reread",
        type=whole_number(0, MOST_REREAD),
        metavar="ROWS",
        help=f"old rows that each pull reads again in turn: {REREAD_ONCE}, or {OLD_ROWS} in a loop",
    )
    parser.add_argument(
        "--again", action="store_true", help="also follow peers again that were stopped"
    )
    parser.set_defaults(command=run_pull)


def run_add_peer(options: argparse.Namespace) -> int:
    """Follow a node from now on."""
    token = _token(options.token_file) if options.token_file else ""
    peer = add_peer(url=options.url, vkey=options.key, token=token, by=OPERATOR)
    print(f"Added {peer.host}. Bring its records with: service-registry pull {peer.host}")
    return 0


def _token(file: Path) -> str:
    try:
        data = file.read_bytes()
    except OSError as error:
        raise InvalidSetting(f"{file} can't be read: {error.strerror}.") from error
    # The command that issues a key prints it on a line of its own, with a remark below it.
    first, _, _ = data[:TOKEN_FILE_BYTES].decode("ascii", "replace").strip().partition("\n")
    if not first:
        raise InvalidSetting(f"{file} is empty; put the API key on its first line.")
    return first.strip()


def run_remove_peer(options: argparse.Namespace) -> int:
    """Follow a node no longer."""
    remove_peer(host=options.host, by=OPERATOR)
    print(f"{options.host} is followed no longer. Its records and the evidence stay.")
    return 0


def run_pin_key(options: argparse.Namespace) -> int:
    """Hold a peer to another key from now on."""
    peer = pin_key(host=options.host, vkey=options.key, by=OPERATOR)
    print(f"{peer.host} is held to its new key; what it signed with the old one still binds it.")
    return 0


def run_peers(options: argparse.Namespace) -> int:
    """Show the peers, or all about one."""
    if options.host:
        _show_one(find_peer(options.host))
        return 0
    ensure_identity()
    print(f"This node's own key, for its peers to add: {own_key().text}")
    for peer in peers():
        _show(peer)
    return 0


def _show(peer: Peer) -> None:
    pulled = f"pulled {peer.pulled_at:%Y-%m-%d %H:%M} UTC" if peer.pulled_at else "never pulled"
    refused = peer.refusals.count()
    print(f"{peer.host}: {peer.state}, {peer.size} rows, {refused} refused, {pulled}, {peer.url}")
    if peer.reason or peer.trouble:
        print(f"  {peer.reason or peer.trouble}")


def _show_one(peer: Peer) -> None:
    _show(peer)
    print(f"  key {peer.vkey}")
    refusals = PeerRefusal.objects.filter(peer=peer).order_by("index")
    for refusal in refusals[:SHOWN]:
        print(f"  row {refusal.index}, record {refusal.record_id}: {refusal.sentence}")
    if refusals.count() > SHOWN:
        print(f"  and {refusals.count() - SHOWN} more were refused")
    for found in Evidence.objects.filter(host=peer.host).order_by("found_at", "id"):
        _show_evidence(found)


def _show_evidence(found: Evidence) -> None:
    print(f"  evidence of {found.found_at:%Y-%m-%d %H:%M} UTC, {found.kind}: {found.sentence}")
    parts = {"signed before": found.before, "signed now": found.after, "answered": found.answer}
    for name, text in parts.items():
        for line in text.splitlines():
            print(f"    {name}: {line}")


def run_pull(options: argparse.Namespace) -> int:
    """Pull once, or in a loop until ended by a signal."""
    if options.again:
        for host in options.hosts or _hosts_of("stopped"):
            follow_again(host=host, by=OPERATOR)
    ensure_identity()
    if options.loop:
        return _loop(options)
    hosts = options.hosts or [peer.host for peer in peers()]
    if not hosts:
        print("No peer was added yet; see service-registry add-peer.")
    # Every peer gets its turn, also after one that failed.
    outcomes = [_pulled(host, _or(options.reread, REREAD_ONCE)) for host in hosts]
    return 0 if all(outcomes) else 1


def _hosts_of(state: str) -> list[str]:
    return [peer.host for peer in peers() if peer.state == state]


def _or(given: int | None, usual: int) -> int:
    return usual if given is None else given


def _pulled(host: str, old_rows: int) -> bool:
    """Pull one peer, and say in a line what came of it."""
    shown = Shown(sys.stderr)
    try:
        result = pull(host=host, by=OPERATOR, progress=shown, old_rows=old_rows)
    except RegistryError as error:
        print(f"{host}: {error.sentence}", file=sys.stderr)
        return False
    print(sum_up(result))
    return True


def _loop(options: argparse.Namespace) -> int:
    ended = Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: ended.set())
    rounds = Rounds(float(options.every))
    for host in turns(rounds, Following(options.hosts), ended):
        _turn(host, rounds, _or(options.reread, OLD_ROWS))
    print("Ended.")
    return 0


class Following:
    """The peers that are followed, read anew each time; the last known where they can't be."""

    def __init__(self, wanted: Sequence[str]) -> None:
        self.wanted = wanted
        self.known: list[str] = []

    def __call__(self) -> list[str]:
        """Give their hosts."""
        # A database that was away closes its connections, and the loop outlives that.
        close_old_connections()
        try:
            self.known = [host for host in _hosts_of("following") if self._is_wanted(host)]
        except DatabaseError as error:
            print(f"The peers can't be read ({type(error).__name__}).", file=sys.stderr, flush=True)
        return self.known

    def _is_wanted(self, host: str) -> bool:
        return not self.wanted or host in self.wanted


def _turn(host: str, rounds: Rounds, old_rows: int = OLD_ROWS) -> None:
    try:
        result = pull(host=host, by=OPERATOR, old_rows=old_rows, turn_s=TURN_S)
    except (RegistryError, DatabaseError) as error:
        pause = rounds.failed(host, error)
        said = error.sentence if isinstance(error, RegistryError) else type(error).__name__
        line = f"{host}: {said} Again in {pause:.0f} seconds."
        print(f"{timezone.now():%Y-%m-%d %H:%M:%S} {line}", file=sys.stderr, flush=True)
    else:
        rounds.went_well(host)
        if result.size > result.before or result.new:
            print(f"{timezone.now():%Y-%m-%d %H:%M:%S} {sum_up(result)}", flush=True)


def sum_up(result: Pulled) -> str:
    """Say in one line what a pull came to."""
    parts = [
        f"{result.size} rows, {result.size - result.before} since the last pull",
        f"{result.new} new here",
    ]
    if result.here:
        parts.append(f"{result.here} here already")
    if result.erased:
        parts.append(f"{result.erased} erased")
    if result.refused:
        parts.append(f"{result.refused} refused (see: service-registry peers {result.host})")
    parts.append(
        f"checkpoint not cosigned: {result.not_cosigned}"
        if result.not_cosigned
        else "checkpoint cosigned"
    )
    return f"{result.host}: {'; '.join(parts)}"


class Shown:
    """Shows how far a pull is: rewritten in place on a terminal, a line a tenth elsewhere."""

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream
        self.tenth = -1

    def __call__(self, host: str, done: int, of: int) -> None:
        """Show it."""
        tenth = 10 * done // of if of else 10
        if self.stream.isatty():
            end = "\n" if done >= of else ""
            print(f"\r{host}: {done} of {of} rows", end=end, file=self.stream, flush=True)
        elif tenth != self.tenth and done:
            print(f"{host}: {done} of {of} rows", file=self.stream, flush=True)
        self.tenth = tenth
