"""Who asks, and what the credential they came with allows."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Scope(StrEnum):
    """What a credential allows."""

    READ = "read"
    WRITE = "write"


@dataclass(frozen=True, slots=True)
class Actor:
    """Someone who asks for something.

    Parameters
    ----------
    handle : str
        Handle of the shop that asks; "" for the operator of the node.
    scopes : frozenset of Scope
        What the credential allows.
    operator : bool
        Whether it is the operator, who keeps shops and keys but writes no record.
    """

    handle: str
    scopes: frozenset[Scope] = frozenset()
    operator: bool = False

    @property
    def name(self) -> str:
        """How sentences speak of the actor."""
        return "the operator" if self.operator else self.handle


OPERATOR = Actor(handle="", operator=True)


def shop_actor(handle: str, *scopes: Scope) -> Actor:
    """Give the actor of a shop; with both scopes unless told otherwise."""
    return Actor(handle=handle, scopes=frozenset(scopes or Scope))
