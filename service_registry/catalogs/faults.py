"""What is wrong with a catalog of translations, each fault as a line for whoever mends it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from babel.messages.catalog import Catalog, Message

PLACEHOLDER = re.compile(r"%\(\w+\)[sd]|\{\w+\}")
LONE_PERCENT = re.compile(r"(?<!%)%(?!\(\w+\)[sd]|%)")
Key = tuple[str | None, str]


def faults(template: Catalog, catalog: Catalog) -> Iterator[str]:
    """Compare a catalog with what the pages say.

    Parameters
    ----------
    template : Catalog
        Every string of the pages.
    catalog : Catalog
        As it stands on disk.

    Yields
    ------
    str
        A string that is missing, left over, uncertain, empty, or whose placeholders differ.
    """
    wanted, there = _by_key(template), _by_key(catalog)
    for key in sorted(wanted.keys() - there.keys(), key=str):
        yield f"missing: {_named(key)}"
    for key in sorted(there.keys() - wanted.keys(), key=str):
        yield f"left over: {_named(key)}"
    for message in catalog.obsolete.values():
        yield f"left over: {_first(message)!r}"
    for key in sorted(wanted.keys() & there.keys(), key=str):
        yield from _of_message(key, there[key], wanted[key])


def _of_message(key: Key, message: Message, wanted: Message) -> Iterator[str]:
    if message.fuzzy:
        yield f"uncertain: {_named(key)}"
    if _forms(message.id) != _forms(wanted.id):
        yield f"another plural: {_named(key)}"
        return
    strings = _forms(message.string)
    if len(strings) < len(_forms(message.id)) or not all(strings):
        yield f"empty: {_named(key)}"
        return
    for number, text in enumerate(strings):
        yield from _of_text(key, _forms(message.id)[min(number, len(_forms(message.id)) - 1)], text)


def _of_text(key: Key, source: str, text: str) -> Iterator[str]:
    if set(PLACEHOLDER.findall(source)) != set(PLACEHOLDER.findall(text)):
        yield f"other placeholders: {_named(key)}"
    # Only what is filled in reads a percent sign.
    elif "%(" in source and LONE_PERCENT.search(text):
        yield f"a lone percent sign: {_named(key)}"
    if (source[:1].isspace(), source[-1:].isspace()) != (text[:1].isspace(), text[-1:].isspace()):
        yield f"other blanks at an end: {_named(key)}"


def _by_key(catalog: Catalog) -> dict[Key, Message]:
    return {(one.context, _first(one)): one for one in catalog if one.id}


def _first(message: Message) -> str:
    return _forms(message.id)[0]


def _forms(texts: str | list[str] | tuple[str, ...] | None) -> tuple[str, ...]:
    return (texts,) if isinstance(texts, str) else tuple(texts or ("",))


def _named(key: Key) -> str:
    context, text = key
    return f"{text!r}" if context is None else f"{text!r} of {context!r}"
