"""Asks the node what the story tells, through its real addresses, and keeps each as a curl line."""

from __future__ import annotations

import json
import shlex
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.test import Client

from service_registry.demo.loading import LoadedShop

ROOT = "/api/v1"


class NotAnswered(Exception):
    """The node refused what the story asks; the message says what and why."""


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


class Counter:
    """Where the shops of the story ask: the node's own web application, without a socket.

    Parameters
    ----------
    host : str
    port : int
        Where the curl lines find the node once it is served.
    """

    def __init__(self, host: str, port: int) -> None:
        self._address = f"http://{host}:{port}"
        self._client = Client(
            raise_request_exception=False, SERVER_NAME=host, SERVER_PORT=str(port)
        )

    def get(self, shop: LoadedShop, path: str) -> Asked:
        """Read.

        Raises
        ------
        NotAnswered
        """
        curl = f"curl {_header(shop)} {shlex.quote(self._address + ROOT + path)}"
        answer = self._client.get(ROOT + path, headers=_headers(shop))
        return Asked(curl, _document(path, answer))

    def pages(self, shop: LoadedShop, path: str) -> Iterator[Asked]:
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

    def post(
        self, shop: LoadedShop, path: str, body: Mapping[str, Any], *, once: str = ""
    ) -> Asked:
        """Ask for an answer to a document, or write one.

        Parameters
        ----------
        once : str
            Idempotency key of a write, so that its curl line may be run again without effect.

        Raises
        ------
        NotAnswered
        """
        text = json.dumps(body)
        more = {"Idempotency-Key": once} if once else {}
        parts = [f"-H {shlex.quote(f'{name}: {value}')}" for name, value in more.items()]
        parts += ["-H 'Content-Type: application/json'", f"-d {shlex.quote(text)}"]
        curl = f"curl {_header(shop)} {' '.join(parts)} {self._address}{ROOT}{path}"
        answer = self._client.post(
            ROOT + path, text, content_type="application/json", headers=_headers(shop) | more
        )
        return Asked(curl, _document(path, answer))


def _headers(shop: LoadedShop) -> dict[str, str]:
    return {"Authorization": f"Bearer {shop.token}"}


def _header(shop: LoadedShop) -> str:
    return f"-H 'Authorization: Bearer {shop.token}'"


def _document(path: str, answer: Any) -> Mapping[str, Any]:
    document: Mapping[str, Any] = json.loads(answer.content)
    if answer.status_code >= 400:
        raise NotAnswered(f"{path}: {answer.status_code} {document.get('detail')} {document}")
    return document
