"""What is sent over the network, seen from the other end."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from ipaddress import IPv4Address, IPv6Address, ip_address
from pathlib import Path

import pytest

from api.notifying.sending import MOST_ANSWER, Sender
from tests.notifying.receiver import certified, receiving

BODY = b'{"a":1}'
HEADERS = {"webhook-id": "1"}


@dataclass
class Names:
    """A resolver that knows one name, and counts how often it is asked."""

    addresses: list[list[str]]
    asked: list[str] = field(default_factory=list)

    async def __call__(self, host: str, port: int) -> tuple[IPv4Address | IPv6Address, ...]:
        self.asked.append(host)
        chosen = self.addresses.pop(0) if len(self.addresses) > 1 else self.addresses[0]
        return tuple(ip_address(address) for address in chosen)


async def test_the_body_arrives_as_it_is_with_its_headers() -> None:
    with receiving() as receiver:
        reply = await Sender(private=True).send(f"http://127.0.0.1:{receiver.port}/x?y=z", HEADERS, BODY)
    assert (reply.status, reply.taken, reply.says) == (204, True, "")
    (had,) = receiver.had
    assert (had.path, had.body) == ("/x?y=z", BODY)
    assert had.headers["webhook-id"] == "1"
    assert had.headers["content-type"] == "application/json"
    assert had.headers["host"] == f"127.0.0.1:{receiver.port}"


async def test_nothing_is_sent_to_a_private_address_however_its_name_is_written() -> None:
    with receiving() as receiver:
        for host in ("127.0.0.1", "localhost", "127.1", "0x7f000001", "2130706433", "[::1]", "[::ffff:127.0.0.1]"):
            reply = await Sender().send(f"https://{host}:{receiver.port}/", HEADERS, BODY)
            assert reply.status is None
        named = Sender(resolver=Names([["127.0.0.1"]]))
        reply = await named.send(f"https://shop.example:{receiver.port}/", HEADERS, BODY)
        assert (reply.status, reply.says) == (None, "The host has an address that is not public.")
        assert (await Sender().send(f"http://8.8.8.8:{receiver.port}/", HEADERS, BODY)).says.startswith("This is not")
    assert receiver.had == []


async def test_a_name_is_looked_up_once_and_what_was_judged_is_what_is_asked() -> None:
    """A name that leads to a public address when it is judged, and elsewhere when it is asked, leads nowhere."""
    names = Names([["127.0.0.1"], ["192.0.2.1"]])
    with receiving() as receiver:
        sender = Sender(private=True, resolver=names)
        reply = await sender.send(f"http://shop.example:{receiver.port}/", HEADERS, BODY)
    assert reply.taken
    assert names.asked == ["shop.example"]
    assert receiver.had[0].headers["host"] == f"shop.example:{receiver.port}"


async def test_the_certificate_is_asked_for_by_the_name_though_the_connection_is_made_by_the_address(
    tmp_path: Path,
) -> None:
    server, trust = certified(tmp_path, "shop.example")
    with receiving(server) as receiver:
        sender = Sender(private=True, resolver=Names([["127.0.0.1"]]), trust=trust)
        reply = await sender.send(f"https://shop.example:{receiver.port}/", HEADERS, BODY)
        assert reply.taken, reply.says
        assert receiver.names == ["shop.example"]
        other = await sender.send(f"https://other.example:{receiver.port}/", HEADERS, BODY)
        stranger = Sender(private=True, resolver=Names([["127.0.0.1"]]))
        unknown = await stranger.send(f"https://shop.example:{receiver.port}/", HEADERS, BODY)
    assert other.status is None
    assert unknown.status is None
    assert len(receiver.had) == 1


async def test_the_next_address_is_asked_where_the_first_takes_no_connection() -> None:
    with receiving() as receiver:
        sender = Sender(private=True, resolver=Names([["127.0.0.2", "::1", "127.0.0.1"]]))
        assert (await sender.send(f"http://shop.example:{receiver.port}/", HEADERS, BODY)).taken
    assert len(receiver.had) == 1


async def test_no_redirection_is_followed() -> None:
    with receiving() as receiver:
        receiver.answer(307, location=f"http://127.0.0.1:{receiver.port}/elsewhere")
        reply = await Sender(private=True).send(f"http://127.0.0.1:{receiver.port}/", HEADERS, BODY)
    assert (reply.status, reply.taken, reply.says) == (307, False, "It was answered with 307.")
    assert [had.path for had in receiver.had] == ["/"]


async def test_no_proxy_of_the_environment_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    with receiving() as receiver, receiving() as proxy:
        for name in ("http_proxy", "HTTPS_PROXY", "ALL_PROXY"):
            monkeypatch.setenv(name, f"http://127.0.0.1:{proxy.port}")
        assert (await Sender(private=True).send(f"http://127.0.0.1:{receiver.port}/", HEADERS, BODY)).taken
    assert (len(receiver.had), proxy.had) == (1, [])


async def test_a_long_answer_is_not_read_to_its_end() -> None:
    with receiving() as receiver:
        endless = {"Content-Length": str(10**12)}
        receiver.answers = [(200, endless, b"x" * (MOST_ANSWER * 4))]
        reply = await Sender(private=True, seconds=10).send(f"http://127.0.0.1:{receiver.port}/", HEADERS, BODY)
    assert reply.taken


async def test_a_receiver_that_does_not_answer_is_left() -> None:
    with receiving() as receiver:
        receiver.hold = 1.0
        reply = await Sender(private=True, seconds=0.2).send(f"http://127.0.0.1:{receiver.port}/", HEADERS, BODY)
    assert (reply.status, reply.taken) == (None, False)
    assert reply.says


@pytest.mark.parametrize(
    ("told", "wait"),
    [("120", timedelta(minutes=2)), ("soon", None), ("-5", None), ("9" * 40, None), ("²", None)],
)
async def test_how_long_to_wait_is_taken_from_the_answer_where_it_says_so(told: str, wait: timedelta | None) -> None:
    with receiving() as receiver:
        receiver.answers = [(503, {"Retry-After": told.encode().decode("latin-1")}, b"")]
        reply = await Sender(private=True).send(f"http://127.0.0.1:{receiver.port}/", HEADERS, BODY)
    assert (reply.status, reply.wait) == (503, wait)


async def test_a_port_where_nobody_listens() -> None:
    with receiving() as receiver:
        port = receiver.port
    reply = await Sender(private=True).send(f"http://127.0.0.1:{port}/", HEADERS, BODY)
    assert reply.status is None
    assert reply.says.startswith("The connection failed")
