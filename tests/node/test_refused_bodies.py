"""A body that is refused unread is read to its end, so that its sender sees why."""

from __future__ import annotations

import socket
import time
from collections.abc import Iterator

import pytest
from django.http import HttpResponse
from django.test import RequestFactory

from apps.api import unread_body
from apps.api.unread_body import ReadToTheEnd
from tests.exchange.nodes import Node

PIECES = 10


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Node]:
    """A node that serves."""
    node = Node("fell.example", tmp_path_factory.mktemp("node"))
    assert node.run("prepare").returncode == 0
    node.serve()
    yield node
    node.stop()


def answer_to_a_slow_sender(node: Node, length: int) -> bytes:
    """Send a body without a key, a piece at a time, and only then look at the answer."""
    head = (
        "POST /api/v1/jobs HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n"
        f"Content-Type: application/json\r\nContent-Length: {length}\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", node.port), 60) as connection:
        connection.sendall(head.encode())
        for _ in range(PIECES):
            connection.sendall(b" " * (length // PIECES))
            time.sleep(0.1)
        return connection.recv(12)


@pytest.mark.parametrize("length", [100_000, 1_000_000, 3_000_000])
def test_the_sender_of_a_large_body_gets_its_answer(served: Node, length: int) -> None:
    assert answer_to_a_slow_sender(served, length) == b"HTTP/1.1 401"


class Unread:
    """Answers without a look at the body."""

    def __init__(self, response: HttpResponse) -> None:
        self.response = response

    def __call__(self, _request: object) -> HttpResponse:
        return self.response


@pytest.mark.parametrize(("most", "left"), [(3, 0), (2, 3)])
def test_a_longer_body_is_not_waited_for(
    most: int, left: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = unread_body.AT_ONCE
    monkeypatch.setattr(unread_body, "MOST_BYTES", most * piece)
    request = RequestFactory().post("/", b" " * 3 * piece, content_type="application/json")
    ReadToTheEnd(Unread(HttpResponse(status=413)))(request)
    assert len(request.read()) == left * piece
