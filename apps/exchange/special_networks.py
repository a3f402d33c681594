"""Networks that no message of a node may go to, each with why, and the IPv4 inside of IPv6."""

from __future__ import annotations

from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network

# Sources: IANA IPv4 and IPv6 Special-Purpose Address Registries (RFC 6890), and the RFC in the row.
SPECIAL_IPV4: tuple[tuple[IPv4Network, str], ...] = tuple(
    (IPv4Network(network), why)
    for network, why in (
        ("0.0.0.0/8", "stands for this host itself (RFC 791)"),
        ("10.0.0.0/8", "is private (RFC 1918)"),
        ("100.64.0.0/10", "is shared inside of a provider (RFC 6598)"),
        ("127.0.0.0/8", "is loopback (RFC 1122)"),
        ("169.254.0.0/16", "is link-local (RFC 3927)"),
        ("172.16.0.0/12", "is private (RFC 1918)"),
        ("192.0.0.0/24", "is kept for protocols (RFC 6890)"),
        ("192.0.2.0/24", "is for documentation (RFC 5737)"),
        ("192.31.196.0/24", "answers for any network (RFC 7535)"),
        ("192.52.193.0/24", "is a relay (RFC 7450)"),
        ("192.88.99.0/24", "is a 6to4 relay (RFC 7526)"),
        ("192.168.0.0/16", "is private (RFC 1918)"),
        ("192.175.48.0/24", "answers for any network (RFC 7534)"),
        ("198.18.0.0/15", "is for benchmarks (RFC 2544)"),
        ("198.51.100.0/24", "is for documentation (RFC 5737)"),
        ("203.0.113.0/24", "is for documentation (RFC 5737)"),
        ("224.0.0.0/4", "is multicast (RFC 5771)"),
        ("240.0.0.0/4", "is reserved (RFC 1112)"),
    )
)
SPECIAL_IPV6: tuple[tuple[IPv6Network, str], ...] = tuple(
    (IPv6Network(network), why)
    for network, why in (
        ("::/128", "stands for this host itself (RFC 4291)"),
        ("::1/128", "is loopback (RFC 4291)"),
        ("::/96", "hides an IPv4 address (RFC 4291)"),
        ("::ffff:0:0/96", "is an IPv4 address in another dress (RFC 4291)"),
        ("::ffff:0:0:0/96", "hides an IPv4 address (RFC 2765)"),
        ("64:ff9b::/96", "is translated to an IPv4 address by NAT64 (RFC 6052)"),
        ("64:ff9b:1::/48", "is translated to an IPv4 address by a local NAT64 (RFC 8215)"),
        ("100::/64", "is a drain (RFC 6666)"),
        ("2001::/32", "tunnels to an IPv4 address by Teredo (RFC 4380)"),
        ("2001::/23", "is kept for protocols (RFC 2928)"),
        ("2001:db8::/32", "is for documentation (RFC 3849)"),
        ("2002::/16", "tunnels to an IPv4 address by 6to4 (RFC 3056)"),
        ("2620:4f:8000::/48", "answers for any network (RFC 7534)"),
        ("3fff::/20", "is for documentation (RFC 9637)"),
        ("5f00::/16", "is kept for segment routing (RFC 9602)"),
        ("fc00::/7", "is private (RFC 4193)"),
        ("fe80::/10", "is link-local (RFC 4291)"),
        ("fec0::/10", "is site-local (RFC 3879)"),
        ("ff00::/8", "is multicast (RFC 4291)"),
    )
)
# RFC 4291 section 2.4 and IANA: what is routed in public lies in this range.
GLOBAL_IPV6 = IPv6Network("2000::/3")

ISATAP = (0x00005EFE, 0x02005EFE)
_LOW = 0xFFFFFFFF
_LAST_32_BITS = tuple(
    IPv6Network(network)
    for network in ("::/96", "::ffff:0:0/96", "::ffff:0:0:0/96", "64:ff9b::/96")
)
_LOCAL_NAT64 = IPv6Network("64:ff9b:1::/48")
_6TO4 = IPv6Network("2002::/16")
_TEREDO = IPv6Network("2001::/32")


def why_special(address: IPv4Address | IPv6Address) -> str:
    """Say why an address is not one of the public network; "" where it is."""
    if isinstance(address, IPv4Address):
        return next((why for network, why in SPECIAL_IPV4 if address in network), "")
    found = next((why for network, why in SPECIAL_IPV6 if address in network), "")
    if not found and address not in GLOBAL_IPV6:
        return "is in no range that is routed in public (RFC 4291)"
    if not found and is_isatap(address):
        return "tunnels to an IPv4 address by ISATAP (RFC 5214)"
    return found


def is_isatap(address: IPv6Address) -> bool:
    """Say whether the interface part has the form of RFC 5214 section 6.1."""
    return (int(address) >> 32) & _LOW in ISATAP


def hidden_ipv4(address: IPv6Address) -> tuple[IPv4Address, ...]:
    """Give the IPv4 addresses that traffic to an IPv6 address may end at."""
    value = int(address)
    found = []
    if is_isatap(address) or any(address in network for network in _LAST_32_BITS):
        found.append(value & _LOW)
    if address in _6TO4:
        found.append((value >> 80) & _LOW)
    if address in _TEREDO:
        # The client's own address is written with every bit turned over (RFC 4380 section 4).
        found += [(value >> 64) & _LOW, ~value & _LOW]
    if address in _LOCAL_NAT64:
        found += _of_local_nat64(value)
    return tuple(map(IPv4Address, found))


def _of_local_nat64(value: int) -> list[int]:
    """Read all places where RFC 6052 section 2.2 puts the address; bits 64 to 71 are never part.

    A node can't know which length of prefix the network's own translator uses.
    """
    bits = f"{value:0128b}"
    without = bits[:64] + bits[72:]
    return [int(without[begin : begin + 32], 2) for begin in (48, 56, 64)] + [value & _LOW]
