"""The command that checks from outside whether a node does what the open format says."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from apps.registry.errors import InvalidSetting
from service_registry.conformance.node import ROOT, Node
from service_registry.conformance.report import as_json, line, summary
from service_registry.conformance.running import CHECKS, SUBJECTS, has_passed, run_checks

if TYPE_CHECKING:
    from argparse import _SubParsersAction

    from service_registry.conformance.checks import CheckResult


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``conform``."""
    conform = commands.add_parser("conform", help="check from outside what a node answers")
    conform.add_argument("url", help="scheme, host and port of the node")
    conform.add_argument(
        "--key", required=True, help="API key of a shop; records are written with it"
    )
    conform.add_argument("--feed", help="API key with the scope feed, for the checks of the feed")
    conform.add_argument("--json", action="store_true", help="report as JSON")
    conform.add_argument(
        "--subject",
        choices=[subject.name for subject in SUBJECTS],
        action="append",
        help="run the checks of this subject only; may be given several times",
    )
    conform.set_defaults(command=run_conform)


def run_conform(options: argparse.Namespace) -> int:
    """Run the checks; status 1 if one fails."""
    if not options.url.startswith(("https://", "http://")):
        raise InvalidSetting("Give the address of the node with its scheme, as https://HOST.")
    if options.url.rstrip("/").endswith(ROOT):
        raise InvalidSetting(f"Give the address of the node without {ROOT}, where its API is.")
    node = Node(options.url, key=options.key, feed=options.feed)
    wanted = [one for one in CHECKS if options.subject is None or one.subject in options.subject]
    results = run_checks(node, wanted, told=_quiet if options.json else _tell)
    print(as_json(node.url, results) if options.json else summary(node.url, results))
    return 0 if has_passed(results) else 1


def _tell(result: CheckResult) -> None:
    print(line(result), flush=True)


def _quiet(_result: CheckResult) -> None:
    pass
