"""The command that makes an invented valley, tells what the registry knows of it, and serves it."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import connections
from django.utils import timezone

from service_registry.commands.places import check_address, make_folder, port_number
from service_registry.commands.serving import prepare_database, serve_forever
from service_registry.demo.asking import Counter, NotAnswered
from service_registry.demo.loading import load
from service_registry.demo.scenario import DEFAULT_SEED, make_scenario
from service_registry.demo.story import tell
from service_registry.demo.surroundings import clear, is_inside, step_inside

if TYPE_CHECKING:
    from argparse import _SubParsersAction

HOST = "127.0.0.1"
DEFAULT_PORT = 8000


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
    """Make the scenario anew on its own database, tell the story, and serve."""
    folder = (options.folder or settings.DATA_DIR / "demo").absolute()
    if not is_inside(folder, os.environ):
        step_inside(folder, _arguments(options, folder))
    if not options.once:
        check_address(HOST, options.port)
    make_folder(folder)
    clear(folder)
    prepare_database(verbosity=0)
    try:
        tell_story(seed=options.seed, port=options.port)
    except NotAnswered as error:
        print(f"The node did not answer the story. {error}", file=sys.stderr)
        return 1
    if options.once:
        print("\nThis was the story alone: without --once the node then answers the curl lines.")
    else:
        _serve(options.port)
    return 0


def _serve(port: int) -> None:
    # A worker must not inherit an open connection to the database.
    connections.close_all()
    address = f"http://{HOST}:{port}"
    print(f"\nServing on {address} until you stop it with Ctrl-C; {address}/docs/ explains all.")
    sys.stdout.flush()
    serve_forever(host=HOST, port=port)


def tell_story(*, seed: int, port: int) -> None:
    """Load the scenario onto the prepared database and print the story."""
    scenario = make_scenario(seed, timezone.now().date())
    shops = load(scenario, seed)
    for line in tell(scenario, shops, Counter(HOST, port), seed=seed):
        print(line, flush=True)


def _arguments(options: argparse.Namespace, folder: Path) -> list[str]:
    given = ["--port", str(options.port), "--seed", str(options.seed), "--folder", str(folder)]
    return ["demo", *given, *(["--once"] if options.once else [])]
