"""A small client over Django's own; it carries a key and holds each answer to the contract."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote

from django.http import HttpResponse
from django.test import Client

from tests.api.promised import keeps_promise

ROOT = "/api/v1"


@dataclass(frozen=True)
class Answered:
    """An answer: status, headers, and the body as bytes and as JSON."""

    status: int
    headers: dict[str, str]
    content: bytes

    @property
    def json(self) -> Any:
        """The body."""
        return json.loads(self.content)

    @property
    def slug(self) -> str:
        """Which problem it is."""
        return str(self.json["type"]).partition("#")[2]

    @property
    def pointers(self) -> list[str]:
        """Where the mistakes are."""
        return [one.get("pointer", one.get("parameter")) for one in self.json.get("errors", [])]


class ApiClient:
    """Sends requests with or without a key."""

    def __init__(self, token: str | None, handle: str = "") -> None:
        self.token = token
        self.handle = handle
        self.django = Client()

    def get(self, path: str, **headers: str) -> Answered:
        """GET an address below the root, or an absolute one."""
        return self.send("GET", path, None, **headers)

    def post(self, path: str, document: object = None, **headers: str) -> Answered:
        """POST a document as JSON."""
        return self.send("POST", path, json.dumps(document).encode(), **headers)

    def put(self, path: str, document: object, **headers: str) -> Answered:
        """PUT a document as JSON."""
        return self.send("PUT", path, json.dumps(document).encode(), **headers)

    def delete(self, path: str, **headers: str) -> Answered:
        """DELETE an address."""
        return self.send("DELETE", path, None, **headers)

    def send(
        self,
        method: str,
        path: str,
        body: bytes | None,
        content_type: str = "application/json",
        **headers: str,
    ) -> Answered:
        """Send a body as it is."""
        address = path if path.startswith("/") else f"{ROOT}/{path}"
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        if self.token is not None:
            sent.setdefault("Authorization", f"Bearer {self.token}")
        answered = self.django.generic(
            method, address, body or b"", content_type if body is not None else "", headers=sent
        )
        response = whole(answered)
        if address.startswith((ROOT, "/.well-known/")):
            keeps_promise(method, unquote(address.partition("?")[0]), response)
        return Answered(response.status_code, dict(response.headers), response.content)


def whole(response: Any) -> Any:
    """An answer that is written while it is sent, read to its end."""
    if not response.streaming:
        return response
    content = b"".join(response.streaming_content)
    return HttpResponse(content, status=response.status_code, headers=dict(response.headers))
