"""One module a command family; each adds its parsers and says which function runs."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence

import django
from django.core.management.base import SystemCheckError
from django.db import OperationalError, ProgrammingError

Command = Callable[[argparse.Namespace], int]


def run(arguments: Sequence[str] | None) -> int:
    """Start Django, parse the arguments and run the command they name."""
    django.setup()
    from apps.records.errors import RecordError
    from apps.registry.errors import RegistryError

    parser = build_parser()
    options = parser.parse_args(arguments)
    command: Command = options.command
    try:
        return command(options)
    except (RecordError, RegistryError, SystemCheckError) as error:
        print(f"service-registry: {error}", file=sys.stderr)
        return 1
    except (OperationalError, ProgrammingError) as error:
        print(f"service-registry: {of_database(error)}", file=sys.stderr)
        return 1


def of_database(error: Exception) -> str:
    """Word what the database refuses of a command, with the mend."""
    # SQLite has no code for a missing table, only the words.
    reason = str(error).strip().partition("\n")[0]
    missing = isinstance(error, ProgrammingError) and "does not exist" in reason
    if missing or "no such" in reason:
        mend = "Bring its tables up to date with `service-registry prepare`."
    else:
        mend = "Look at DATABASE_URL and DATA_DIR, and whether the database runs and lets you in."
    return f"The database can't be used: {reason}. {mend}"


def build_parser() -> argparse.ArgumentParser:
    """Make the parser of the whole command line."""
    from service_registry.commands import (
        benchmark,
        conform,
        contract,
        demo,
        files,
        honesty,
        node,
        peers,
        people,
        serving,
        shops,
        signing,
        translations,
        verify,
        webhooks,
    )

    parser = argparse.ArgumentParser(
        prog="service-registry",
        description="A registry of what benches found, did and measured on each ski.",
    )
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    for family in (
        demo,
        serving,
        shops,
        people,
        signing,
        node,
        files,
        peers,
        verify,
        webhooks,
        contract,
        translations,
        conform,
        benchmark,
        honesty,
    ):
        family.add_to(commands)
    return parser
