"""An answer of the node under test; whatever is not there makes the check fail, with a sentence."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service_registry.conformance.checks import Failed, expect


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer.

    Parameters
    ----------
    asked : str
        Method and address, for sentences.
    status : int
    headers : mapping of str to str
        By lower-case name.
    content : bytes
    """

    asked: str
    status: int
    headers: Mapping[str, str]
    content: bytes

    @property
    def json(self) -> Any:
        """The body as JSON."""
        try:
            return json.loads(self.content)
        except ValueError as error:
            raise Failed(f"{self.asked} answered something that is not JSON.") from error

    def at(self, *path: str | int) -> Any:
        """Give a part of the body."""
        found = self.json
        for step in path:
            try:
                found = found[step]
            except (LookupError, TypeError) as error:
                where = "/".join(map(str, path))
                raise Failed(f"{self.asked} answered without {where}.") from error
        return found

    def has_status(self, *statuses: int) -> Answer:
        """Fail unless the status is one of these."""
        if self.status not in statuses:
            wanted = " or ".join(map(str, statuses))
            raise Failed(
                f"{self.asked} answered {self.status} and must answer {wanted}{self._said()}."
            )
        return self

    def is_problem(self, status: int, slug: str) -> Answer:
        """Fail unless it is this problem (RFC 9457)."""
        self.has_status(status)
        kind = str(self.at("type")).partition("#")[2]
        expect(kind, slug, f"The problem that {self.asked} answered")
        return self

    def pointers(self) -> set[str]:
        """Where the mistakes of a problem are."""
        errors: list[dict[str, str]] = self.json.get("errors", [])
        return {one.get("pointer", one.get("parameter", "")) for one in errors}

    def _said(self) -> str:
        try:
            detail = json.loads(self.content)["detail"]
        except (ValueError, LookupError, TypeError):
            return ""
        return f" ({str(detail)[:200]})"
