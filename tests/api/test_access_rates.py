"""How often a key may be used. Retry-After by RFC 9110, section 10.2.3; RateLimit by
draft-ietf-httpapi-ratelimit-headers-10."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import pytest

from api.access import allowance
from api.access.allowance import Allowance, Rate, Taken
from api.settings import Settings
from tests.api.conftest import Client
from tests.api.support import new_key


@dataclass
class Clock:
    now: float = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def settings(settings: Settings) -> Settings:
    return replace(settings, rate=1, burst=3)


def test_a_key_that_is_used_too_often_is_told_when_to_come_again(client: Client, settings: Settings) -> None:
    answers = [client.get("/patterns") for _ in range(4)]
    assert [answer.status_code for answer in answers] == [200, 200, 200, 429]
    assert answers[3].json()["type"] == "/problems/too-many-requests"
    assert 1 <= int(answers[3].headers["retry-after"]) <= 60
    assert client.get("/patterns", headers=new_key(settings, "read")).status_code == 200, "another key has its own"
    assert client.get("/health").status_code == 200


def test_every_answer_tells_what_is_left(client: Client) -> None:
    left = []
    for path in ("/patterns", "/patterns/x", "/checks", "/patterns"):
        headers = client.get(path).headers
        if "ratelimit" in headers:
            assert headers["ratelimit-policy"] == '"key";q=3;w=180'
            left.append(re.match(r'"key";r=(\d+)', headers["ratelimit"]))
    assert [found and found[1] for found in left] == ["2", "1", "0"]


def test_requests_that_may_not_be_made_count_too(client: Client, settings: Settings) -> None:
    key = new_key(settings, "read")
    assert [client.get("/keys", headers=key).status_code for _ in range(4)] == [403, 403, 403, 429]


def test_a_bucket_fills_evenly() -> None:
    clock = Clock()
    bucket = Allowance(Rate(each_minute=60, burst=2), clock)
    assert [bucket.take("a") for _ in range(3)] == [Taken(1, 0), Taken(0, 0), Taken(0, 1)]
    clock.now += 0.5
    assert bucket.take("a") == Taken(0, 1)
    clock.now += 0.5
    assert bucket.take("a") == Taken(0, 0)
    assert bucket.take("b") == Taken(1, 0)
    clock.now += 3600
    assert bucket.take("a") == Taken(1, 0), "no more than the burst is ever saved up"


def test_waiting_as_long_as_told_is_enough() -> None:
    clock = Clock()
    bucket = Allowance(Rate(each_minute=7, burst=1), clock)
    for _ in range(20):
        assert bucket.take("a").wait == 0
        clock.now += bucket.take("a").wait


def test_buckets_that_are_full_again_are_forgotten(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(allowance, "MOST_BUCKETS", 10)
    clock = Clock()
    buckets = Allowance(Rate(each_minute=60, burst=1), clock)
    for number in range(10):
        buckets.take(str(number))
    clock.now += 2
    buckets.take("new")
    assert list(buckets._buckets) == ["new"]
