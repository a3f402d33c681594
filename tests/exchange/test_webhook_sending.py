"""What is judged is what is dialled, under the name that was given, and for a bounded time."""

from __future__ import annotations

import socket
import ssl
import threading
from collections.abc import Sequence
from ipaddress import ip_address, ip_network
from pathlib import Path
from typing import Any

import pytest

from apps.exchange import webhook_sending
from apps.exchange.bounded import TookTooLong, within
from apps.exchange.webhook_sending import Sent, look_up, send
from apps.exchange.webhook_targets import Address
from tests.exchange.receiver import NAME, Received, certificate, receiving

LOOPBACK = [ip_network("127.0.0.0/8")]
HERE = ip_address("127.0.0.1")


class Names:
    """A resolver that gives prepared answers, one after the other, and counts."""

    def __init__(self, *answers: Sequence[Address]) -> None:
        self.answers = list(answers)
        self.asked: list[tuple[str, int]] = []

    def __call__(self, host: str, port: int) -> Sequence[Address]:
        self.asked.append((host, port))
        return self.answers[min(len(self.asked), len(self.answers)) - 1]


def test_a_message_arrives_with_its_headers() -> None:
    with receiving() as receiver:
        url = f"http://127.0.0.1:{receiver.port}/in?from=us"
        sent = send(url, b"{}", {"webhook-id": "msg_1"}, own=LOOPBACK)
    assert sent == Sent("delivered", "The receiver answered with status 204.")
    (came,) = receiver.received
    assert (came.path, came.body) == ("/in?from=us", b"{}")
    assert came.headers["webhook-id"] == "msg_1"
    assert came.headers["content-type"] == "application/json"
    assert came.headers["host"] == f"127.0.0.1:{receiver.port}"


def test_tls_is_spoken_under_the_name_to_the_checked_address(tmp_path: Path) -> None:
    shows, trusts = certificate(tmp_path)
    named: list[str | None] = []
    shows.sni_callback = lambda _socket, name, _context: named.append(name)
    names = Names([HERE])
    with receiving(tls=shows) as receiver:
        url = f"https://{NAME}:{receiver.port}/in"
        sent = send(url, b"{}", {}, own=LOOPBACK, resolver=names, tls=trusts)
        assert sent.result == "delivered"
        assert receiver.received[0].headers["host"] == f"{NAME}:{receiver.port}"
    assert named == [NAME]
    assert names.asked == [(NAME, receiver.port)]


@pytest.mark.parametrize("case", ["another name", "nobody's"])
def test_a_certificate_that_is_not_the_names(case: str, tmp_path: Path) -> None:
    shows, trusts = certificate(tmp_path, "other.example" if case == "another name" else NAME)
    with receiving(tls=shows) as receiver:
        sent = send(
            f"https://{NAME}:{receiver.port}/",
            b"{}",
            {},
            own=LOOPBACK,
            resolver=Names([HERE]),
            tls=trusts if case == "another name" else ssl.create_default_context(),
        )
    assert sent == Sent("failed", "The receiver's certificate or its TLS is not to be trusted.")
    assert receiver.received == []


