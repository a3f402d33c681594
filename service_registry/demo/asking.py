"""Asks a node what the story tells, through its real addresses, and keeps each as a curl line."""

from __future__ import annotations

import json
import shlex
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException
from typing import Any, Protocol

from django.test import Client

ROOT = "/api/v1"
JSON = "application/json"
# A node that starts beside others on a busy machine takes a while to answer first.
PATIENCE_S = 120


class NotAnswered(Exception):
    """A node refused what the story asks; the message says what and why."""


class Bearer(Protocol):
    """Whoever has an API key."""

    @property
    def token(self) -> str:
        """The key."""
        ...


@dataclass(frozen=True, slots=True)
class Asked:
    """A request that was answered.

    Parameters
    ----------
    curl : str
        The same request as a shell line, with a key that works.
    document : mapping
        The JSON answer.
    """

    curl: str
    document: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Request:
    """One request, before anything carries it."""

    method: str
    path: str
    headers: Mapping[str, str]
    text: str | None = None

    def curl(self, address: str, *, file: str = "") -> str:
        """Give it as a shell line; an answer that goes into a file is named."""
        parts = ["curl"] + (["-X PUT"] if self.method == "PUT" else [])
        parts += [f"-H {shlex.quote(f'{name}: {value}')}" for name, value in self.headers.items()]
        parts += [] if self.text is None else [f"-d {shlex.quote(self.text)}"]
        parts += [f"-o {shlex.quote(file)}"] if file else []
        return " ".join([*parts, shlex.quote(address + ROOT + self.path)])


class Counter:
    """Where the shops of the story ask: the node's own web application, without a socket.

    Parameters
    ----------
    host : str
    port : int
        Where the curl lines find the node once it is served.
    """

    def __init__(self, host: str, port: int) -> None:
        self.address = f"http://{host}:{port}"
        self._client = Client(
            raise_request_exception=False, SERVER_NAME=host, SERVER_PORT=str(port)
        )

    def get(self, shop: Bearer, path: str) -> Asked:
        """Read.

        Raises
        ------
        NotAnswered
        """
        return self._asked(Request("GET", path, _headers(shop)))

    def pages(self, shop: Bearer, path: str) -> Iterator[Asked]:
        """Read a list to its end.

        Raises
        ------
        NotAnswered
        """
        following: str | None = path
        while following is not None:
            asked = self.get(shop, following)
            yield asked
            further = asked.document.get("next")
            following = None if further is None else str(further).removeprefix(ROOT)

    def post(self, shop: Bearer, path: str, body: Mapping[str, Any], *, once: str = "") -> Asked:
        """Ask for an answer to a document, or write one.

        Parameters
        ----------
        once : str
            Idempotency key of a write, so that its curl line may be run again without effect.

        Raises
        ------
        NotAnswered
        """
        more = {"Idempotency-Key": once} if once else {}
        headers = {**_headers(shop), **more, "Content-Type": JSON}
        return self._asked(Request("POST", path, headers, json.dumps(body)))

    def put(self, shop: Bearer, path: str, body: Mapping[str, Any]) -> Asked:
        """Hand in what its address names already.

        Raises
        ------
        NotAnswered
        """
        headers = {**_headers(shop), "Content-Type": JSON}
        return self._asked(Request("PUT", path, headers, json.dumps(body)))

    def fetch(self, shop: Bearer, path: str, file: str) -> tuple[str, bytes]:
        """Read what goes into a file; gives the curl line that does so, and the bytes.

        Raises
        ------
        NotAnswered
        """
        request = Request("GET", path, _headers(shop))
        return request.curl(self.address, file=file), self._bytes(request)

    def _asked(self, request: Request) -> Asked:
        return Asked(request.curl(self.address), json.loads(self._bytes(request)))

    def _bytes(self, request: Request) -> bytes:
        status, data = self.carry(request)
        if status >= 400:
            raise NotAnswered(f"{request.path}: {status} {data.decode(errors='replace')}")
        return data

    def carry(self, request: Request) -> tuple[int, bytes]:
        """Carry a request to the node; gives the status and the bytes of the answer."""
        answer = self._client.generic(
            request.method,
            ROOT + request.path,
            request.text or "",
            content_type=request.headers.get("Content-Type", JSON),
            headers=dict(request.headers),
        )
        # A file is sent in pieces, and has no content of its own.
        streamed = getattr(answer, "streaming_content", None)
        return answer.status_code, answer.content if streamed is None else b"".join(streamed)


class Wire(Counter):
    """Asks a node over its real socket."""

    def __init__(self, host: str, port: int) -> None:
        super().__init__(host, port)
        self._place = (host, port)

    def carry(self, request: Request) -> tuple[int, bytes]:
        """Carry a request to the node; gives the status and the bytes of the answer.

        Raises
        ------
        NotAnswered
            When the node is not there, or silent.
        """
        body = None if request.text is None else request.text.encode()
        host, port = self._place
        try:
            with closing(HTTPConnection(host, port, timeout=PATIENCE_S)) as connection:
                connection.request(
                    request.method, ROOT + request.path, body=body, headers=dict(request.headers)
                )
                answer = connection.getresponse()
                return answer.status, answer.read()
        except (OSError, HTTPException) as error:
            raise NotAnswered(f"{self.address}: {type(error).__name__} {error}") from error


def _headers(shop: Bearer) -> dict[str, str]:
    return {"Authorization": f"Bearer {shop.token}"}
