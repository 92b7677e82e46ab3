"""The description of the interface, OpenAPI 3.1.

Litestar describes addresses and parameters; component schemas come from pydantic itself, since Litestar's
own lose `additionalProperties`, patterns and alternatives. The schema of pattern documents is the library's.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from litestar import Controller, Litestar
from litestar.openapi.config import OpenAPIConfig
from litestar.openapi.spec import License, Tag
from litestar.plugins.pydantic import PydanticPlugin
from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from api import VERSION
from api.resources.batches import LINES
from api.resources.dependencies import DEPENDENCIES
from api.resources.layouts import SVG
from api.resources.sheets import DXF
from api.schemas import (
    batches,
    checks,
    comparisons,
    drafts,
    form_tokens,
    grades,
    health,
    jobs,
    keys,
    layouts,
    maps,
    notifications,
    order_forms,
    orders,
    patterns,
    problems,
    quotes,
    ranges,
    substitutions,
    supplies,
    testing,
    verifications,
)
from api.security import SCHEMES, secure, stated_scopes
from api.webhooks import webhooks
from grading.document.schema import pattern_schema as document_schema

if TYPE_CHECKING:
    from collections.abc import Iterable

DOCUMENT = "PatternDocument"
SIZE_REQUEST = "SizeRequest"
REF = "#/components/schemas/"
QUOTED_KEY = '^"[A-Za-z0-9_-]{16,255}"$'
"""What is sent as Idempotency-Key; one without quotes is taken too, but that is not how such headers are written."""
SAYS = (
    "Stores sewn-bag patterns as symbolic piece dimensions tied by constraints, grades them to any size, and "
    "gives cut lists with a proof that an independent program checks. Errors are problem documents (RFC 9457)."
)
TAGS = {
    "Patterns": "Patterns and their revisions.",
    "Drafts": "Documents in work, sound or not, with every state that they have been in.",
    "Grades": "Sizes, cut lists and proofs.",
    "Cloth": "Layouts on cloth, what is bought, how thick seams are, other cloths.",
    "Orders": "What a pattern offers to customers, quotes, orders.",
    "Notifications": "What a shop is told of its orders, signed (Standard Webhooks) and tried again.",
    "Testing": "What testers tell of the sizes that they have sewn.",
    "Access": "Keys of a workshop, tokens of its order forms.",
    "Interface": "What programs need to know.",
    "Server": "The state of the server.",
}
ENVELOPES: tuple[type[BaseModel], ...] = (
    batches.BatchRequest,
    checks.Check,
    checks.Unchecked,
    comparisons.Answer,
    comparisons.Chart,
    comparisons.Difference,
    drafts.DraftHistory,
    drafts.DraftInWork,
    drafts.DraftList,
    drafts.DraftPatch,
    drafts.DraftRequest,
    drafts.Publication,
    drafts.PublishedDraft,
    drafts.Renaming,
    drafts.TrialSize,
    form_tokens.FormToken,
    form_tokens.FormTokenList,
    form_tokens.MadeFormToken,
    form_tokens.NewFormToken,
    grades.CutList,
    grades.Grade,
    grades.GradeDocument,
    grades.GradeRequest,
    grades.Proof,
    health.Health,
    health.Readiness,
    jobs.Job,
    keys.CallerTold,
    keys.KeyList,
    keys.Key,
    keys.MadeKey,
    keys.NewKey,
    keys.Succession,
    layouts.LayoutsDocument,
    layouts.LayoutsRequest,
    layouts.MadeLayouts,
    maps.SolutionMap,
    notifications.Endpoint,
    notifications.EndpointList,
    notifications.EndpointMove,
    notifications.MadeEndpoint,
    notifications.NewEndpoint,
    notifications.Notification,
    notifications.NotificationList,
    notifications.SecretRequest,
    notifications.Told,
    order_forms.OrderForm,
    orders.Move,
    orders.NewNote,
    orders.NewOrder,
    orders.Order,
    orders.OrderList,
    orders.PacketRequest,
    patterns.Draft,
    patterns.Pattern,
    patterns.PatternList,
    patterns.Revision,
    patterns.RevisionList,
    patterns.StoredPattern,
    patterns.StoredRevision,
    problems.Problem,
    problems.ProblemKind,
    quotes.PriceDocument,
    quotes.Quote,
    quotes.QuoteRequest,
    ranges.RangeRequest,
    ranges.SizeRange,
    substitutions.Substitution,
    substitutions.SubstitutionRequest,
    supplies.Bulk,
    supplies.BulkRequest,
    supplies.Supplies,
    supplies.SuppliesRequest,
    testing.NewRecord,
    testing.Record,
    testing.RecordList,
    verifications.GradeVerdict,
    verifications.MeasuredVerdict,
    verifications.VerificationRequest,
)


@cache
def pattern_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of pattern documents."""
    return document_schema()


def interface_description(controllers: Iterable[type[Controller]]) -> dict[str, Any]:
    """The OpenAPI document of these controllers, as it is served and as it is kept in the folder `openapi`."""
    app = Litestar(
        route_handlers=list(controllers),
        dependencies=DEPENDENCIES,
        logging_config=None,
        plugins=[PydanticPlugin(validate_strict=True)],
        openapi_config=OpenAPIConfig(
            title="Sizewright",
            version=VERSION,
            description=SAYS,
            license=License(name="MIT", identifier="MIT"),
            tags=[Tag(name=name, description=says) for name, says in TAGS.items()],
            use_handler_docstrings=True,
        ),
    )
    described: dict[str, Any] = app.openapi_schema.to_schema()
    described["components"]["schemas"] = _components(described["components"]["schemas"])
    described["components"]["securitySchemes"] = SCHEMES
    described["paths"] = dict(sorted(described["paths"].items()))
    described["webhooks"] = webhooks()
    scopes = stated_scopes(app)
    for operations in described["paths"].values():
        for operation in operations.values():
            _complete(operation)
            secure(operation, scopes[operation["operationId"]])
    return described


