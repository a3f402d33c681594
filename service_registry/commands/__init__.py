"""One module a command family; each adds its parsers and says which function runs."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping, Sequence
from importlib import import_module

import django
from django.core.management.base import SystemCheckError
from django.db import OperationalError, ProgrammingError

Command = Callable[[argparse.Namespace], int]

# Some families load what takes a second, so only the one that is asked for is loaded.
FAMILIES: Mapping[str, tuple[str, ...]] = {
    "demo": ("demo",),
    "serving": ("serve", "prepare", "django"),
    "shops": (
        "add-shop",
        "issue-key",
        "revoke-key",
        "replace-signing-key",
        "register-key",
        "set-practice",
    ),
    "people": ("add-person", "remove-person", "set-password"),
    "signing": ("new-key", "sign"),
    "node": ("fsck", "rebuild", "tidy", "erase"),
    "files": ("import", "import-template", "export"),
    "peers": ("add-peer", "peers", "remove-peer", "pin-key", "pull"),
    "verify": ("verify",),
    "webhooks": ("deliver",),
    "contract": ("schema", "openapi"),
    "translations": ("translations",),
    "conform": ("conform",),
    "benchmark": ("benchmark",),
    "honesty": ("check-intervals",),
}


def run(arguments: Sequence[str] | None) -> int:
    """Start Django, parse the arguments and run the command they name."""
    django.setup()
    from apps.records.errors import RecordError
    from apps.registry.errors import RegistryError

    given = sys.argv[1:] if arguments is None else arguments
    options = build_parser(families_of(given)).parse_args(given)
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


def families_of(arguments: Sequence[str]) -> tuple[str, ...]:
    """Give the modules that are needed to read some arguments: one for a known command, or all."""
    wanted = arguments[0] if arguments else ""
    return tuple(name for name, words in FAMILIES.items() if wanted in words) or tuple(FAMILIES)


def build_parser(families: Sequence[str] = tuple(FAMILIES)) -> argparse.ArgumentParser:
    """Make the parser of the command line, or of some families of it."""
    parser = argparse.ArgumentParser(
        prog="service-registry",
        description="A registry of what benches found, did and measured on each ski.",
    )
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    for name in families:
        import_module(f"{__name__}.{name}").add_to(commands)
    return parser
