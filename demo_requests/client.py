"""A plain HTTP client for the demo: standard library, JSON in and out, refusals with their remedy."""

from __future__ import annotations

import http.client
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

WAIT = 120.0
JSON = "application/json"
CSV = "text/csv"
SVG = "image/svg+xml"
PDF = "application/pdf"
DXF = "image/vnd.dxf"
ZIP = "application/zip"


class Refused(Exception):
    """The API answered with a problem; `status` and `problem` hold what it said."""

    def __init__(self, asked: str, status: int, problem: dict[str, Any]) -> None:
        self.status = status
        self.problem = problem
        lines = [f"{asked} was answered {status}: {problem.get('title', 'no title')}. {problem.get('detail', '')}"]
        lines += [f"  - {_in_words(part)}" for part in problem.get("faults") or problem.get("relations") or ()]
        super().__init__("\n".join(lines))


@dataclass(frozen=True)
class Answer:
    """What came back: status, headers with small names, and the body as it was sent."""

    status: int
    headers: dict[str, str]
    body: bytes

    def json(self) -> Any:
        """The body, read as JSON."""
        return json.loads(self.body)


@dataclass(frozen=True)
class Client:
    """Speaks to one API at `address`, such as `http://127.0.0.1:8000`, with the key in a file where there is one."""

    address: str
    key_file: Path | None = None

    def get(self, path: str, accept: str = JSON) -> Answer:
        """Reads what lies at the path, in the asked format; raises Refused from status 400 up."""
        return self._ask("GET", path, None, accept)

    def post(self, path: str, content: dict[str, Any], once: str | None = None) -> Answer:
        """Sends the content as JSON, with a key by which it counts once; raises Refused from status 400 up."""
        named = {} if once is None else {"Idempotency-Key": f'"{once}"'}
        return self._ask("POST", path, json.dumps(content).encode(), JSON, named)

    def _ask(
        self, method: str, path: str, body: bytes | None, accept: str, named: Mapping[str, str] | None = None
    ) -> Answer:
        place = urlsplit(self.address)
        connection = http.client.HTTPConnection(place.hostname or "", place.port, timeout=WAIT)
        headers = {"Accept": f"{accept}, application/problem+json", **(named or {})}
        if self.key_file is not None:
            headers["Authorization"] = f"Bearer {self.key_file.read_text(encoding='ascii').strip()}"
        if body is not None:
            headers["Content-Type"] = JSON
        try:
            connection.request(method, path, body, headers)
            response = connection.getresponse()
            names = {name.lower(): value for name, value in response.getheaders()}
            answer = Answer(response.status, names, response.read())
        finally:
            connection.close()
        if answer.status >= 400:
            raise Refused(f"{method} {path}", answer.status, _problem(answer))
        return answer


def _problem(answer: Answer) -> dict[str, Any]:
    try:
        problem = answer.json()
    except ValueError:
        problem = None
    return problem if isinstance(problem, dict) else {"detail": answer.body[:500].decode(errors="replace")}


def _in_words(part: Any) -> str:
    if not isinstance(part, dict):
        return str(part)
    return ": ".join(str(text) for text in part.values() if isinstance(text, str) and text)
