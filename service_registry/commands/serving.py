"""Commands that prepare a database and serve the node."""

from __future__ import annotations

import argparse
import io
import os
import sys
from typing import TYPE_CHECKING

from django.conf import settings
from django.core.management import call_command, execute_from_command_line
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.recorder import MigrationRecorder

from apps.registry.actors import OPERATOR
from apps.registry.errors import InvalidSetting
from apps.registry.identity import ensure_identity
from apps.registry.models import Record
from apps.registry.rebuild import rebuild
from service_registry.commands.places import (
    check_address,
    make_folder,
    port_number,
    whole_number,
)

if TYPE_CHECKING:
    from argparse import _SubParsersAction

MOST_WORKERS = 256
# A worker that doesn't heed the end of the server is killed after this; without, both stay.
PATIENCE_S = 30


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``serve``, ``prepare`` and ``django``."""
    serve_parser = commands.add_parser("serve", help="prepare the database and serve the node")
    serve_parser.add_argument("--host", default="127.0.0.1")
    serve_parser.add_argument("--port", type=port_number, default=8000)
    serve_parser.add_argument(
        "--workers",
        type=whole_number(1, MOST_WORKERS),
        default=1,
        help="processes, one thread each",
    )
    serve_parser.add_argument(
        "--prepared", action="store_true", help="leave the tables as they are; only check settings"
    )
    serve_parser.set_defaults(command=serve)
    prepare_parser = commands.add_parser("prepare", help="make or update the tables")
    prepare_parser.set_defaults(command=prepare)
    django_parser = commands.add_parser("django", help="run one of Django's own commands")
    django_parser.add_argument("rest", nargs=argparse.REMAINDER, help="such as: makemigrations")
    django_parser.set_defaults(command=run_django)


def prepare(_options: argparse.Namespace) -> int:
    """Check the settings, then bring the tables up to date."""
    prepare_database()
    return 0


def check_settings() -> None:
    """Stop where a check of the settings fails; nothing is printed where all is well."""
    call_command("check", fail_level="ERROR", databases=["default"], stdout=io.StringIO())


def check_tables() -> None:
    """Stop where a table is missing or of an earlier version.

    Raises
    ------
    InvalidSetting
    """
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise InvalidSetting(
            "The tables aren't those of this version. Bring them up to date with "
            "`service-registry prepare`, or leave out --prepared."
        )


def prepare_database(*, verbosity: int = 1) -> None:
    """Make the data folder and bring the tables up to date; a failed check stops here.

    New index tables begin empty, so after a migration the index is made again from the records.
    A node without a key of its own gets one.
    """
    make_folder(settings.DATA_DIR)
    check_settings()
    before = applied_migrations()
    call_command("migrate", interactive=False, verbosity=verbosity)
    if applied_migrations() != before and Record.objects.exists():
        made = rebuild(by=OPERATOR)
        print(f"The tables changed, so the index of {made.skis} skis was made again.")
    ensure_identity()


def applied_migrations() -> frozenset[str]:
    """Name the migrations of the registry that this database has."""
    applied = MigrationRecorder(connection).applied_migrations()
    return frozenset(name for app, name in applied if app == "registry")


def serve(options: argparse.Namespace) -> int:
    """Prepare the database and serve until stopped."""
    check_address(options.host, options.port)
    if options.prepared:
        check_settings()
        check_tables()
    else:
        prepare_database()
    serve_forever(host=options.host, port=options.port, workers=options.workers)
    return 0


def serve_forever(*, host: str, port: int, workers: int = 1) -> None:
    """Serve with granian: WSGI, one thread a worker, so each worker keeps one connection.

    A worker that dies is started anew; one that dies again at once ends the server.
    """
    from granian import Granian
    from granian.constants import Interfaces

    # Workers are started anew from this module's name and read the same environment.
    os.environ["DJANGO_SETTINGS_MODULE"] = "service_registry.settings"
    Granian(
        "service_registry.wsgi:application",
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        workers=workers,
        blocking_threads=1,
        websockets=False,
        respawn_failed_workers=True,
        workers_kill_timeout=PATIENCE_S,
    ).serve()


def run_django(options: argparse.Namespace) -> int:
    """Run one of Django's own commands, for contributors and operators."""
    execute_from_command_line([sys.argv[0], *options.rest])
    return 0
