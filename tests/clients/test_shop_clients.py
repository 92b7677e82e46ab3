"""The two example clients of a shop, in Python and in JavaScript, at a real server, and what they believe.

The signatures that they are to take are made by the reference library of Standard Webhooks.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from standardwebhooks.webhooks import Webhook

from demo_requests.clients.shop_client import OLDEST, Inbox, Refused, Shop
from tests.clients.conftest import Live
from tests.notifying.receiver import Receiver

FOLDER = Path(__file__).parents[2] / "demo_requests" / "clients"
NODE = shutil.which("node")
SECRET = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"
OTHER = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD"
NOW = 1_780_000_000
BODY = '{"type":"order.placed","data":{"order":"1","says":"für € 3"}}'
JUDGE = """
import { readFileSync } from "node:fs";
import { Inbox } from %s;
const inbox = new Inbox(%s);
const verdicts = JSON.parse(readFileSync(0, "utf8")).map(({ headers, body, now }) => {
  try { return inbox.take(headers, body, now); } catch (error) { return error.message; }
});
console.log(JSON.stringify(verdicts));
"""


def _program(language: str) -> list[str]:
    if language == "python":
        return [sys.executable, "-I", str(FOLDER / "shop_client.py")]
    if NODE is None:
        pytest.skip("there is no node here: install Node 18 or newer")
    version = subprocess.run([NODE, "--version"], capture_output=True, text=True, check=True).stdout
    if int(version.lstrip("v").split(".")[0]) < 18:
        pytest.skip(f"node {version.strip()} has no fetch: install Node 18 or newer")
    return [NODE, str(FOLDER / "shop_client.mjs")]


def _run(language: str, live: Live, pattern: str, wish: dict[str, Any]) -> subprocess.CompletedProcess[str]:
    command = [*_program(language), live.address, pattern, json.dumps(wish)]
    surroundings = {**os.environ, "SIZEWRIGHT_KEY": live.key}
    return subprocess.run(command, env=surroundings, capture_output=True, text=True, check=False, timeout=600)


def _sent(secret: str = SECRET, at: int = NOW, name: str = "1", body: str = BODY) -> dict[str, str]:
    signature = Webhook(secret).sign(name, datetime.fromtimestamp(at, UTC), body)
    return {"webhook-id": name, "webhook-timestamp": str(at), "webhook-signature": signature}


def _judged(language: str, cases: list[dict[str, Any]], secret: str = SECRET) -> list[Any]:
    """What an inbox makes of these, one after the other: what is told, None, or the text of a refusal."""
    if language == "javascript":
        node, client = _program(language)
        script = JUDGE % (json.dumps(Path(client).as_uri()), json.dumps(secret))
        command = [node, "--input-type=module", "-e", script]
        done = subprocess.run(command, input=json.dumps(cases), capture_output=True, text=True, check=True, timeout=60)
        told: list[Any] = json.loads(done.stdout)
        return told
    inbox = Inbox(secret)
    verdicts: list[Any] = []
    for case in cases:
        try:
            verdicts.append(inbox.take(case["headers"], case["body"].encode(), case["now"]))
        except ValueError as refused:
            verdicts.append(str(refused))
    return verdicts


@pytest.mark.parametrize("language", ["python", "javascript"])
def test_a_shop_orders_a_bag(live: Live, language: str) -> None:
    done = _run(language, live, live.pattern, {"size": "mini"})
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    order = Shop(live.address, live.key).read(told["order"])
    assert (order["state"], order["customer"]["reference"]) == ("placed", "example")
    assert told["total"] == order["quote"]["price"]["text"]
    assert told["pattern"] == live.document["name"]


@pytest.mark.parametrize("language", ["python", "javascript"])
def test_a_shop_is_told_why_a_wish_cannot_be_met(live: Live, language: str) -> None:
    done = _run(language, live, live.pattern, {"size": "giant"})
    assert done.returncode == 1
    assert "giant" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("language", ["python", "javascript"])
def test_an_inbox_believes_what_is_signed_new_and_not_had_before(language: str) -> None:
    two = _sent()
    two["webhook-signature"] = f"{_sent(OTHER)['webhook-signature']} v1a,none {two['webhook-signature']}"
    cases = [
        {"headers": _sent(), "body": BODY, "now": NOW},
        {"headers": _sent(), "body": BODY, "now": NOW + 1},
        {"headers": {**two, "webhook-id": "1"}, "body": BODY, "now": NOW},
        {"headers": _sent(name="2"), "body": BODY, "now": NOW + OLDEST},
        {"headers": _sent(name="3"), "body": BODY, "now": NOW + OLDEST + 1},
        {"headers": _sent(name="4"), "body": BODY, "now": NOW - OLDEST - 1},
        {"headers": _sent(OTHER, name="5"), "body": BODY, "now": NOW},
        {"headers": _sent(name="6"), "body": BODY + " ", "now": NOW},
        {"headers": {**_sent(name="7"), "webhook-id": "8"}, "body": BODY, "now": NOW},
        {"headers": {**_sent(name="9"), "webhook-timestamp": str(NOW + 1)}, "body": BODY, "now": NOW},
        {"headers": {}, "body": BODY, "now": NOW},
    ]
    told, late, forged = (
        json.loads(BODY),
        "It has no name, or was not sent just now.",
        "It is not signed with this secret.",
    )
    expected = [told, None, None, told, late, late, forged, forged, forged, forged, late]
    assert _judged(language, cases) == expected


@pytest.mark.parametrize("language", ["python", "javascript"])
def test_what_the_server_sends_is_believed(live: Live, receiver: Receiver, language: str) -> None:
    shop = Shop(live.address, live.key)
    endpoint = shop.listen(f"http://127.0.0.1:{receiver.port}/", "order.placed")
    revision = shop.form(live.pattern)["revision"]
    quote = shop.quote(live.pattern, revision, {"size": "base"})
    order = shop.order(quote["id"], f"order-of-{language}-{time.time_ns()}")
    (had,) = receiver.wait_for(1)
    case = {"headers": had.headers, "body": had.body.decode(), "now": time.time()}
    (told,) = _judged(language, [case], endpoint["secret"])
    assert isinstance(told, dict), told
    assert told["data"]["order"] == order["id"]


def test_the_same_key_places_one_order(live: Live) -> None:
    shop = Shop(live.address, live.key)
    quote = shop.quote(live.pattern, shop.form(live.pattern)["revision"], {"size": "base"})
    key = f"the-shop-sends-it-again-{time.time_ns()}"
    assert shop.order(quote["id"], key) == shop.order(quote["id"], key)
    with pytest.raises(Refused) as refused:
        shop.order(quote["id"], key, notes="another")
    assert refused.value.status == 422