def _components(used: dict[str, Any]) -> dict[str, Any]:
    _, own = models_json_schema([(model, "validation") for model in ENVELOPES], ref_template=REF + "{model}")
    envelopes: dict[str, Any] = own["$defs"]
    if missing := used.keys() - envelopes.keys():
        raise LookupError(f"Handlers use schemas that are not listed here: {', '.join(sorted(missing))}.")
    document, parts = _document_components(frozenset(envelopes))
    for name in ("Draft", "Revision"):
        envelopes[name]["properties"]["document"] = {"$ref": REF + DOCUMENT}
    for name in ("GradeRequest", "SubstitutionRequest"):
        envelopes[name]["properties"]["request"] = {"$ref": REF + SIZE_REQUEST}
    every = {**envelopes, **parts, DOCUMENT: document}
    return {name: _with_fields(every[name]) for name in sorted(every)}


def _with_fields(schema: dict[str, Any]) -> dict[str, Any]:
    """The same, with alternatives of fields one step further in, where generators of clients still see the fields."""
    if "properties" not in schema or "oneOf" not in schema:
        return schema
    rest = {key: part for key, part in schema.items() if key != "oneOf"}
    return {**rest, "allOf": [{"oneOf": schema["oneOf"]}]}


def _document_components(taken: frozenset[str]) -> tuple[dict[str, Any], dict[str, Any]]:
    schema = pattern_schema()
    names = {name: f"{DOCUMENT}{name}" if name in taken else name for name in schema["$defs"]}
    parts = {names[name]: _hoisted(part, names) for name, part in schema["$defs"].items()}
    top = {key: part for key, part in schema.items() if key not in ("$defs", "$schema", "$id")}
    for name, part in {**parts, DOCUMENT: top}.items():
        # Generators of clients name classes by these.
        part["title"] = name
    return _hoisted(top, names), parts


def _hoisted(part: Any, names: dict[str, str]) -> Any:
    if isinstance(part, list):
        return [_hoisted(item, names) for item in part]
    if not isinstance(part, dict):
        return part
    hoisted = {key: _hoisted(item, names) for key, item in part.items()}
    if isinstance(reference := part.get("$ref"), str):
        hoisted["$ref"] = REF + names[reference.removeprefix("#/$defs/")]
    return hoisted


def _complete(operation: dict[str, Any]) -> None:
    responses = operation["responses"]
    added = {"503": {"Retry-After": _header("Seconds to wait before another try.")}}
    added["405"] = {"Allow": _header("The methods that work here.")}
    for status, response in responses.items():
        headers = {**response.get("headers", {}), **added.get(status, {})}
        if headers:
            response["headers"] = dict(sorted(headers.items()))
    # OpenAPI leaves Accept to the formats of the responses.
    parameters = [one for one in operation.pop("parameters", ()) if one["name"] != "Accept"]
    for parameter in parameters:
        parameter["schema"] = _without_null(parameter["schema"])
        parameter["required"] = parameter["required"] or parameter["name"] in ("If-Match", "Idempotency-Key")
        if parameter["name"] == "Idempotency-Key":
            parameter["schema"] = {**parameter["schema"], "pattern": QUOTED_KEY}
    if parameters:
        operation["parameters"] = parameters
    if "If-None-Match" in [parameter["name"] for parameter in parameters]:
        responses["304"] = {"description": "The state at hand is still this one."}
    if operation["operationId"] in ("readCutList", "readChart", "readLayouts", "readSupplies"):
        responses["200"]["content"]["text/csv"] = {"schema": {"type": "string"}}
    if operation["operationId"] in ("addRevision", "makeGrade"):
        responses["200"] = {**responses["201"], "description": "It was there already; this is where."}
    if operation["operationId"] == "readLayouts":
        responses["200"]["content"][SVG] = {"schema": {"type": "string"}}
    if operation["operationId"] == "drawDraft":
        responses["200"]["content"] = {SVG: {"schema": {"type": "string"}}}
    if operation["operationId"] in ("readSheets", "readNestedSheets"):
        responses["200"]["content"] |= {form: {"schema": {"type": "string"}} for form in (SVG, DXF)}
    if operation["operationId"] == "makeLayouts":
        _answered_by_job(responses)
    if operation["operationId"] == "solveBatch":
        responses["200"]["content"] = {LINES: {"schema": {"type": "string"}}}
    operation["responses"] = dict(sorted(responses.items()))


def _answered_by_job(responses: dict[str, Any]) -> None:
    """Layouts that are there, were there already, or are being made."""
    made, job = ({"application/json": {"schema": {"$ref": REF + name}}} for name in ("MadeLayouts", "Job"))
    responses["201"] = {**responses["201"], "content": made}
    responses["200"] = {**responses["201"], "description": "They were there already; this is where."}
    responses["202"] = {
        **responses["201"],
        "content": job,
        "description": "They are being made; this job tells how far.",
    }


def _without_null(schema: dict[str, Any]) -> dict[str, Any]:
    kept = [choice for choice in schema.get("oneOf", ()) if choice != {"type": "null"}]
    rest = {key: value for key, value in schema.items() if key != "oneOf"}
    return {**kept[0], **rest} if len(kept) == 1 else schema


def _header(says: str) -> dict[str, Any]:
    return {"description": says, "schema": {"type": "string"}}
