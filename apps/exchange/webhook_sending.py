"""Sends one message: looks the name up, judges every address, and dials what was judged."""

from __future__ import annotations

import socket
import ssl
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from ipaddress import ip_address
from typing import Literal

from urllib3.connection import HTTPConnection, HTTPSConnection
from urllib3.exceptions import HTTPError

from apps.exchange.bounded import TookTooLong, within
from apps.exchange.webhook_targets import (
    Address,
    Network,
    Target,
    WrongTarget,
    check_addresses,
    read_target,
)

Resolver = Callable[[str, int], Sequence[Address]]
Result = Literal["delivered", "failed", "gone"]

# Standard Webhooks 1.0.0, "Request timeouts": 15 to 30 s.
SECONDS_IN_ALL = 20.0
SECONDS_A_STEP = 10.0
MOST_ADDRESSES = 4
GONE = 410
AGENT = "ski-service-registry"


@dataclass(frozen=True, slots=True)
class Sent:
    """What one try came to.

    Parameters
    ----------
    result : str
        "delivered", "failed", or "gone" where the receiver wants no more.
    sentence : str
        What happened, for the shop to read; nothing of the answer's text is in it.
    asked : timedelta or None
        How long the receiver asked to be left alone.
    """

    result: Result
    sentence: str
    asked: timedelta | None = None


def look_up(host: str, port: int) -> Sequence[Address]:
    """Give every address of a name, as the system's resolver has them.

    Raises
    ------
    OSError
        If there is none.
    """
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    return list(dict.fromkeys(ip_address(str(place[0])) for *_, place in found))


def send(
    url: str,
    body: bytes,
    headers: Mapping[str, str],
    *,
    own: Sequence[Network] = (),
    resolver: Resolver = look_up,
    tls: ssl.SSLContext | None = None,
) -> Sent:
    """Send one message, within a bounded time.

    Parameters
    ----------
    url : str
        As the shop gave it; it is judged anew, since names change where they lead.
    body : bytes
    headers : mapping
        Besides those of every request.
    own : sequence of networks
        Networks that the operator allows besides the public one.
    resolver : callable
        Looks names up.
    tls : ssl.SSLContext, optional
        Whom to trust; the system's authorities when absent.
    """
    try:
        return within(SECONDS_IN_ALL, lambda: _sent(url, body, headers, own, resolver, tls))
    except TookTooLong:
        return Sent("failed", f"The receiver took longer than {SECONDS_IN_ALL:.0f} seconds.")
    except WrongTarget as error:
        return Sent("failed", error.sentence)
    except (ssl.SSLError, HTTPError, OSError) as error:
        return Sent("failed", _worded(error))


def _sent(
    url: str,
    body: bytes,
    headers: Mapping[str, str],
    own: Sequence[Network],
    resolver: Resolver,
    tls: ssl.SSLContext | None,
) -> Sent:
    target = read_target(url, own=own)
    addresses = _judged(target, own, resolver)
    connection = _connected(target, addresses, tls)
    try:
        connection.request("POST", target.path, body=body, headers=_all(headers, target))
        answer = connection.getresponse()
        return _read(answer.status, answer.headers.get("Retry-After", ""))
    finally:
        # What else the receiver would say is not read, so it can't be without end.
        connection.close()


def _judged(target: Target, own: Sequence[Network], resolver: Resolver) -> Sequence[Address]:
    literal = target.literal
    addresses = [literal] if literal else resolver(target.host, target.port)
    if not addresses:
        raise WrongTarget("host", f"{target.host} leads nowhere.")
    check_addresses(target, addresses, own=own)
    return addresses


def _connected(
    target: Target, addresses: Sequence[Address], tls: ssl.SSLContext | None
) -> HTTPConnection:
    """Dial the judged addresses in turn; the name is not looked up again."""
    last: Exception = OSError("no address")
    for address in addresses[:MOST_ADDRESSES]:
        connection = _connection(target, str(address), tls)
        try:
            connection.connect()
        except (HTTPError, OSError) as error:
            connection.close()
            last = error
        else:
            return connection
    raise last


def _connection(target: Target, address: str, tls: ssl.SSLContext | None) -> HTTPConnection:
    if target.scheme == "http":
        return HTTPConnection(address, target.port, timeout=SECONDS_A_STEP)
    return HTTPSConnection(
        address,
        target.port,
        timeout=SECONDS_A_STEP,
        # The certificate must be the name's, whatever address was dialled.
        server_hostname=target.host,
        ssl_context=tls or ssl.create_default_context(),
    )


def _all(headers: Mapping[str, str], target: Target) -> Mapping[str, str]:
    return {
        **headers,
        "Host": target.authority,
        "Content-Type": "application/json",
        "User-Agent": AGENT,
        "Connection": "close",
    }


def _read(status: int, retry_after: str) -> Sent:
    if 200 <= status < 300:
        return Sent("delivered", f"The receiver answered with status {status}.")
    if status == GONE:
        return Sent("gone", "The receiver answered with status 410: it wants no more messages.")
    if 300 <= status < 400:
        return Sent(
            "failed",
            f"The receiver answered with status {status}, and no redirect is followed. Give the "
            "address that it leads to.",
        )
    # A date in Retry-After (RFC 9110 section 10.2.3) is left to the node's own schedule.
    seconds = int(retry_after) if retry_after.isdecimal() and len(retry_after) < 7 else 0
    asked = timedelta(seconds=seconds) if seconds else None
    return Sent("failed", f"The receiver answered with status {status}.", asked)


def _worded(error: Exception) -> str:
    if isinstance(error, socket.gaierror):
        return "The receiver's name can't be looked up."
    if isinstance(error, ssl.SSLError) or isinstance(error.__cause__, ssl.SSLError):
        return "The receiver's certificate or its TLS is not to be trusted."
    return "The receiver can't be reached, or broke the connection off."
