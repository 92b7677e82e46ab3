"""Which addresses may be asked. The examples are those of IANA's registries of special addresses and of RFC 6890,
5735, 4291, 6052, 3056, 4380, 9637, each named beside it."""

from __future__ import annotations

from ipaddress import IPv4Address, IPv6Address, ip_address

import pytest

from api.notifying.hosts import Unreachable, allowed, is_public, resolved

REFUSED = {
    "0.0.0.0": "this host, RFC 791",
    "10.1.2.3": "private, RFC 1918",
    "100.64.0.1": "shared by carriers, RFC 6598",
    "127.0.0.1": "loopback, RFC 1122",
    "127.255.255.254": "loopback, RFC 1122",
    "169.254.169.254": "link-local, RFC 3927",
    "172.16.0.1": "private, RFC 1918",
    "172.31.255.255": "private, RFC 1918",
    "192.0.0.8": "protocols, RFC 6890",
    "192.0.0.9": "protocols, RFC 6890",
    "192.0.2.7": "examples, RFC 5737",
    "192.88.99.1": "6to4 relays, RFC 7526",
    "192.168.1.1": "private, RFC 1918",
    "198.19.0.1": "measurements, RFC 2544",
    "198.51.100.1": "examples, RFC 5737",
    "203.0.113.1": "examples, RFC 5737",
    "224.0.0.1": "multicast, RFC 5771",
    "239.255.255.250": "multicast, RFC 2365",
    "240.0.0.1": "reserved, RFC 1112",
    "255.255.255.255": "broadcast, RFC 919",
    "::": "unspecified, RFC 4291",
    "::1": "loopback, RFC 4291",
    "::ffff:127.0.0.1": "IPv4-mapped, RFC 4291",
    "::ffff:8.8.8.8": "IPv4-mapped, RFC 4291",
    "::127.0.0.1": "IPv4-compatible, RFC 4291",
    "64:ff9b::7f00:1": "translated, RFC 6052",
    "64:ff9b:1::1": "translated locally, RFC 8215",
    "100::1": "discarded, RFC 6666",
    "2001::1": "Teredo, RFC 4380",
    "2001:2::1": "measurements, RFC 5180",
    "2001:10::1": "ORCHID, RFC 4843",
    "2001:20::1": "ORCHIDv2, RFC 7343",
    "2001:db8::1": "examples, RFC 3849",
    "2002:7f00:1::": "6to4 of 127.0.0.1, RFC 3056",
    "2002:808:808::": "6to4, RFC 3056",
    "3fff::1": "examples, RFC 9637",
    "5f00::1": "segment routing, RFC 9602",
    "fc00::1": "unique local, RFC 4193",
    "fd12:3456::1": "unique local, RFC 4193",
    "fe80::1": "link-local, RFC 4291",
    "fe80::1%eth0": "link-local with a zone, RFC 4007",
    "fec0::1": "site-local, RFC 3879",
    "ff02::1": "multicast, RFC 4291",
}
TAKEN = ("8.8.8.8", "1.1.1.1", "93.184.216.34", "100.128.0.1", "172.32.0.1", "2606:4700:4700::1111", "2a00:1450::1")
"""Addresses of the whole network: two of public name servers, others just beside what is reserved."""


@pytest.mark.parametrize("address", REFUSED)
def test_no_special_address_is_public(address: str) -> None:
    assert not is_public(ip_address(address)), REFUSED[address]


@pytest.mark.parametrize("address", TAKEN)
def test_addresses_of_the_whole_network_are_public(address: str) -> None:
    assert is_public(ip_address(address))


def _leading_to(*addresses: str) -> object:
    async def resolver(host: str, port: int) -> tuple[IPv4Address | IPv6Address, ...]:
        return tuple(ip_address(address) for address in addresses)

    return resolver


async def test_a_name_that_leads_to_a_private_address_is_refused_though_it_leads_to_a_public_one_too() -> None:
    for addresses in (("127.0.0.1",), ("8.8.8.8", "10.0.0.1"), ("8.8.8.8", "::ffff:10.0.0.1"), ()):
        with pytest.raises(Unreachable):
            await allowed("shop.example", 443, private=False, resolver=_leading_to(*addresses))  # type: ignore[arg-type]
    found = await allowed("shop.example", 443, private=False, resolver=_leading_to("8.8.8.8"))  # type: ignore[arg-type]
    assert found == (ip_address("8.8.8.8"),)


@pytest.mark.parametrize("host", ["127.1", "0x7f.0.0.1", "2130706433", "0177.0.0.1", "localhost", "127.0.0.1", "::1"])
async def test_however_loopback_is_written_the_system_reads_it_and_it_is_refused(host: str) -> None:
    """inet_aton of POSIX takes numbers with one to four parts, in octal and hexadecimal too."""
    with pytest.raises(Unreachable):
        await allowed(host, 443, private=False)


async def test_a_name_that_leads_nowhere_is_unreachable() -> None:
    """`.invalid` has no names, RFC 6761."""
    with pytest.raises(Unreachable):
        await resolved("nothing.invalid", 443)
