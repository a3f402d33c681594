"""Slows down guessing at passwords: counts tries by name and address, and by address alone.

The counts are kept in the memory of each worker, as the API's are, and not in a table: a table
would keep who tried from where, and a name alone locks nobody out of another address. Several
workers together allow that many times as much, which passwords of ten characters bear.
"""

from __future__ import annotations

import hashlib
import unicodedata
from ipaddress import IPv4Address, IPv6Network, ip_address
from typing import Any

from django.conf import settings
from django.core.cache import cache
from django.http import HttpRequest

from apps.pages.counting import counted

PERIOD_S = 15 * 60
MOST_A_NAME = 8
MOST_AN_ADDRESS = 60
SMALLEST_PREFIX = 64


def may_try(request: HttpRequest, name: str) -> bool:
    """Count a try before it is made, and say whether it may be.

    Parameters
    ----------
    request : HttpRequest
        From whose address it comes.
    name : str
        The name as it was typed.
    """
    address = client_address(request)
    # Both are counted in any case: a name that is held back still uses up its address.
    of_name, of_address = (counted(_key(one, address), PERIOD_S) for one in (name, ""))
    return of_name <= MOST_A_NAME and of_address <= MOST_AN_ADDRESS


def forget_tries(request: HttpRequest, name: str) -> None:
    """Begin anew for someone who knew the password."""
    cache.delete(_key(name, client_address(request)))


def client_address(request: HttpRequest) -> str:
    """Give the address that asks, as far as the proxies in front are believed."""
    direct = str(request.META.get("REMOTE_ADDR", ""))
    rest: Any = settings.REST_FRAMEWORK
    proxies = rest["NUM_PROXIES"]
    # Anyone can write anything into the header, so only what our own proxies added counts.
    passed = str(request.META.get("HTTP_X_FORWARDED_FOR", "")).split(",")
    if not proxies or passed == [""]:
        return direct
    return passed[-min(int(proxies), len(passed))].strip()


def _key(name: str, address: str) -> str:
    # The form reads a name written in other letters of the same look as the same name.
    meant = unicodedata.normalize("NFKC", name).strip().casefold()
    digest = hashlib.sha256(f"{meant}\n{_network(address)}".encode()).hexdigest()
    return f"entry-{digest}"


def _network(address: str) -> str:
    """Give the least network that one house has: of IPv6 a /64, whose addresses nobody counts."""
    try:
        known = ip_address(address)
    except ValueError:
        return address
    if isinstance(known, IPv4Address):
        return address
    mapped = known.ipv4_mapped
    return str(mapped) if mapped else str(IPv6Network((int(known), SMALLEST_PREFIX), strict=False))