@pytest.mark.parametrize(
    "answer",
    [["127.0.0.1"], ["8.8.8.8", "127.0.0.1"], ["127.0.0.1", "8.8.8.8"], ["::ffff:127.0.0.1"], []],
    ids=str,
)
def test_nothing_is_dialled_where_an_address_is_not_allowed(
    answer: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    dialled: list[object] = []
    monkeypatch.setattr(socket.socket, "connect", lambda _self, place: dialled.append(place))
    sent = send(f"https://{NAME}/", b"{}", {}, resolver=Names([ip_address(one) for one in answer]))
    assert sent.result == "failed"
    assert f"{NAME} leads" in sent.sentence
    assert dialled == []


def test_a_name_that_changes_after_the_check_changes_nothing(tmp_path: Path) -> None:
    shows, trusts = certificate(tmp_path)
    # The second answer is what a look-up by the connection itself would get.
    names = Names([HERE], [ip_address("169.254.169.254")])
    with receiving(tls=shows) as receiver:
        url = f"https://{NAME}:{receiver.port}/"
        first = send(url, b"{}", {}, own=LOOPBACK, resolver=names, tls=trusts)
        again = send(url, b"{}", {}, own=LOOPBACK, resolver=names, tls=trusts)
    assert first.result == "delivered"
    # Each delivery looks up anew, so the changed name is judged the next time.
    assert "169.254.169.254, which is link-local" in again.sentence
    assert len(receiver.received) == 1


def test_the_connection_looks_no_name_up(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[object] = []
    plain = socket.getaddrinfo

    def noted(host: str, *rest: Any) -> Any:
        asked.append(host)
        return plain(host, *rest)

    monkeypatch.setattr(socket, "getaddrinfo", noted)
    with receiving() as receiver:
        url = f"http://{NAME}:{receiver.port}/"
        sent = send(url, b"{}", {}, own=LOOPBACK, resolver=Names([HERE]))
    assert sent.result == "delivered"
    assert set(asked) == {"127.0.0.1"}


def test_the_next_address_is_tried_where_one_is_down() -> None:
    with receiving() as receiver:
        url = f"http://{NAME}:{receiver.port}/"
        names = Names([ip_address("127.0.0.9"), HERE])
        sent = send(url, b"{}", {}, own=LOOPBACK, resolver=names)
    assert sent.result == "delivered"


def test_no_redirect_is_followed() -> None:
    with receiving() as other:

        def elsewhere(_request: Received) -> tuple[int, dict[str, str]]:
            return 307, {"Location": f"http://127.0.0.1:{other.port}/"}

        with receiving(elsewhere) as receiver:
            sent = send(f"http://127.0.0.1:{receiver.port}/", b"{}", {}, own=LOOPBACK)
    assert sent.result == "failed"
    assert "no redirect is followed" in sent.sentence
    assert other.received == []


# Source: Standard Webhooks 1.0.0, "Delivery success and failure".
@pytest.mark.parametrize(
    ("status", "headers", "result", "asked_s"),
    [
        (200, {}, "delivered", None),
        (299, {}, "delivered", None),
        (304, {}, "failed", None),
        (400, {}, "failed", None),
        (410, {}, "gone", None),
        (429, {"Retry-After": "120"}, "failed", 120),
        (503, {"Retry-After": "Fri, 31 Jan 2025 15:04:05 GMT"}, "failed", None),
        (503, {"Retry-After": "9" * 40}, "failed", None),
        (503, {"Retry-After": "-5"}, "failed", None),
    ],
)
def test_what_an_answer_means(
    status: int, headers: dict[str, str], result: str, asked_s: int | None
) -> None:
    with receiving(lambda _: (status, headers)) as receiver:
        sent = send(f"http://127.0.0.1:{receiver.port}/", b"{}", {}, own=LOOPBACK)
    assert sent.result == result
    assert (sent.asked.total_seconds() if sent.asked else None) == asked_s


def test_a_receiver_that_drips_is_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(webhook_sending, "SECONDS_IN_ALL", 0.5)
    over = threading.Event()

    def drip(_request: Received) -> tuple[int, dict[str, str]]:
        over.wait(30)
        return 204, {}

    with receiving(drip) as receiver:
        sent = send(f"http://127.0.0.1:{receiver.port}/", b"{}", {}, own=LOOPBACK)
        over.set()
    assert sent.result == "failed"
    assert "took longer" in sent.sentence


def test_a_port_where_nobody_listens() -> None:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        url = f"http://127.0.0.1:{probe.getsockname()[1]}/"
        sent = send(url, b"{}", {}, own=LOOPBACK)
    assert sent == Sent("failed", "The receiver can't be reached, or broke the connection off.")


def test_a_name_that_nobody_knows() -> None:
    def unknown(host: str, port: int) -> Sequence[Address]:
        raise socket.gaierror(socket.EAI_NONAME, "Name or service not known")

    sent = send(f"https://{NAME}/", b"{}", {}, resolver=unknown)
    assert sent == Sent("failed", "The receiver's name can't be looked up.")


def test_the_systems_resolver_gives_every_address() -> None:
    assert HERE in look_up("localhost", 443)


def test_a_call_is_waited_for_so_long_and_no_longer() -> None:
    never = threading.Event()
    assert within(30, lambda: 7) == 7
    with pytest.raises(TookTooLong):
        within(0.05, lambda: never.wait(30))
    never.set()
    with pytest.raises(ZeroDivisionError):
        within(30, lambda: 1 // 0)
