"""The JSON Schema of the pattern document, judged by jsonschema."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from grading.document import pattern_schema
from tests.conftest import DEMO_NAMES
from tests.patterns import changed, pouch

Json = dict[str, Any]


@pytest.fixture(scope="module")
def schema() -> Json:
    return pattern_schema()


def properties(schema: Json) -> Iterator[tuple[str, Json]]:
    """Every property of every object that the schema describes, with where it stands."""
    for name, part in [("pattern", schema), *schema["$defs"].items()]:
        for field, description in part.get("properties", {}).items():
            yield f"{name}.{field}", description


def test_it_is_a_json_schema_of_2020_12(schema: Json) -> None:
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)


def test_every_field_says_what_it_is_and_shows_an_example(schema: Json) -> None:
    fields = list(properties(schema))
    assert len(fields) > 120
    assert [name for name, field in fields if not field.get("description", "").endswith((".", '"'))] == []
    assert [name for name, field in fields if not field.get("examples")] == []


def test_every_example_is_one(schema: Json) -> None:
    for name, field in properties(schema):
        validator = Draft202012Validator({"$defs": schema["$defs"], **field})
        for example in field["examples"]:
            assert not list(validator.iter_errors(_arrays(example))), name


def test_every_object_refuses_fields_that_it_does_not_know(schema: Json) -> None:
    objects = [schema, *(part for part in schema["$defs"].values() if "properties" in part)]
    assert [part["title"] for part in objects if part.get("additionalProperties") is not False] == []


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_demo_patterns_are_as_it_says(name: str, schema: Json, demo_documents: dict[str, Json]) -> None:
    assert list(Draft202012Validator(schema).iter_errors(demo_documents[name])) == []


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("format", 2),
        ("colour", "red"),
        ("unit", "furlong"),
        ("dimensions", {}),
        ("dimensions.width.base", None),
        ("dimensions.width.limits", [1, 2, 3]),
        ("pieces.panel.layers", []),
        ("pieces.panel.outline", {"disc": {}}),
        ("pieces.panel.grain", "sideways"),
        ("seams.side.join", []),
        ("seams.side.join", ["front.right", {"edge": 3}]),
        ("contents.card.object", ["86 mm"]),
        ("findings.stud.count", 0),
        ("steps.0.action", "fold"),
    ],
)
def test_it_refuses_what_the_reader_refuses(field: str, value: Any, schema: Json) -> None:
    validator = Draft202012Validator(schema)
    assert validator.is_valid(pouch())
    assert not validator.is_valid(changed(pouch(), field, value))


def _arrays(value: Any) -> Any:
    """JSON has arrays only, where Python has tuples too."""
    if isinstance(value, dict):
        return {key: _arrays(item) for key, item in value.items()}
    return [_arrays(item) for item in value] if isinstance(value, list | tuple) else value
