"""Asks a peer over HTTP with limits on time and size, and follows no redirect."""

from __future__ import annotations

import ssl
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from http.client import HTTPException
from ipaddress import ip_address
from socket import SHUT_RDWR, socket
from threading import Event, Timer
from urllib.parse import urlencode

from urllib3 import BaseHTTPResponse
from urllib3.connection import HTTPConnection, HTTPSConnection
from urllib3.exceptions import HTTPError, LocationParseError, NewConnectionError
from urllib3.exceptions import TimeoutError as SilenceError
from urllib3.util import Url, parse_url

from apps.exchange.peers.errors import InvalidPeer, PeerTrouble, What
from apps.exchange.peers.transport import JSON, Answer, Ask

API = "/api/v1"
STEP_BYTES = 64 * 1024
LONGEST_WAIT_S = 3600
AGENT = "ski-service-registry"


@dataclass(frozen=True, slots=True)
class Patience:
    """How long one request may take.

    Parameters
    ----------
    silence_s : float
        Until the connection stands, and between two pieces of an answer [s].
    whole_s : float
        From the first byte sent to the last one read [s], so that an answer that trickles ends.
    """

    silence_s: float = 20.0
    whole_s: float = 120.0


PATIENCE = Patience()


@dataclass(frozen=True, slots=True)
class Base:
    """Where a peer's API is."""

    scheme: str
    host: str
    port: int | None
    prefix: str

    @classmethod
    def from_text(cls, text: str) -> Base:
        """Read the address of a node: https, or http on this machine itself.

        Raises
        ------
        InvalidPeer
            With what to give instead.
        """
        url = _parsed(text)
        if url.scheme not in {"http", "https"} or not url.host:
            raise InvalidPeer("Give the peer's address as https://HOST, with a port if it has one.")
        if url.auth or url.query or url.fragment:
            raise InvalidPeer(
                "The peer's address has no password, query or fragment; leave it out."
            )
        if (url.path or "").rstrip("/").endswith(API):
            raise InvalidPeer(f"Give the peer's address without {API}, where its API is.")
        if url.scheme == "http" and not is_loopback(url.host):
            raise InvalidPeer(
                "A peer is asked over https; plain http is for this machine itself only."
            )
        return cls(url.scheme, url.host, url.port, (url.path or "").rstrip("/"))

    def connection(self, timeout_s: float) -> HTTPConnection:
        """Make a connection that is not opened yet."""
        host = self.host.strip("[]")
        if self.scheme == "http":
            return HTTPConnection(host, self.port, timeout=timeout_s)
        context = ssl.create_default_context()
        return HTTPSConnection(host, self.port, timeout=timeout_s, ssl_context=context)


def _parsed(text: str) -> Url:
    try:
        return parse_url(text)
    except LocationParseError as error:
        raise InvalidPeer("Give the peer's address as https://HOST.") from error


def is_loopback(host: str) -> bool:
    """Say whether a host is this machine itself, by its name or its address."""
    try:
        return ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return host == "localhost"


