"""The command that checks a bundle, with no network and no database."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from apps.records.bundle import verify_bundle
from apps.records.bundle_file import MAX_BUNDLE_BYTES
from apps.records.notes import VerifierKey

if TYPE_CHECKING:
    from argparse import _SubParsersAction


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``verify``."""
    parser = commands.add_parser(
        "verify", help="check a bundle: signatures, proofs and keys; needs no network"
    )
    parser.add_argument("file", type=Path, help="the bundle, byte for byte as the node sent it")
    parser.add_argument(
        "--key",
        metavar="VKEY",
        help="the node's key, name+digits+base64, from somewhere else than the file",
    )
    parser.set_defaults(command=run_verify)


def run_verify(options: argparse.Namespace) -> int:
    """Say whether a bundle holds, and what fails; status 1 when anything does."""
    if options.key is not None:
        # A key with a slip of the pen is told from one that is another node's.
        VerifierKey.from_text(options.key)
    try:
        data = _read(options.file)
    except OSError as error:
        print(f"service-registry: {options.file} can't be read: {error.strerror}.", file=sys.stderr)
        return 1
    report = verify_bundle(data, options.key)
    for line in report.lines:
        print(line)
    return 0 if report.holds else 1


def _read(file: Path) -> bytes:
    # One byte more than is allowed is enough to be refused.
    with file.open("rb") as opened:
        return opened.read(MAX_BUNDLE_BYTES + 1)
