"""What a check is, and how one comes out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from service_registry.conformance.node import Node

Outcome = Literal["holds", "fails", "not-run"]


class Failed(Exception):
    """The node answered otherwise than it must; the message says how."""


class NotRun(Exception):
    """The check needs something that was not given; the message says what."""


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that a node must do.

    Parameters
    ----------
    name : str
        Stable name, unique.
    subject : str
        What it is about; reports are ordered by it.
    sentence : str
        What must hold, in a sentence.
    run : callable
        Asks the node; raises `Failed` or `NotRun`.
    """

    name: str
    subject: str
    sentence: str
    run: Callable[[Node], None]


@dataclass(frozen=True, slots=True)
class CheckResult:
    """How one check came out; `detail` says why it failed or was not run."""

    check: Check
    outcome: Outcome
    detail: str = ""


class Subject:
    """Gathers the checks of one subject by a decorator."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.checks: list[Check] = []

    def check(self, sentence: str) -> Callable[[Callable[[Node], None]], Callable[[Node], None]]:
        """Take a function as a check; its name, with hyphens, is the check's."""

        def take(run: Callable[[Node], None]) -> Callable[[Node], None]:
            name = run.__name__.replace("_", "-")
            self.checks.append(Check(name, self.name, sentence, run))
            return run

        return take


def expect(found: object, expected: object, what: str) -> None:
    """Fail unless what was found is what is expected."""
    if found != expected:
        raise Failed(f"{what} is {_short(found)} and must be {_short(expected)}.")


def expect_that(holds: object, otherwise: str) -> None:
    """Fail with a sentence unless something holds."""
    if not holds:
        raise Failed(otherwise)


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 120 else f"{text[:117]}..."