class HttpTransport:
    """Asks one peer; every request has a connection of its own.

    Parameters
    ----------
    url : str
        Address of the node, without `/api/v1`.
    token : str
        API key that the peer issued for its feed; "" where it needs none.
    patience : Patience
    """

    def __init__(self, url: str, token: str = "", patience: Patience = PATIENCE) -> None:
        self.base = Base.from_text(url)
        self.token = token
        self.patience = patience

    def ask(self, ask: Ask) -> Answer:
        """Carry one request; see `Transport`."""
        watch = _Watch()
        try:
            with (
                closing(self.base.connection(self.patience.silence_s)) as connection,
                watch.over(connection, self.patience.whole_s),
            ):
                self._send(connection, ask)
                # An answer of no announced length takes the socket away from its connection.
                watch.sock = connection.sock
                with closing(connection.getresponse()) as response:
                    answer = _answer(response, ask.most_bytes)
        except (HTTPError, HTTPException, OSError) as error:
            raise self._worded(error, is_over=watch.has_ended.is_set()) from error
        if watch.has_ended.is_set():
            # Such an answer looks whole when its connection ends.
            raise self._too_slow()
        return answer

    def _send(self, connection: HTTPConnection, ask: Ask) -> None:
        query = f"?{urlencode(ask.query)}" if ask.query else ""
        connection.request(
            "GET" if ask.body is None else "POST",
            f"{self.base.prefix}{API}/{ask.path}{query}",
            body=ask.body,
            headers=self._headers(ask),
            preload_content=False,
            decode_content=False,
        )

    def _headers(self, ask: Ask) -> dict[str, str]:
        headers = {
            "Accept": "*/*",
            "Accept-Encoding": "identity",
            "Connection": "close",
            "User-Agent": AGENT,
        }
        if self.token:
            headers["Authorization"] = f"Bearer {self.token}"
        if ask.body is not None:
            headers["Content-Type"] = JSON
        return headers

    def _worded(self, error: Exception, *, is_over: bool) -> PeerTrouble:
        if is_over:
            return self._too_slow()
        # A refused connection counts as a timeout with the library, so it is asked for first.
        if isinstance(error, NewConnectionError):
            return PeerTrouble(What.UNREACHABLE, "The peer can't be reached at its address.")
        if isinstance(error, ssl.SSLError):
            return PeerTrouble(What.UNREACHABLE, "The peer's certificate does not hold.")
        if isinstance(error, TimeoutError | SilenceError):
            sentence = f"The peer was silent for {self.patience.silence_s:g} seconds."
            return PeerTrouble(What.TIMED_OUT, sentence)
        # What the other side wrote is never repeated: only the name of the error is ours.
        name = type(error).__name__
        return PeerTrouble(What.CUT, f"The answer was cut or is no HTTP ({name}).")

    def _too_slow(self) -> PeerTrouble:
        sentence = f"The answer was not whole within {self.patience.whole_s:g} seconds."
        return PeerTrouble(What.TIMED_OUT, sentence)


def _answer(response: BaseHTTPResponse, most_bytes: int) -> Answer:
    return Answer(
        status=response.status,
        media_type=response.headers.get("Content-Type", "").partition(";")[0].strip().lower(),
        body=_body(response, most_bytes),
        wait_s=_wait(response.headers.get("Retry-After", "")),
    )


def _body(response: BaseHTTPResponse, most_bytes: int) -> bytes:
    if response.headers.get("Content-Encoding", "identity").lower() != "identity":
        # A small packed answer can hold a huge one, so none is unpacked.
        raise PeerTrouble(What.WRONG_TYPE, "The answer is packed; nothing packed was asked for.")
    pieces: list[bytes] = []
    length = 0
    while piece := response.read(min(STEP_BYTES, most_bytes + 1 - length), decode_content=False):
        pieces.append(piece)
        length += len(piece)
        if length > most_bytes:
            raise PeerTrouble(
                What.TOO_LARGE, f"The answer has more than {most_bytes} bytes; it was not read."
            )
    return b"".join(pieces)


def _wait(text: str) -> int | None:
    return min(int(text), LONGEST_WAIT_S) if text.isascii() and text.isdecimal() else None


class _Watch:
    """Ends a connection after a time, however often a byte comes: timeouts count silence only."""

    def __init__(self) -> None:
        self.has_ended = Event()
        self.sock: socket | None = None

    @contextmanager
    def over(self, connection: HTTPConnection, seconds: float) -> Iterator[None]:
        """Watch for some seconds."""
        timer = Timer(seconds, self._end, [connection])
        timer.daemon = True
        timer.start()
        try:
            yield
        finally:
            timer.cancel()

    def _end(self, connection: HTTPConnection) -> None:
        self.has_ended.set()
        sock = self.sock or connection.sock
        if sock is not None:
            with suppress(OSError):
                sock.shutdown(SHUT_RDWR)
