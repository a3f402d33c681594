"""The part of the chapter in which a history leaves the nodes in a file that proves itself."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from service_registry.demo.asking import Bearer, NotAnswered
from service_registry.demo.surroundings import BUNDLE, CHANGED_BUNDLE
from service_registry.demo.telling import points, said, titled
from service_registry.demo.two_nodes import TwoNodes

READING = b'"value":"'


def bundle_story(nodes: TwoNodes, shop: Bearer, ski: str) -> Iterator[str]:
    """Tell how a bundle is downloaded and checked, and what one changed byte does to it.

    Parameters
    ----------
    nodes : TwoNodes
        The first gives it out, and it is checked in the other's process, which needs neither
        its own database nor the network for that.
    shop : Bearer
        Who downloads it.
    ski : str
        Address of the ski.

    Yields
    ------
    str
        Lines, wrapped, except for the curl line and the commands.
    """
    first = nodes.first
    file, changed = first.folder / BUNDLE, first.folder / CHANGED_BUNDLE
    line, data = first.wire.fetch(shop, f"{ski}/bundle", str(file))
    file.write_bytes(data)
    changed.write_bytes(with_another_digit(data))
    yield from titled(
        "14 All of this fits in one file, which a buyer checks without a network and without a "
        "node. service-registry verify says:"
    )
    # The line with the key is left to the command itself: it is another key each time.
    yield from points(one for one in _verified(nodes, file, 0) if first.vkey not in one)
    yield from said("One byte of it is changed, a digit of a reading:")
    yield from points(_verified(nodes, changed, 1))
    yield f"  {line}"
    for one in (file, changed):
        yield f"  service-registry verify {one} --key {first.vkey}"


def with_another_digit(data: bytes) -> bytes:
    """Change the first digit of the first reading."""
    place = data.index(READING) + len(READING)
    digit = b"2" if data[place : place + 1] == b"1" else b"1"
    return data[:place] + digit + data[place + 1 :]


def _verified(nodes: TwoNodes, file: Path, status: int) -> list[str]:
    """Give what the check says.

    Raises
    ------
    NotAnswered
        If it ends otherwise than it must.
    """
    nodes.second.process.begin("verify", str(file), "--key", nodes.first.vkey)
    told = nodes.second.process.result()
    if told.status != status:
        raise NotAnswered(f"verify ended with {told.status}, not {status}. {told.out}{told.err}")
    return told.out.splitlines()
