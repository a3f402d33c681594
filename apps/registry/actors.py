"""Who asks, and what the credential they came with allows."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Scope(StrEnum):
    """What a credential allows.

    `keys` keeps the shop's own signing keys; `feed` reads the whole log and is for peers only.
    """

    READ = "read"
    WRITE = "write"
    KEYS = "keys"
    FEED = "feed"


SHOP_SCOPES = frozenset({Scope.READ, Scope.WRITE, Scope.KEYS})
BENCH_SCOPES = (Scope.READ, Scope.WRITE)


@dataclass(frozen=True, slots=True)
class Actor:
    """Someone who asks for something.

    Parameters
    ----------
    handle : str
        Handle of the shop that asks; "" for the operator, the node and a peer.
    scopes : frozenset of Scope
        What the credential allows.
    operator : bool
        Whether it is the operator, who keeps shops and keys but writes no record.
    node : bool
        Whether it is the node itself, which writes of keys and of what was erased.
    peer : str
        Host of the node that the records were pulled from; "" for everybody else.
    """

    handle: str
    scopes: frozenset[Scope] = frozenset()
    operator: bool = False
    node: bool = False
    peer: str = ""

    @property
    def name(self) -> str:
        """How sentences speak of the actor."""
        if self.operator:
            return "the operator"
        return "the node" if self.node else self.handle or self.peer


OPERATOR = Actor(handle="", operator=True)
NODE = Actor(handle="", scopes=frozenset({Scope.WRITE}), node=True)


def shop_actor(handle: str, *scopes: Scope) -> Actor:
    """Give the actor of a shop; it may read and write unless told otherwise."""
    return Actor(handle=handle, scopes=frozenset(scopes or BENCH_SCOPES))


def peer_actor(host: str) -> Actor:
    """Give the actor of a node that records are pulled from."""
    return Actor(handle="", scopes=frozenset({Scope.WRITE}), peer=host)
