"""Each command is found in the module that the table names, and only that one is loaded."""

from __future__ import annotations

import argparse

import pytest

from service_registry.commands import FAMILIES, build_parser, families_of


def commands_of(parser: argparse.ArgumentParser) -> tuple[str, ...]:
    """The commands that a parser knows, in order."""
    (commands,) = (one for one in parser._actions if isinstance(one.choices, dict))
    return tuple(commands.choices or ())


@pytest.mark.parametrize("family", FAMILIES)
def test_a_family_has_the_commands_that_the_table_names(family: str) -> None:
    assert commands_of(build_parser([family])) == FAMILIES[family]


@pytest.mark.parametrize("arguments", [[], ["--help"], ["no-such-command"], ["fsc"]])
def test_what_is_no_command_is_read_by_all(arguments: list[str]) -> None:
    assert families_of(arguments) == tuple(FAMILIES)


def test_a_command_is_read_by_its_own_family() -> None:
    assert families_of(["fsck", "--json"]) == ("node",)
