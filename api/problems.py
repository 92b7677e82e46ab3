"""Every error as a problem document (RFC 9457), from one table."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from typing import TYPE_CHECKING, Any

from litestar import Response
from litestar.exceptions import HTTPException, ValidationException
from litestar.exceptions.http_exceptions import RequestEntityTooLarge
from litestar.openapi.datastructures import ResponseSpec

from api.access.refusals import NoKey, OriginRefused, ScopeMissing, TooOften
from api.body import ContentRefused, UnreadableBody
from api.jobs.executor import NoWorkers, OutOfTime, QueueFull
from api.jobs.traces import traced
from api.logs import TRUSTED, logger
from api.negotiation import NotAcceptable
from api.operations import errors, order_errors
from api.operations.readiness import NotReady
from api.request import UnsupportedBody
from api.schemas.problems import Problem
from api.storage.database import DatabaseUnavailable
from api.validation import faults_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from litestar import Request

LOG = logger()
MEDIA_TYPE = "application/problem+json"
RETRY_SECONDS = "2"
CHALLENGE = 'Bearer realm="sizewright"'


@dataclass(frozen=True)
class Kind:
    """A kind of problem: its name in addresses, its status, its title, and what it means."""

    name: str
    status: int
    title: str
    says: str


KINDS = {
    kind.name: kind
    for kind in (
        Kind("unreadable-body", 400, "The body cannot be read", "The body is not JSON in UTF-8."),
        Kind("bad-request", 400, "The request cannot be read", "The request breaks the rules of HTTP."),
        Kind("no-idempotency-key", 400, "An Idempotency-Key is needed", "Each order is sent with a key of its own."),
        Kind("no-key", 401, "A key is needed", "Send one that works, with the header Authorization: Bearer sw_…"),
        Kind("scope-missing", 403, "This key may not do that", "Another key is needed, with the scope that is named."),
        Kind("origin-refused", 403, "Not from this page", "The order form is bound to pages of other origins."),
        Kind("not-found", 404, "Nothing is here", "The address, or what it names, does not exist."),
        Kind("method-not-allowed", 405, "This method does not work here", "The header Allow lists those that do."),
        Kind("not-acceptable", 406, "No such format", "None of the formats asked for in Accept can be given."),
        Kind("conflict", 409, "This size cannot be made", "The relations listed cannot hold together at this size."),
        Kind("ruler-out-of-reach", 409, "This ruler is too coarse", "On this ruler the joins listed cannot be kept."),
        Kind("does-not-fit", 409, "A piece does not fit", "A piece is wider than its cloth in every way it may lie."),
        Kind("grade-outdated", 409, "The grade is outdated", "It was made by an older version; make it anew."),
        Kind("quote-expired", 409, "The quote is not valid any more", "A quote can be ordered until a time; ask anew."),
        Kind("quote-ordered", 409, "The quote has been ordered", "A quote is ordered once; ask for another."),
        Kind("state-refused", 409, "The order cannot come into this state", "The states that it can are listed."),
        Kind("stale-head", 412, "The pattern has moved on", "If-Match does not name the pattern's head."),
        Kind(
            "stale-draft",
            412,
            "The draft has moved on",
            "If-Match does not name its version; the document is sent along.",
        ),
        Kind("nothing-to-go-to", 409, "There is no such change", "Nothing is left to take back, or was taken back."),
        Kind("stale-order", 412, "The order has moved on", "If-Match does not name the order as it is now."),
        Kind("body-too-large", 413, "The body is too large", "The body is longer than the server takes."),
        Kind("unsupported-body", 415, "The body is not announced as JSON", "Bodies are application/json in UTF-8."),
        Kind("faults", 422, "What was sent has faults", "Each fault is listed with its path and a remedy."),
        Kind("key-used-otherwise", 422, "This Idempotency-Key was used before", "Another order was sent with it."),
        Kind("no-precondition", 428, "If-Match is missing", "Send the ETag of what your change was made from."),
        Kind("too-many-requests", 429, "Too many requests", "Retry-After says in how many seconds one more may come."),
        Kind("unexpected", 500, "Something went wrong here", "The fault is the server's; it has been written down."),
        Kind("busy", 503, "The queue is full", "As many requests are waiting as may; try again soon."),
        Kind("no-workers", 503, "Nobody is there to do it", "No worker can be reached; try again soon."),
        Kind("not-ready", 503, "The server is not ready", "What it works with is missing; each lack is listed."),
        Kind("out-of-time", 503, "This takes too long", "The work was not done within the time limit."),
        Kind("storage-unavailable", 503, "The storage does not answer", "Nothing was changed; try again soon."),
    )
}


@dataclass(frozen=True)
class _Answer:
    kind: str
    detail: str
    more: Mapping[str, Any] = field(default_factory=dict)
    headers: Mapping[str, str] = field(default_factory=dict)


def documented(*names: str) -> dict[int, ResponseSpec]:
    """The kinds of problems by status, for the description of a handler; what any handler may answer is added."""
    always = ("bad-request", "not-found", "method-not-allowed", "unexpected", "storage-unavailable")
    by_status: dict[int, list[str]] = {}
    for kind in KINDS.values():
        if kind.name in names or kind.name in always:
            by_status.setdefault(kind.status, []).append(f"{kind.title}. {kind.says}")
    return {
        status: ResponseSpec(Problem, generate_examples=False, description=" ".join(texts), media_type=MEDIA_TYPE)
        for status, texts in by_status.items()
    }


def respond(request: Request[Any, Any, Any], error: Exception) -> Response[bytes]:
    """The problem document for any error; what is not in the table is a 500 and goes to the log."""
    answer = _answer(error)
    kind = KINDS[answer.kind]
    _log(kind, error)
    headers = _headers(answer)
    return Response(_text(answer).encode(), status_code=kind.status, media_type=MEDIA_TYPE, headers=headers)


def plain(error: Exception) -> tuple[int, dict[str, str], bytes]:
    """The same as a status, headers and content, for what is refused before it is a request."""
    answer = _answer(error)
    return KINDS[answer.kind].status, {**_headers(answer), "Content-Type": MEDIA_TYPE}, _text(answer).encode()


def problem_text(error: Exception) -> str:
    """The same for an error of a job, which nobody may be waiting for, as JSON text."""
    answer = _answer(error)
    _log(KINDS[answer.kind], error)
    return _text(answer)


def _log(kind: Kind, error: Exception) -> None:
    """Writes down what is the server's: with its places what is a fault, in a line what passes."""
    if kind.status == 500:
        LOG.error(kind.name, exc_info=error)
    elif kind.status > 500:
        LOG.warning(kind.name, because=traced(error, TRUSTED)[0])


