"""A shop's client of the API: the order form, a quote, an order, and the notifications that come back.

Python's standard library alone, 3.11 or newer. In a shop's own program `Shop` places orders and `Inbox` judges what is
posted to its endpoint. Run as a program it orders one bag and prints what became of it, as JSON:

    SIZEWRIGHT_KEY=sw_… python shop_client.py http://127.0.0.1:8000 PATTERN '{"size": "mini"}'
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import os
import sys
import time
import urllib.error
import urllib.request
import uuid
from typing import Any

WAIT = 120.0
TRIES = 5
OLDEST = 300
"""Seconds: a notification whose try was made longer ago than this may be one that somebody has kept and sends again."""


class Refused(Exception):
    """The API answered with a problem (RFC 9457); `problem` is that, `status` its status."""

    def __init__(self, status: int, problem: dict[str, Any]) -> None:
        self.status, self.problem = status, problem
        lines = [f"{status} {problem.get('title', '')}: {problem.get('detail', '')}"]
        lines += [f"  {fault['path']}: {fault['problem']} {fault['remedy']}" for fault in problem.get("faults", ())]
        super().__init__("\n".join(lines))


class Shop:
    """Places orders with a key of scope `order`."""

    def __init__(self, address: str, key: str) -> None:
        self.address, self.key = address.rstrip("/"), key

    def form(self, pattern: str) -> dict[str, Any]:
        """What the pattern offers: `schema` is a JSON Schema of wishes, `defaults` is what is usual."""
        return self._ask("GET", f"/patterns/{pattern}/form")

    def quote(self, pattern: str, revision: str, wish: dict[str, Any]) -> dict[str, Any]:
        """The price of a wish, with `id` and `valid_until`."""
        return self._ask("POST", f"/patterns/{pattern}/revisions/{revision}/quotes", wish)

    def order(self, quote: str, key: str, **more: Any) -> dict[str, Any]:
        """Places an order of a quote. The same key places one order, however often this is called."""
        return self._ask("POST", "/orders", {"quote": quote, **more}, {"Idempotency-Key": f'"{key}"'})

    def read(self, order: str) -> dict[str, Any]:
        """The order as it stands."""
        return self._ask("GET", f"/orders/{order}")

    def listen(self, url: str, *events: str) -> dict[str, Any]:
        """Has `url` notified; `secret` of the answer is shown this once."""
        return self._ask("POST", "/endpoints", {"url": url, "events": list(events)}, blindly=False)

    def _ask(
        self,
        method: str,
        path: str,
        body: dict[str, Any] | None = None,
        headers: dict[str, str] | None = None,
        *,
        blindly: bool = True,
    ) -> dict[str, Any]:
        """Asks until there is an answer that will not be another one next time.

        Not `blindly`, it does not ask again where the first request may have arrived.
        """
        for tried in range(1, TRIES + 1):
            try:
                return self._once(method, path, body, headers or {})
            except Refused as refused:
                if refused.status not in (429, 503) or tried == TRIES:
                    raise
                time.sleep(float(refused.problem.get("retry_after", tried)))
            except urllib.error.URLError:
                # Whether it arrived is not known: an order may be sent again, since its key goes with it.
                if tried == TRIES or not blindly:
                    raise
                time.sleep(tried)
        raise AssertionError

    def _once(self, method: str, path: str, body: dict[str, Any] | None, headers: dict[str, str]) -> dict[str, Any]:
        sent = {
            "Authorization": f"Bearer {self.key}",
            "Accept": "application/json, application/problem+json",
            **headers,
        }
        if body is not None:
            sent["Content-Type"] = "application/json"
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(self.address + path, data, sent, method=method)
        try:
            with urllib.request.urlopen(request, timeout=WAIT) as answer:
                read: dict[str, Any] = json.load(answer)
                return read
        except urllib.error.HTTPError as error:
            with error:
                problem = _problem(error.read())
            if "Retry-After" in error.headers:
                problem["retry_after"] = error.headers["Retry-After"]
            raise Refused(error.code, problem) from None


class Inbox:
    """Judges what is posted to a shop's endpoint: whether it is signed, new, and not had before."""

    def __init__(self, secret: str) -> None:
        self._key = base64.b64decode(secret.removeprefix("whsec_"))
        # A shop keeps these in its database, in the transaction that acts on them.
        self._had: set[str] = set()

    def take(self, headers: dict[str, str], body: bytes, now: float | None = None) -> dict[str, Any] | None:
        """What is told, or None where it was told before. Raises ValueError for what must not be believed.

        `headers` have small letters; `body` is as it came in, since another way to write the same JSON is not signed.
        """
        name, sent = headers.get("webhook-id", ""), headers.get("webhook-timestamp", "")
        if not name or not sent.isdecimal() or abs((time.time() if now is None else now) - int(sent)) > OLDEST:
            raise ValueError("It has no name, or was not sent just now.")
        signed = b".".join((name.encode(), sent.encode(), body))
        right = "v1," + base64.b64encode(hmac.digest(self._key, signed, hashlib.sha256)).decode()
        given = headers.get("webhook-signature", "").split()
        if not any(hmac.compare_digest(right.encode(), one.encode()) for one in given):
            raise ValueError("It is not signed with this secret.")
        if name in self._had:
            return None
        self._had.add(name)
        told: dict[str, Any] = json.loads(body)
        return told


def _problem(body: bytes) -> dict[str, Any]:
    try:
        problem = json.loads(body)
    except ValueError:
        problem = None
    return problem if isinstance(problem, dict) else {"detail": body[:200].decode(errors="replace")}


def main(arguments: list[str]) -> int:
    """Orders one bag; gives the exit code."""
    address, pattern, wish = arguments[0], arguments[1], json.loads(arguments[2])
    shop = Shop(address, os.environ["SIZEWRIGHT_KEY"])
    try:
        form = shop.form(pattern)
        quote = shop.quote(pattern, form["revision"], wish)
        order = shop.order(quote["id"], str(uuid.uuid4()), customer={"reference": "example"})
    except Refused as refused:
        print(refused, file=sys.stderr)
        return 1
    print(json.dumps({"pattern": form["pattern"], "total": quote["price"]["text"], "order": order["id"]}))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
