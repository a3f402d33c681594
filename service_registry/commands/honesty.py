"""The command that tries the wear model on fleets whose truth is known, and prints how it did."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from service_registry.simulation.report import as_promised, lines
from service_registry.simulation.scenarios import SCENARIOS
from service_registry.simulation.trials import CASES, try_scenario

if TYPE_CHECKING:
    from argparse import _SubParsersAction

SEED = 20


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``check-intervals``."""
    parser = commands.add_parser(
        "check-intervals",
        help="try the wear model on simulated fleets, and say how often its intervals hold",
    )
    parser.add_argument("--cases", type=_count, default=CASES, help="skis a scenario, at least")
    parser.add_argument("--seed", type=int, default=SEED, help="of the chance that rules them")
    parser.set_defaults(command=check_intervals)


def check_intervals(options: argparse.Namespace) -> int:
    """Try every scenario and print the figures; status 1 if one does not keep its promise."""
    tried = [try_scenario(one, options.seed, options.cases) for one in SCENARIOS]
    for line in lines(tried):
        print(line)
    return 0 if all(as_promised(figures) for figures in tried) else 1


def _count(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError("give a whole number above zero")
    return int(text)
