"""Where a message may be sent: reads an address by its form, and judges what it resolves to.

Nothing here looks a name up or opens a connection.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from ipaddress import (
    IPv4Address,
    IPv4Network,
    IPv6Address,
    IPv6Network,
    ip_address,
)
from urllib.parse import urlsplit

from apps.exchange.special_networks import hidden_ipv4, why_special

Network = IPv4Network | IPv6Network
Address = IPv4Address | IPv6Address

LONGEST = 2000
DEFAULT_PORTS = {"https": 443, "http": 80}
# Below it live services such as mail, which a message could be made to speak to.
LOWEST_OTHER_PORT = 1024
_VISIBLE = re.compile(r"[\x21-\x7e]+", re.ASCII)
_LABEL = r"[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?"
_NAME = re.compile(rf"(?:{_LABEL}\.)+{_LABEL}", re.ASCII)
# What resolvers take for a number: the C library reads 0x7f.1, 0177.0.0.1 and 2130706433 alike.
_NUMBER = re.compile(r"(?:[0-9]+|0[xX][0-9a-fA-F]*)", re.ASCII)


class WrongTarget(Exception):
    """An address that no message is sent to.

    Parameters
    ----------
    code : str
        Stable word for the reason.
    sentence : str
        What is wrong and what to give instead.
    """

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class Target:
    """An address of good form.

    Parameters
    ----------
    scheme : str
        "https", or "http" inside of the operator's own networks.
    host : str
        A name in lower case, or an address of IPv4 or IPv6 without brackets.
    port : int
    path : str
        Path and query, beginning with a slash.
    """

    scheme: str
    host: str
    port: int
    path: str

    @property
    def authority(self) -> str:
        """What stands in the header ``Host``."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        return host if self.port == DEFAULT_PORTS[self.scheme] else f"{host}:{self.port}"

    @property
    def literal(self) -> Address | None:
        """The address that the host is; None for a name."""
        try:
            return ip_address(self.host)
        except ValueError:
            return None


def read_target(url: str, *, own: Sequence[Network] = ()) -> Target:
    """Read where messages are to go, as far as the address itself tells.

    Parameters
    ----------
    url : str
    own : sequence of networks
        Networks that the operator allows besides the public one.

    Raises
    ------
    WrongTarget
    """
    if len(url) > LONGEST or not _VISIBLE.fullmatch(url) or "\\" in url:
        raise WrongTarget(
            "not-a-url",
            f"Give an address of at most {LONGEST} visible ASCII characters, without backslashes; "
            "write a name in other letters in its xn-- form.",
        )
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError as error:
        raise WrongTarget(
            "not-a-url", "Give an address such as https://host.example/path."
        ) from error
    _check_scheme(parts.scheme, own)
    _check_parts(url, parts.netloc)
    target = Target(
        scheme=parts.scheme,
        host=_host(parts.netloc),
        port=_port(parts.scheme, port),
        path=(parts.path or "/") + (f"?{parts.query}" if parts.query else ""),
    )
    if target.literal is not None:
        check_addresses(target, [target.literal], own=own)
    return target


def _check_scheme(scheme: str, own: Sequence[Network]) -> None:
    if scheme == "https" or (scheme == "http" and own):
        return
    raise WrongTarget("not-https", "Give an address that begins with https://.")


def _check_parts(url: str, netloc: str) -> None:
    if "@" in netloc:
        raise WrongTarget(
            "credentials", "Leave user name and password out; the message is signed instead."
        )
    if "#" in url:
        raise WrongTarget("fragment", "Leave out what follows the #; it is never sent.")
    if "%" in netloc:
        raise WrongTarget("zone", "Leave % out of the host; zones lead to the node's own links.")


def _port(scheme: str, port: int | None) -> int:
    usual = DEFAULT_PORTS[scheme]
    if port is None or port == usual:
        return usual
    if port < LOWEST_OTHER_PORT:
        raise WrongTarget(
            "port", f"Give port {usual}, or one from {LOWEST_OTHER_PORT} on; {port} is neither."
        )
    return port


def _host(netloc: str) -> str:
    bracketed = re.fullmatch(r"\[([0-9a-fA-F:.]+)\](?::[0-9]*)?", netloc, re.ASCII)
    host = bracketed[1] if bracketed else netloc.partition(":")[0].lower()
    if bracketed:
        return _literal(host, IPv6Address)
    if _is_number(host):
        return _literal(host, IPv4Address)
    if not _NAME.fullmatch(host) or len(host) > 253:
        raise WrongTarget(
            "host", "Give a host by its full name, such as hooks.example.org, in plain letters."
        )
    return host


def _is_number(host: str) -> bool:
    """Say whether resolvers read a host as a number (URL Standard, "ends in a number")."""
    return bool(_NUMBER.fullmatch(host.rstrip(".").rpartition(".")[2]))


def _literal(host: str, family: type[Address]) -> str:
    try:
        return str(family(host))
    except ValueError as error:
        raise WrongTarget(
            "odd-literal",
            "Write an IPv4 address as four decimal numbers without leading zeros, and an IPv6 "
            "address in brackets.",
        ) from error


def check_addresses(
    target: Target, addresses: Sequence[Address], *, own: Sequence[Network] = ()
) -> None:
    """Refuse a target unless a message may go to every address that it has.

    One bad address among good ones is refused too: which of them is dialled would be chance.

    Raises
    ------
    WrongTarget
    """
    for address in addresses:
        why = why_refused(address, own=own)
        if why:
            raise WrongTarget("address", f"{target.host} leads to {address}, which {why}.")
        if target.scheme == "http" and not _is_own(address, own):
            raise WrongTarget(
                "not-https",
                f"{target.host} leads to {address} in the public network. Give an address that "
                "begins with https://.",
            )


def why_refused(address: Address, *, own: Sequence[Network] = ()) -> str:
    """Say why no message may go to an address; "" where one may.

    An IPv6 address that traffic leaves for an IPv4 address is judged by that one too.
    """
    if isinstance(address, IPv6Address) and address.scope_id is not None:
        return "belongs to one link of this host (RFC 4007)"
    if not _is_own(address, own):
        return why_special(address)
    hidden = hidden_ipv4(address) if isinstance(address, IPv6Address) else ()
    for inner in hidden:
        why = "" if _is_own(inner, own) else why_special(inner)
        if why:
            return f"hides {inner}, which {why}"
    return ""


def _is_own(address: Address, own: Sequence[Network]) -> bool:
    return any(address.version == network.version and address in network for network in own)
