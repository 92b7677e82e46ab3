"""A client that a general generator makes of the description of the interface, at a real server.

The generator is openapi-python-client (https://github.com/openapi-generators/openapi-python-client).
"""

from __future__ import annotations

import importlib
import json
import subprocess
import sys
import uuid
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from api.openapi import files
from tests.clients.conftest import Live

PACKAGE = "generated_sizewright_client"
FILES = ("application/pdf", "application/zip", "application/x-ndjson", "image/svg+xml", "image/vnd.dxf", "text/csv")


@pytest.fixture(scope="module")
def generated(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The folder of the package that was generated; nothing of the description may be left out of it."""
    folder = tmp_path_factory.mktemp("generated")
    (folder / "openapi.json").write_text(files()["openapi.json"], encoding="utf-8")
    # What is no JSON is given out as bytes; nothing is run over the code.
    overrides = {**dict.fromkeys(FILES, "application/octet-stream"), "application/problem+json": "application/json"}
    settings = {"content_type_overrides": overrides, "post_hooks": []}
    (folder / "settings.json").write_text(json.dumps(settings), encoding="utf-8")
    command = [sys.executable, "-m", "openapi_python_client", "generate", "--fail-on-warning", "--meta", "none"]
    places = ["--path", "openapi.json", "--config", "settings.json", "--output-path", PACKAGE]
    done = subprocess.run([*command, *places], cwd=folder, capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
    sys.path.insert(0, str(folder))
    try:
        yield folder / PACKAGE
    finally:
        sys.path.remove(str(folder))
        for name in [name for name in sys.modules if name.partition(".")[0] == PACKAGE]:
            del sys.modules[name]


@pytest.fixture
def client(generated: Path, live: Live) -> Iterator[Any]:
    """The generated client, signed in, with its connections closed afterwards."""
    with _module("client").AuthenticatedClient(base_url=live.address, token=live.key, timeout=600.0) as opened:
        yield opened


def _module(name: str) -> ModuleType:
    return importlib.import_module(f"{PACKAGE}.{name}")


def _call(operation: str, client: Any, *names: str, **given: Any) -> Any:
    """What an operation answers, as an object of the generated client."""
    answer = _module(f"api.{operation}").sync_detailed(*names, client=client, **given)
    assert answer.status_code < 300, answer.content
    return answer.parsed


def test_every_operation_has_a_function(generated: Path) -> None:
    described = json.loads(files()["openapi.json"])
    operations = {operation["operationId"] for path in described["paths"].values() for operation in path.values()}
    functions = {path.stem for path in generated.glob("api/*/*.py") if path.stem != "__init__"}
    assert {name.replace("_", "") for name in functions} == {name.lower() for name in operations}


def test_a_pattern_is_stored_graded_quoted_and_ordered(client: Any, live: Live) -> None:
    models = _module("models")
    document = models.PatternDocument.from_dict(live.document)
    assert document.to_dict() == live.document
    stored = _call("patterns.store_pattern", client, body=models.Draft(document=document))
    names = (stored.id, stored.head)
    grade = _call("grades.make_grade", client, *names, body=models.GradeRequest(size="mini"))
    read = _call("grades.read_grade", client, grade.id)
    assert read.size.to_dict()["name"] == "mini"
    form = _call("orders.read_form", client, stored.id)
    assert form.revision == stored.head
    wish = models.QuoteRequest(size="mini", quantity=2)
    quote = _call("orders.make_quote", client, *names, body=wish)
    assert quote.grade == grade.id
    assert quote.price.total > 0
    new = models.NewOrder(quote=quote.id, customer=models.NewCustomer(reference="generated"))
    order = _call("orders.place_order", client, body=new, idempotency_key=f'"{uuid.uuid4()}"')
    assert (order.state, order.customer.reference) == ("placed", "generated")
    assert order.quote.to_dict() == quote.to_dict()
    listed = _call("orders.list_orders", client, limit=1)
    assert [item.id for item in listed.items] == [order.id]


def test_a_refusal_is_an_object_too(client: Any) -> None:
    models = _module("models")
    answer = _module("api.orders.read_order").sync_detailed(str(uuid.UUID(int=0, version=4)), client=client)
    assert answer.status_code == 404
    assert isinstance(answer.parsed, models.Problem)
    assert answer.parsed.type_ == "/problems/not-found"


def test_an_endpoint_is_made(client: Any) -> None:
    models = _module("models")
    events = [models.NewEndpointEventsItem.ORDER_PLACED]
    new = models.NewEndpoint(url="https://shop.invalid/hook", events=events)
    made = _call("notifications.make_endpoint", client, body=new)
    assert made.secret.startswith("whsec_")
    _call("notifications.delete_endpoint", client, made.id)
