"""How a peer is asked: the question, the answer, and what carries them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

JSON = "application/json"
TEXT = "text/plain"


@dataclass(frozen=True, slots=True)
class Ask:
    """One request.

    Parameters
    ----------
    path : str
        Below the peer's API, such as `log/checkpoint`.
    query : mapping of str to int
    body : bytes or None
        JSON to post; None asks with GET.
    most_bytes : int
        Longest body of an answer that is read [byte].
    """

    path: str
    query: Mapping[str, int] = field(default_factory=dict)
    body: bytes | None = None
    most_bytes: int = 64 * 1024


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer, whatever its status.

    Parameters
    ----------
    status : int
    media_type : str
        Without parameters, in lower case.
    body : bytes
    wait_s : int or None
        What `Retry-After` asks for [s].
    """

    status: int
    media_type: str
    body: bytes
    wait_s: int | None = None


class Transport(Protocol):
    """Whatever carries a request to a peer and its answer back."""

    def ask(self, ask: Ask) -> Answer:
        """Carry one request.

        Raises
        ------
        PeerTrouble
            The peer can't be reached, is too slow, cuts the answer or says too much.
        """
        ...
