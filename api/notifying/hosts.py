"""Which addresses on the network may be asked: public ones, and nothing that leads to another address.

From the registries of special addresses that IANA keeps, and RFC 6890 that began them:
https://www.iana.org/assignments/iana-ipv4-special-registry and …/iana-ipv6-special-registry.
"""

from __future__ import annotations

import asyncio
import socket
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

    Resolver = Callable[[str, int], Awaitable[tuple[IPv4Address | IPv6Address, ...]]]

RESERVED = tuple(
    IPv4Network(network)
    for network in (
        "0.0.0.0/8",
        "10.0.0.0/8",
        "100.64.0.0/10",
        "127.0.0.0/8",
        "169.254.0.0/16",
        "172.16.0.0/12",
        "192.0.0.0/24",
        "192.0.2.0/24",
        "192.88.99.0/24",
        "192.168.0.0/16",
        "198.18.0.0/15",
        "198.51.100.0/24",
        "203.0.113.0/24",
        "224.0.0.0/4",
        "240.0.0.0/4",
    )
)
UNICAST = IPv6Network("2000::/3")
"""All that is given out for the whole network; loopback, mapped, translated, local and multicast ones lie outside."""
RESERVED_WITHIN = tuple(
    IPv6Network(network) for network in ("2001::/23", "2001:db8::/32", "2002::/16", "2620:4f:8000::/48", "3fff::/20")
)
"""Protocols (Teredo too), examples, 6to4, AS112: within that part, and none of a host of its own."""


class Unreachable(Exception):
    """A host that cannot be asked, or must not be; the text says why."""


def is_public(address: IPv4Address | IPv6Address) -> bool:
    """Whether this address is one of the whole network, whoever the library thinks it is."""
    if isinstance(address, IPv4Address):
        within = not any(address in network for network in RESERVED)
    else:
        within = address in UNICAST and not any(address in network for network in RESERVED_WITHIN)
    return within and address.is_global


async def resolved(host: str, port: int) -> tuple[IPv4Address | IPv6Address, ...]:
    """The addresses of a host, each once, in the order to try them in; raises Unreachable where there are none."""
    try:
        found = await asyncio.get_running_loop().getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError) as error:
        raise Unreachable("The name of the host leads nowhere.") from error
    # An address of a link has the name of the link behind it.
    return tuple(dict.fromkeys(ip_address(entry[4][0]) for entry in found))


async def allowed(
    host: str, port: int, *, private: bool, resolver: Resolver = resolved
) -> tuple[IPv4Address | IPv6Address, ...]:
    """The addresses of a host that may be asked. Raises Unreachable where any one of them is not public.

    All must be: a name that leads to public and to private addresses may lead to either next time. With `private`,
    every address may be asked.
    """
    addresses = await resolver(host, port)
    if not addresses:
        raise Unreachable("The name of the host leads nowhere.")
    if not private and not all(is_public(address) for address in addresses):
        raise Unreachable("The host has an address that is not public.")
    return addresses