def _headers(answer: _Answer) -> dict[str, str]:
    waits = {"Retry-After": RETRY_SECONDS} if KINDS[answer.kind].status == 503 else {}
    return {**answer.headers, **waits}


def _answer(error: Exception) -> _Answer:
    return next((_TABLE[kind] for kind in type(error).__mro__ if kind in _TABLE), _unexpected)(error)


def _text(answer: _Answer) -> str:
    kind = KINDS[answer.kind]
    problem = Problem(
        type=f"/problems/{kind.name}", title=kind.title, status=kind.status, detail=answer.detail, **answer.more
    )
    return problem.model_dump_json(exclude_unset=True)


def _unexpected(error: Exception) -> _Answer:
    return _Answer("unexpected", "The request was not carried out. Nothing of it was stored.")


def _http(error: Exception) -> _Answer:
    status = error.status_code if isinstance(error, HTTPException) else 500
    headers = {name.title(): value for name, value in (getattr(error, "headers", None) or {}).items()}
    if status == 405:
        return _Answer(
            "method-not-allowed", f"Here work: {_with_head(headers)}.", headers={"Allow": _with_head(headers)}
        )
    known = {404: "not-found", 413: "body-too-large"}
    if status in known:
        return _Answer(known[status], KINDS[known[status]].says)
    return _Answer("bad-request", KINDS["bad-request"].says) if status < 500 else _unexpected(error)


def _with_head(headers: Mapping[str, str]) -> str:
    methods = {method.strip() for method in headers.get("Allow", "").split(",")}
    return ", ".join(sorted(methods | ({"HEAD"} if "GET" in methods else set())))


def _validation(error: Exception) -> _Answer:
    extra = error.extra if isinstance(error, ValidationException) and isinstance(error.extra, list) else []
    if any(entry.get("source") == "path" for entry in extra):
        return _Answer("not-found", KINDS["not-found"].says)
    faults = [fault.model_dump() for fault in faults_of(extra)]
    return _Answer("faults", _counted(faults), {"faults": faults})


def _faulty(error: Exception) -> _Answer:
    faults = [asdict(fault) for fault in getattr(error, "faults", ())]
    return _Answer("faults", _counted(faults), {"faults": faults})


