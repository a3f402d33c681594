"""The command line: ``service-registry``, or ``python -m service_registry``."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from service_registry.environment import WrongSettings, read_environment


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; exit status 0 is well, 1 a refusal or a finding, 2 a wrong call.

    The environment is read before Django starts, so that a wrong variable is named with a hint
    and not with a traceback.
    """
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "service_registry.settings")
    try:
        read_environment()
    except WrongSettings as error:
        print(f"These settings can't be used:\n{error}", file=sys.stderr)  # noqa: T201
        return 2
    from service_registry.commands import run

    try:
        status = run(arguments)
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read the output has seen enough; Python would complain once more as it ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return status


if __name__ == "__main__":
    sys.exit(main())
