from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from api.openapi import FOLDER, files, main
from api.problems import KINDS
from tests.api.conftest import Client

REMEDY = "`python -m api.openapi` writes the files anew; say what changed in openapi/changes."


@pytest.mark.parametrize(
    ("address", "name"), [("/openapi.json", "openapi.json"), ("/schemas/pattern.json", "pattern.schema.json")]
)
def test_what_is_served_is_what_is_kept(client: Client, address: str, name: str) -> None:
    assert client.get(address).json() == json.loads((FOLDER / name).read_text(encoding="utf-8")), REMEDY


def test_the_kept_files_are_written_by_one_command(tmp_path: Path) -> None:
    main([str(tmp_path)])
    for name, text in files().items():
        assert (tmp_path / name).read_text(encoding="utf-8") == text
        assert (FOLDER / name).read_text(encoding="utf-8") == text, REMEDY


def test_the_schema_of_patterns_is_one_and_describes_every_field(client: Client) -> None:
    answer = client.get("/schemas/pattern.json")
    schema = answer.json()
    assert answer.headers["content-type"] == "application/schema+json"
    Draft202012Validator.check_schema(schema)
    for name, part in {"": schema, **schema["$defs"]}.items():
        for field, described in part.get("properties", {}).items():
            assert described.get("description"), f"{name}.{field}"
            assert described.get("examples"), f"{name}.{field}"


def test_every_schema_of_the_interface_is_one_and_every_reference_leads_somewhere(client: Client) -> None:
    interface = client.get("/openapi.json").json()
    components = interface["components"]["schemas"]
    for schema in components.values():
        Draft202012Validator.check_schema(schema)
    for reference in re.findall(r'"\$ref": "([^"]+)"', json.dumps(interface)):
        assert reference.removeprefix("#/components/schemas/") in components


def test_envelopes_keep_what_pydantic_knows_of_them(client: Client) -> None:
    components = client.get("/openapi.json").json()["components"]["schemas"]
    assert components["Draft"]["additionalProperties"] is False
    assert components["Pattern"]["properties"]["id"]["pattern"].startswith("^[0-9a-f]{8}-")
    assert components["GradeRequest"]["allOf"] == [{"oneOf": [{"required": ["size"]}, {"required": ["request"]}]}]
    assert components["GradeRequest"]["properties"]["request"] == {"$ref": "#/components/schemas/SizeRequest"}


def test_every_operation_has_a_name_and_documents_its_errors(client: Client) -> None:
    paths = client.get("/openapi.json").json()["paths"]
    operations = [(method, operation) for path in paths.values() for method, operation in path.items()]
    names = [operation["operationId"] for _, operation in operations]
    assert len(set(names)) == len(names)
    for method, operation in operations:
        expected = {"404", "405", "500", "503"} | ({"400", "413", "415", "422"} if method == "post" else set())
        assert expected <= operation["responses"].keys(), operation["operationId"]
        for status, response in operation["responses"].items():
            if status >= "400":
                assert list(response["content"]) == ["application/problem+json"]


def test_every_kind_of_problem_is_explained_where_its_type_leads(client: Client) -> None:
    for kind in KINDS.values():
        explained = client.get(f"/problems/{kind.name}").json()
        assert (explained["title"], explained["status"]) == (kind.title, kind.status)
    assert client.get("/problems/unheard-of").status_code == 404


def test_the_reference_page_needs_no_other_server(client: Client) -> None:
    page = client.get("/reference")
    policy = page.headers["content-security-policy"]
    assert page.headers["content-type"].startswith("text/html")
    assert "default-src 'none'" in policy
    assert "script-src 'self';" in policy
    for address in re.findall(r'(?:src|href)="([^"]+)"', page.text):
        if not address.startswith("data:"):
            assert address.startswith("/")
            assert client.get(address).status_code == 200, address


def test_every_answer_keeps_browsers_careful(client: Client) -> None:
    for address in ("/health", "/nothing", "/reference"):
        headers = client.get(address).headers
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["content-security-policy"].startswith("default-src 'none'")


def test_the_state_of_the_server(client: Client) -> None:
    assert client.get("/health").json() == {"status": "ok", "version": "0.1.0"}
