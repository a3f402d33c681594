"""The command that makes an invented valley, tells what the registry knows of it, and serves it."""

from __future__ import annotations

import argparse
import os
import signal
import sys
import time
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import connections
from django.utils import timezone

from service_registry.commands.places import check_address, make_folder, port_number
from service_registry.commands.serving import prepare_database
from service_registry.demo.asking import Counter, NotAnswered
from service_registry.demo.exchange_story import ExchangeTeller
from service_registry.demo.loading import load
from service_registry.demo.node_process import free_port
from service_registry.demo.people import open_people, share_with_a_buyer, told
from service_registry.demo.scenario import DEFAULT_SEED, make_scenario
from service_registry.demo.shops import HIRE
from service_registry.demo.story import tell
from service_registry.demo.surroundings import (
    clear,
    is_inside,
    second_folder,
    second_settings,
    step_inside,
    with_settings,
)
from service_registry.demo.two_nodes import Place, Side, TwoNodes, acquaint, started

if TYPE_CHECKING:
    from argparse import _SubParsersAction

HOST = "127.0.0.1"
DEFAULT_PORT = 8000
GLANCE_S = 0.5


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``demo``."""
    parser = commands.add_parser(
        "demo", help="make an invented valley of three shops, tell its story, and serve it"
    )
    parser.add_argument("--once", action="store_true", help="end after the story")
    parser.add_argument("--port", type=port_number, default=DEFAULT_PORT, help="where it is served")
    parser.add_argument("--seed", type=_seed, default=DEFAULT_SEED, help="rules all chance in it")
    parser.add_argument(
        "--folder", type=Path, help="folder of its database; DATA_DIR/demo unless given"
    )
    parser.set_defaults(command=demo)


def _seed(text: str) -> int:
    if not text.isdecimal():
        raise argparse.ArgumentTypeError("give a whole number, 0 or more")
    return int(text)


def demo(options: argparse.Namespace) -> int:
    """Make the scenario anew on its own databases, tell the story, and serve both nodes."""
    folder = (options.folder or settings.DATA_DIR / "demo").absolute()
    if not is_inside(folder, os.environ):
        step_inside(folder, _arguments(options, folder))
    if not options.once:
        check_address(HOST, options.port)
    for one in (folder, second_folder(folder)):
        make_folder(one)
        clear(one)
    prepare_database(verbosity=0)
    # Being told to end must end the two nodes as well.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        with started(*_places(options, folder)) as sides:
            return _told_and_served(options, *sides)
    except NotAnswered as error:
        print(f"The node did not answer the story. {error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("Ended.")
        return 0


def _places(options: argparse.Namespace, folder: Path) -> tuple[Place, Place]:
    second = second_folder(folder)
    return (
        Place(dict(os.environ), folder, free_port() if options.once else options.port),
        Place(with_settings(second_settings(folder), os.environ), second, free_port()),
    )


def _told_and_served(options: argparse.Namespace, first: Side, second: Side) -> int:
    scenario = make_scenario(options.seed, timezone.now().date())
    shops = load(scenario, options.seed)
    nodes = acquaint(first, second, options.seed)
    counter = Counter(HOST, first.port)
    exchange = ExchangeTeller(scenario, nodes, shops[HIRE.code], options.seed)
    for line in chain(tell(scenario, shops, counter, seed=options.seed), exchange.tell()):
        print(line, flush=True)
    if options.once:
        print("\nThis was the story alone: without --once both nodes then answer the curl lines.")
        return 0
    address = nodes.first.wire.address
    opened = open_people(shops, options.seed)
    shared = share_with_a_buyer(shops, scenario.hero.tag)
    print("", *told(opened, address, shared), sep="\n")
    return _serve(nodes)


def _serve(nodes: TwoNodes) -> int:
    # The nodes serve already; this process only waits, and ends them in the end.
    connections.close_all()
    address = nodes.first.wire.address
    print(
        f"\nThe second node is on {nodes.second.wire.address}; its operator's commands begin with"
    )
    print(f"  {nodes.second.command}")
    print(f"Serving on {address}/ until you stop it with Ctrl-C; {address}/docs/ is for programs.")
    sys.stdout.flush()
    while nodes.are_running:
        time.sleep(GLANCE_S)
    print("A node ended by itself; server.log in its folder says why.", file=sys.stderr)
    return 1


def _arguments(options: argparse.Namespace, folder: Path) -> list[str]:
    given = ["--port", str(options.port), "--seed", str(options.seed), "--folder", str(folder)]
    return ["demo", *given, *(["--once"] if options.once else [])]
