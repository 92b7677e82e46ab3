"""Signatures, checked by the reference library of Standard Webhooks, and by the values in its specification."""

from __future__ import annotations

import base64
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from standardwebhooks.webhooks import Webhook, WebhookVerificationError

from api.notifying.schedule import DELAYS, MOST_TRIES, delay
from api.notifying.signing import headers, new_secret, signature

BODY = b'{"type":"order.state","data":{"order":"1"}}'


def test_a_signature_is_the_one_that_the_reference_library_makes() -> None:
    """The vector that is published with the reference libraries of Standard Webhooks, in their tests of `sign`."""
    secret, name = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", "msg_p5jXN8AQM9LWM0D4loKWxJek"
    body = b'{"test": 2432232314}'
    assert signature(secret, name, 1614265330, body) == "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="
    told = Webhook(secret).sign(name, datetime.fromtimestamp(1614265330, UTC), body.decode())
    assert told == signature(secret, name, 1614265330, body)


@given(st.text(max_size=200), st.uuids())
def test_the_reference_library_takes_what_is_signed(text: str, name: object) -> None:
    secret, body = new_secret(), text.encode()
    sent = headers([secret], str(name), datetime.now(UTC), body)
    _verified(secret, body, dict(sent))
    with pytest.raises(WebhookVerificationError):
        _verified(new_secret(), body, dict(sent))
    with pytest.raises(WebhookVerificationError):
        _verified(secret, body + b" ", dict(sent))


def test_while_a_secret_is_replaced_either_one_verifies() -> None:
    new, old = new_secret(), new_secret()
    sent = dict(headers([new, old], "1", datetime.now(UTC), BODY))
    assert len(sent["webhook-signature"].split()) == 2
    _verified(new, BODY, sent)
    _verified(old, BODY, sent)


def test_an_old_try_is_not_taken_for_a_new_one() -> None:
    secret = new_secret()
    with pytest.raises(WebhookVerificationError):
        _verified(secret, BODY, dict(headers([secret], "1", datetime.now(UTC) - timedelta(hours=1), BODY)))


def test_secrets_are_as_long_as_the_specification_says() -> None:
    """Standard Webhooks 1.0.0, "Signature scheme": 24 to 64 bytes in base64 after `whsec_`."""
    made = {new_secret() for _ in range(20)}
    assert len(made) == 20
    for secret in made:
        assert secret.startswith("whsec_")
        assert 24 <= len(base64.b64decode(secret.removeprefix("whsec_"), validate=True)) <= 64


def test_the_schedule_is_the_example_of_the_specification() -> None:
    """Standard Webhooks 1.0.0, "Deliverability and reliability": the time since the start, from its table."""
    table = ("0:00:05", "0:05:05", "0:35:05", "2:35:05", "7:35:05", "17:35:05", "31:35:05", "51:35:05", "75:35:05")
    passed = timedelta()
    for tries, told in enumerate(table, start=1):
        wait = delay(tries, lambda: 0.0)
        assert wait is not None
        passed += wait
        hours, minutes, seconds = (int(part) for part in told.split(":"))
        assert passed == timedelta(hours=hours, minutes=minutes, seconds=seconds)
    assert delay(MOST_TRIES, lambda: 0.0) is None


@given(st.integers(1, MOST_TRIES - 1), st.floats(0, 1, exclude_max=True))
def test_chance_makes_a_delay_longer_by_a_fifth_at_most(tries: int, chance: float) -> None:
    wait = delay(tries, lambda: chance)
    assert wait is not None
    assert DELAYS[tries - 1] <= wait <= DELAYS[tries - 1] * 1.2


def test_a_receiver_may_ask_for_more_time_up_to_a_day() -> None:
    assert delay(1, lambda: 0.0, timedelta(minutes=7)) == timedelta(minutes=7)
    assert delay(2, lambda: 0.0, timedelta(seconds=1)) == timedelta(minutes=5)
    assert delay(1, lambda: 0.0, timedelta(days=400)) == timedelta(days=1)


def _verified(secret: str, body: bytes, sent: dict[str, str]) -> None:
    Webhook(secret).verify(body, sent, json_parse=False)
