"""The `Idempotency-Key` header: a request sent twice has one effect and one answer."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Mapping

from rest_framework.request import Request
from rest_framework.response import Response

from apps.api.parsing import body_of
from apps.api.problem_types import IDEMPOTENCY_KEY_INVALID
from apps.api.problems import Problem
from apps.api.rendering import Verbatim, dumps
from apps.registry.actors import Actor
from apps.registry.idempotency import Answer, run_once

HEADER = "Idempotency-Key"
REPLAYED = "Idempotency-Replayed"
# The draft standard writes the key as a quoted string; many clients send it bare.
_KEY = re.compile(r'"([\x21\x23-\x5b\x5d-\x7e]{1,255})"|([\x21\x23-\x7e]{1,255})', re.ASCII)


def written(document: object, *, location: str, status: int = 201) -> Answer:
    """Give the answer to a write, ready to be kept for a repeat."""
    return Answer(status=status, headers=(("Location", location),), body=dumps(document))


def once(request: Request, by: Actor, effect: Callable[[], Answer]) -> Response:
    """Answer a write: once for each idempotency key, each time without one.

    Raises
    ------
    Problem
        `idempotency-key-invalid` for a key of another form.
    RegistryError
        What the effect raises; `IdempotencyMismatch`, `IdempotencyInProgress`.
    """
    key = key_of(request)
    if key is None:
        return _response(effect(), {})
    answer = run_once(shop=by.handle, key=key, digest=digest(request), effect=effect)
    return _response(answer, {REPLAYED: "true"} if answer.replayed else {})


def key_of(request: Request) -> str | None:
    """The key of a request; None without the header.

    Raises
    ------
    Problem
        `idempotency-key-invalid`.
    """
    header = request.headers.get(HEADER)
    if header is None:
        return None
    matched = _KEY.fullmatch(header)
    if matched is None:
        sentence = "Send an Idempotency-Key of 1 to 255 visible ASCII characters."
        raise Problem(IDEMPOTENCY_KEY_INVALID, sentence)
    return matched.group(1) or matched.group(2)


def digest(request: Request) -> str:
    """SHA-256 of what was asked: method, address and body as it came."""
    asked = f"{request.method} {request.get_full_path()}\n".encode() + body_of(request).raw
    return hashlib.sha256(asked).hexdigest()


def _response(answer: Answer, headers: Mapping[str, str]) -> Response:
    return Response(
        Verbatim(answer.body), status=answer.status, headers={**dict(answer.headers), **headers}
    )
