"""Commands that bring a shop's records in from a file and write them out into one."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from apps.exchange.exports import export_lines, exported, log_range
from apps.exchange.import_results import Counts, LineFault, Outcome, Result
from apps.exchange.imports import ImportRefused, Source, run_import
from apps.exchange.visit_cells import DateOrder, DecimalMark, Delimiter, TableForm
from apps.exchange.visit_rows import template
from apps.registry.actors import shop_actor
from apps.registry.errors import InvalidSetting, UnknownShop
from apps.registry.models import Shop
from service_registry.commands.places import whole_number
from service_registry.commands.shops import handle_of

if TYPE_CHECKING:
    from argparse import _SubParsersAction

MOST_PLACES = 10**15
FORMATS = {".csv": "csv", ".ndjson": "ndjson", ".jsonl": "ndjson"}
TOLD_EVERY = 5000


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``import``, ``import-template`` and ``export``."""
    bring = commands.add_parser("import", help="import records, or a table of visits, for a shop")
    bring.add_argument("code", help="code of the shop")
    bring.add_argument("file", type=Path)
    bring.add_argument(
        "--format", choices=["csv", "ndjson"], help="what the file is; else by its name"
    )
    _add_form(bring)
    bring.add_argument("--whole", action="store_true", help="write all lines or none")
    bring.set_defaults(command=import_file)
    heading = commands.add_parser("import-template", help="print the heading of a table of visits")
    heading.add_argument("--delimiter", choices=[str(one) for one in Delimiter], default="comma")
    heading.set_defaults(command=print_template)
    take = commands.add_parser("export", help="write a shop's records with their signatures")
    take.add_argument("code", help="code of the shop")
    take.add_argument("--from", dest="start", type=whole_number(0, MOST_PLACES), default=0)
    take.add_argument("--until", type=whole_number(0, MOST_PLACES))
    take.add_argument("--output", type=Path, help="file to write; else the standard output")
    take.set_defaults(command=export_file)


def _add_form(parser: argparse.ArgumentParser) -> None:
    for name, words, what in (
        ("decimal", DecimalMark, "what stands before decimals in a table"),
        ("dates", DateOrder, "how dates are written in a table"),
        ("delimiter", Delimiter, "what stands between two cells of a table"),
    ):
        choices = [str(one) for one in words]
        parser.add_argument(f"--{name}", choices=choices, default=choices[0], help=what)


def import_file(options: argparse.Namespace) -> int:
    """Import a file; status 1 where a line was refused."""
    actor = shop_actor(known_shop(options.code))
    table = None
    if format_of(options) == "csv":
        decimal, dates = DecimalMark(options.decimal), DateOrder(options.dates)
        table = TableForm(decimal, dates, Delimiter(options.delimiter))
    try:
        with options.file.open("rb") as file:
            counts = told(run_import(Source(file, actor, table), whole=options.whole))
    except OSError as error:
        raise InvalidSetting(f"{options.file} can't be read: {error.strerror}.") from error
    except ImportRefused as error:
        for one in error.results:
            tell(one)
        print(f"{error} Nothing was written.", file=sys.stderr)
        return 1
    print(
        f"Written: {counts.created}. Here before: {counts.already_here}. "
        f"Refused: {counts.refused}. Passed over: {counts.skipped}."
    )
    return 1 if counts.refused else 0


def format_of(options: argparse.Namespace) -> str:
    """Say what a file is: by the option, or by the end of its name.

    Raises
    ------
    InvalidSetting
        For a name that doesn't say.
    """
    found = options.format or FORMATS.get(options.file.suffix.lower())
    if found is None:
        raise InvalidSetting(f"Say with --format whether {options.file.name} is csv or ndjson.")
    return str(found)


def known_shop(code: str) -> str:
    """Give the handle of a shop that is here.

    Raises
    ------
    UnknownShop
    """
    handle = handle_of(code)
    if not Shop._default_manager.filter(handle=handle).exists():
        raise UnknownShop(f"There is no shop {handle} on this node.")
    return handle


def told(results: Iterable[Result]) -> Counts:
    """Count results, telling those that were refused, and now and then how far it is."""
    counts = Counts()
    for number, one in enumerate(results, start=1):
        counts.add(one)
        if one.outcome is Outcome.REFUSED:
            tell(one)
        if number % TOLD_EVERY == 0:
            print(f"{number} lines so far.", file=sys.stderr)
    return counts


def tell(result: Result) -> None:
    """Print what is wrong with a line."""
    for fault in result.faults:
        print(f"Line {result.line}{_place(fault)}: {fault.sentence}", file=sys.stderr)


def _place(fault: LineFault) -> str:
    if fault.column:
        return f", column {fault.column}"
    return f", {fault.pointer}" if fault.pointer else ""


def print_template(options: argparse.Namespace) -> int:
    """Print the heading of a table of visits."""
    print(template(Delimiter(options.delimiter)).decode().strip())
    return 0


def export_file(options: argparse.Namespace) -> int:
    """Write what a shop wrote, and what anybody wrote about its tags."""
    lines = export_lines(
        exported(known_shop(options.code)), log_range(options.start, options.until)
    )
    if options.output is None:
        _write(lines, sys.stdout.buffer)
        return 0
    try:
        with options.output.open("xb") as file:
            _write(lines, file)
    except OSError as error:
        raise InvalidSetting(f"{options.output} can't be written: {error.strerror}.") from error
    return 0


def _write(lines: Iterable[bytes], file: BinaryIO) -> None:
    for data in lines:
        file.write(data)
    file.flush()
