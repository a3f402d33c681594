"""The environments the demo runs in: databases of its own, whatever the ordinary one is."""

from __future__ import annotations

import os
import secrets
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import NoReturn
from urllib.parse import quote

from service_registry.environment import TRIAL_NODE_HOST, Environment

DATABASE = "demo.sqlite3"
SECOND_HOST = "kelderby.invalid"
SECOND_FOLDER = "kelderby"
SECRET_BYTES = 48
# What lies beside a database: the API key for a peer, what the server says, the story's bundle.
PEER_TOKEN, SERVER_LOG = "peer.token", "server.log"
BUNDLE, CHANGED_BUNDLE = "bundle.json", "changed.json"


def own_settings(folder: Path) -> dict[str, str]:
    """Give the variables of a node that keeps nothing but the demo, in a folder."""
    return {
        "DATA_DIR": str(folder),
        "DATABASE_URL": f"sqlite:///{quote(str(folder / DATABASE))}",
        "NODE_HOST": TRIAL_NODE_HOST,
        "LOG_LEVEL": "WARNING",
    }


def second_folder(folder: Path) -> Path:
    """Give the folder of the second node."""
    return folder / SECOND_FOLDER


def second_settings(folder: Path) -> dict[str, str]:
    """Give the variables of the second node, with a name and a secret of its own."""
    return own_settings(second_folder(folder)) | {
        "NODE_HOST": SECOND_HOST,
        "SECRET_KEY": secrets.token_urlsafe(SECRET_BYTES),
    }


def is_inside(folder: Path, environment: Mapping[str, str]) -> bool:
    """Say whether an environment is the demo's own, and holds no other setting of a node."""
    return _settings_in(environment) == own_settings(folder)


def environment_inside(folder: Path, environment: Mapping[str, str]) -> dict[str, str]:
    """Give an environment with the demo's own settings in place of all settings of a node."""
    return with_settings(own_settings(folder), environment)


def with_settings(own: Mapping[str, str], environment: Mapping[str, str]) -> dict[str, str]:
    """Give an environment with some settings in place of all settings of a node."""
    ordinary = _settings_in(environment)
    rest = {name: value for name, value in environment.items() if name not in ordinary}
    return {**rest, **own}


def _settings_in(environment: Mapping[str, str]) -> dict[str, str]:
    # The reader of the settings takes names in either case.
    known = Environment.model_fields
    return {name: value for name, value in environment.items() if name.lower() in known}


def step_inside(folder: Path, arguments: list[str]) -> NoReturn:
    """Become the same command anew, in the demo's own environment.

    Django's settings can't change once they are read, and the server's workers read the same
    environment, so the process is replaced and not patched.
    """
    sys.stdout.flush()
    command = [sys.executable, "-m", "service_registry", *arguments]
    environment = environment_inside(folder, os.environ)
    os.execve(sys.executable, command, environment)  # noqa: S606 - our own program, no shell


def clear(folder: Path) -> None:
    """Make the folder, and take away what an earlier demo left in it; nothing else there."""
    folder.mkdir(parents=True, exist_ok=True)
    for ending in ("", "-wal", "-shm", "-journal"):
        (folder / f"{DATABASE}{ending}").unlink(missing_ok=True)
    for name in (PEER_TOKEN, SERVER_LOG, BUNDLE, CHANGED_BUNDLE):
        (folder / name).unlink(missing_ok=True)
