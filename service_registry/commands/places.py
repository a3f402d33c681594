"""The folder, port and counts that commands are given, refused in words where they can't be had."""

from __future__ import annotations

import argparse
import socket
from collections.abc import Callable
from pathlib import Path

from apps.registry.errors import InvalidSetting

HIGHEST_PORT = 65535


def make_folder(folder: Path) -> None:
    """Make a folder with those above it; one that stands already is well.

    Raises
    ------
    InvalidSetting
        Where it can't be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        sentence = f"The folder {folder} can't be made: {error.strerror}. Give another."
        raise InvalidSetting(sentence) from error


def check_address(host: str, port: int) -> None:
    """Refuse an address that no server can be started on.

    The server would share a port with one that runs already, and each would answer some requests.

    Raises
    ------
    InvalidSetting
        With what to give instead.
    """
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        with socket.socket(family, kind, protocol) as probe:
            # Connections that ended a moment ago hold no port.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
    except OSError as error:
        sentence = f"Port {port} of {host} can't be used: {error.strerror}. "
        raise InvalidSetting(f"{sentence}Give another with --port or --host.") from error


def whole_number(lowest: int, highest: int) -> Callable[[str], int]:
    """Give a reader of an argument that is a whole number between two limits."""

    def read(text: str) -> int:
        if not text.isdecimal() or not lowest <= int(text) <= highest:
            raise argparse.ArgumentTypeError(f"give a whole number, {lowest} to {highest}")
        return int(text)

    return read


port_number = whole_number(1, HIGHEST_PORT)
