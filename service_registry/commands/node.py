"""Commands that look after what a node has stored."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from django.utils import timezone

from apps.records.exchange_words import ErasureReason
from apps.registry.actors import OPERATOR
from apps.registry.erasing import erase_record
from apps.registry.fsck import fsck
from apps.registry.idempotency import purge
from apps.registry.rebuild import rebuild
from apps.registry.storage import emptied_write_ahead_log

if TYPE_CHECKING:
    from argparse import _SubParsersAction


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``fsck``, ``rebuild``, ``tidy`` and ``erase``."""
    check = commands.add_parser("fsck", help="check every record, signature and index row")
    check.set_defaults(command=run_fsck)
    again = commands.add_parser("rebuild", help="make every index table again from the records")
    again.set_defaults(command=run_rebuild)
    tidy = commands.add_parser("tidy", help="forget answers kept for repeated requests for a day")
    tidy.set_defaults(command=run_tidy)
    erase = commands.add_parser("erase", help="erase the bytes of a record for good")
    erase.add_argument("id", help="id of the record, 64 hexadecimal digits")
    erase.add_argument("--reason", choices=[str(one) for one in ErasureReason], required=True)
    erase.add_argument("--text", help="the reason in words; it stays in the log, so name nobody")
    erase.set_defaults(command=run_erase)


def run_rebuild(_options: argparse.Namespace) -> int:
    """Make the index tables again."""
    made = rebuild(by=OPERATOR)
    print(f"Made the index of {made.records} records on {made.skis} skis again.")
    return 0


def run_tidy(_options: argparse.Namespace) -> int:
    """Forget the answers that were kept for repeats of a request, once they are a day old."""
    forgotten = purge(now=timezone.now())
    print(f"Forgot {forgotten} answers.")
    return 0


def run_erase(options: argparse.Namespace) -> int:
    """Erase the bytes of a record; what it doesn't reach is said, since nothing here can."""
    erased = erase_record(
        record_id=options.id, reason=options.reason, reason_text=options.text, by=OPERATOR
    )
    print(f"Erased {options.id}; record {erased.record_id} says so in the log.")
    if not emptied_write_ahead_log():
        print("Others use the database, so its write-ahead log still holds the bytes for a while.")
    print("Backups and peers may still hold the bytes; docs/operating.md says what to do.")
    return 0


def run_fsck(_options: argparse.Namespace) -> int:
    """Check everything stored; status 1 names the first bad row and those after it."""
    report = fsck()
    for problem in report.problems:
        print(f"{problem.code}: {problem.table} {problem.row}: {problem.sentence}")
    if report.is_sound:
        print(f"{report.records} records on {report.skis} skis are sound.")
        return 0
    print("The first of these is where to begin; docs/operating.md says how.", file=sys.stderr)
    return 1
