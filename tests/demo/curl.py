"""Reads the curl lines that the story prints, and asks again what they ask."""

from __future__ import annotations

import json
import shlex
import time
import urllib.error
import urllib.request
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

from django.test import Client

PATIENCE_S = 120


@dataclass
class CurlLine:
    """One curl line, taken apart."""

    address: str = ""
    headers: dict[str, str] = field(default_factory=dict)
    body: str | None = None
    method: str = ""
    file: str = ""

    @property
    def path(self) -> str:
        """Path and query of the address."""
        parts = urlsplit(self.address)
        return f"{parts.path}?{parts.query}" if parts.query else parts.path

    @property
    def place(self) -> tuple[str, int]:
        """Host and port of the address."""
        parts = urlsplit(self.address)
        return parts.hostname or "", parts.port or 80

    def ask(self, client: Client) -> Any:
        """Ask it again."""
        headers = dict(self.headers)
        kind = headers.pop("Content-Type", "application/json")
        if self.body is None:
            return client.get(self.path, headers=headers)
        return client.post(self.path, self.body, content_type=kind, headers=headers)

    def answer(self) -> Any:
        """Ask the node at its address, until it is up, and give the document."""
        body = None if self.body is None else self.body.encode()
        request = urllib.request.Request(  # noqa: S310 - printed by the demo
            self.address, data=body, headers=self.headers, method=self.method or None
        )
        end = time.monotonic() + PATIENCE_S
        while True:
            try:
                with urllib.request.urlopen(request, timeout=PATIENCE_S) as answer:  # noqa: S310
                    return json.loads(answer.read())
            except urllib.error.HTTPError:
                raise
            except OSError:
                if time.monotonic() > end:
                    raise
                time.sleep(0.1)


def read_curl(line: str) -> CurlLine:
    """Take a curl line apart as a shell does."""
    program, *words = shlex.split(line)
    assert program == "curl"
    found = CurlLine()
    while words:
        word = words.pop(0)
        if word == "-H":
            name, value = words.pop(0).split(": ", 1)
            found.headers[name] = value
        elif word == "-d":
            found.body = words.pop(0)
        elif word == "-X":
            found.method = words.pop(0)
        elif word == "-o":
            found.file = words.pop(0)
        else:
            found.address = word
    return found


def curl_lines(lines: Iterable[str]) -> list[CurlLine]:
    """Take apart every curl line of a story."""
    return [read_curl(line) for line in lines if line.lstrip().startswith("curl ")]