def _unfit(error: Exception) -> _Answer:
    faults = [asdict(fault) for fault in getattr(error, "faults", ())]
    return _Answer("does-not-fit", KINDS["does-not-fit"].says, {"faults": faults})


def _not_ready(error: Exception) -> _Answer:
    faults = [asdict(fault) for fault in getattr(error, "faults", ())]
    return _Answer("not-ready", str(error), {"faults": faults})


def _counted(faults: list[dict[str, str]]) -> str:
    return "One fault was found." if len(faults) == 1 else f"{len(faults)} faults were found."


def _conflict(error: Exception) -> _Answer:
    relations = [asdict(relation) for relation in getattr(error, "relations", ())]
    detail = "These cannot all hold. Leave out or change any one of them, or ask for another size."
    return _Answer("conflict", detail, {"relations": relations, **getattr(error, "shown", {})})


def _ruler(error: Exception) -> _Answer:
    relations = [asdict(relation) for relation in getattr(error, "relations", ())]
    return _Answer("ruler-out-of-reach", f"{error} {getattr(error, 'remedy', '')}".strip(), {"relations": relations})


def _stale(error: Exception) -> _Answer:
    head = getattr(error, "head", "")
    return _Answer("stale-head", f"{error} Read it, and send your change with its ETag.", {"head": head})


def _no_key(error: Exception) -> _Answer:
    # RFC 6750, section 3: no code of an error where nothing was sent.
    code = ', error="invalid_token"' if getattr(error, "presented", False) else ""
    return _Answer(
        "no-key", str(error), headers={"WWW-Authenticate": f"{CHALLENGE}{code}", "Cache-Control": "no-store"}
    )


def _scope_missing(error: Exception) -> _Answer:
    scope = getattr(error, "needed", "")
    challenge = f'{CHALLENGE}, error="insufficient_scope", scope="{scope}"'
    return _Answer("scope-missing", str(error), {"scope": scope}, {"WWW-Authenticate": challenge})


def _too_often(error: Exception) -> _Answer:
    return _Answer("too-many-requests", str(error), headers={"Retry-After": str(getattr(error, "wait", RETRY_SECONDS))})


def _moved(error: Exception) -> _Answer:
    """The answer carries the document as it is, so that a person can choose."""
    document, version = json.loads(getattr(error, "document", "{}")), getattr(error, "version", 1)
    return _Answer("stale-draft", str(error), {"document": document, "version": version})


def _says(kind: str, *, own: bool = False, headers: Mapping[str, str] | None = None) -> Callable[[Exception], _Answer]:
    return lambda error: _Answer(kind, str(error) if own else KINDS[kind].says, headers=headers or {})


_TABLE: dict[type[BaseException], Callable[[Exception], _Answer]] = {
    HTTPException: _http,
    ValidationException: _validation,
    RequestEntityTooLarge: _says("body-too-large"),
    UnreadableBody: _says("unreadable-body", own=True),
    ContentRefused: _faulty,
    UnsupportedBody: _says("unsupported-body", own=True, headers={"Accept": "application/json"}),
    NotAcceptable: _says("not-acceptable", own=True),
    NoKey: _no_key,
    ScopeMissing: _scope_missing,
    OriginRefused: _says("origin-refused", own=True),
    TooOften: _too_often,
    errors.Missing: _says("not-found", own=True),
    errors.StaleHead: _stale,
    errors.DraftMoved: _moved,
    errors.NothingToGoTo: _says("nothing-to-go-to", own=True),
    errors.NoPrecondition: _says("no-precondition"),
    order_errors.NoIdempotencyKey: _says("no-idempotency-key", own=True),
    order_errors.KeyUsedOtherwise: _says("key-used-otherwise", own=True),
    order_errors.QuoteExpired: _says("quote-expired", own=True),
    order_errors.QuoteOrdered: _says("quote-ordered", own=True),
    order_errors.StateRefused: _says("state-refused", own=True),
    order_errors.StaleOrder: _says("stale-order", own=True),
    errors.DocumentRefused: _faulty,
    errors.RequestRefused: _faulty,
    errors.SizeConflict: _conflict,
    errors.RulerTooCoarse: _ruler,
    errors.DoesNotFit: _unfit,
    errors.GradeOutdated: _says("grade-outdated"),
    errors.TooMuchWork: _says("out-of-time"),
    QueueFull: _says("busy"),
    NoWorkers: _says("no-workers"),
    NotReady: _not_ready,
    OutOfTime: _says("out-of-time"),
    DatabaseUnavailable: _says("storage-unavailable"),
}
