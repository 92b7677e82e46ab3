"""The JSON Schema of the pattern document."""

from typing import Any

from grading.document.pattern import Pattern

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def pattern_schema() -> dict[str, Any]:
    """The document's JSON Schema (2020-12), with a description and an example for every field."""
    return {"$schema": DIALECT, "$id": "urn:sizewright:pattern:1", **Pattern.model_json_schema(mode="validation")}
