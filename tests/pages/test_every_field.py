"""Every field of a pattern document can be edited in a table or form: the editor's fields against the JSON Schema."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from api.operations.json_patch import patched
from api.pages.desk.changes import changed_rows
from api.pages.desk.rows import Notes, row_paths, shown_tables
from api.pages.desk.sections import SECTIONS
from api.pages.desk.table import Path, Table
from api.pages.desk.work import OPENING, View, tables_of
from grading.document.schema import pattern_schema

SCHEMA = pattern_schema()
LEFT_OUT = {"format": "it is 1 in every document, and a draft of the desk begins with it"}
"""Fields that no table has, on purpose."""
KINDS = ("zip", "webbing", "elastic", "binding", "hardware")
KEY = "one"
"""The name of whatever a test adds to an object of named parts."""


def branches(node: dict[str, Any]) -> list[dict[str, Any]]:
    """What a part may be: its alternatives, references followed."""
    if "$ref" in node:
        return branches(SCHEMA["$defs"][node["$ref"].rpartition("/")[2]])
    several = [*node.get("anyOf", ()), *node.get("oneOf", ())]
    return [each for one in several for each in branches(one)] if several else [node]


def whole(node: dict[str, Any]) -> Any:
    """A part with all that it needs, from the examples that the schema gives."""
    return {name: node["properties"][name]["examples"][0] for name in node.get("required", ())}


def variants(node: dict[str, Any], path: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    """Every field below a part, and for each of its examples the part with it."""
    for name, inner in node["properties"].items():
        here = (*path, name)
        nested = [branch for branch in branches(inner) if holds_parts(branch)]
        plain = [branch for branch in branches(inner) if not holds_parts(branch) and branch.get("type") != "null"]
        for branch in nested:
            for field, value in below(branch, here):
                yield field, {**whole(node), name: value}
        if plain:
            for example in inner["examples"]:
                yield ".".join(here), {**whole(node), name: example}


def below(node: dict[str, Any], path: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    if node.get("type") == "array":
        for branch in branches(node["items"]):
            yield from ((field, [value]) for field, value in variants(branch, path)) if "properties" in branch else ()
    elif "properties" in node:
        yield from variants(node, path)
    else:
        for branch in branches(node["additionalProperties"]):
            found = below(branch, path) if holds_parts(branch) else ()
            yield from ((field, {KEY: value}) for field, value in found)


def holds_parts(node: dict[str, Any]) -> bool:
    """Whether a part, or the entries of a list or object of names, are objects with fields of their own."""
    inner = node.get("additionalProperties") if node.get("type") == "object" else node.get("items")
    return "properties" in node or (isinstance(inner, dict) and any(holds_parts(each) for each in branches(inner)))


CASES = [(field, document) for field, document in variants({**SCHEMA, "required": ["name"]}, ())]
FIELDS = sorted({field for field, _ in CASES})


def all_tables(document: Any) -> list[Table]:
    """The tables of every view of a draft."""
    views = [View("", section) for section in SECTIONS]
    for section in OPENING:
        views += [View("", section, name) for name in document.get(section, {})]
    return [table for view in views for table in tables_of(document, view)]


def leaves(value: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every text, number and truth of a document with its path."""
    if isinstance(value, dict) and value:
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(value, list) and value:
        for number, inner in enumerate(value):
            yield from leaves(inner, (*path, number))
    else:
        yield path, value


def written(document: Any) -> dict[Path, tuple[Table, str]]:
    """The path of every field that the tables show, with its table and text, JSON apart."""
    found: dict[Path, tuple[Table, str]] = {}
    for table in all_tables(document):
        for shown in shown_tables(document, [table], Notes()):
            for row, at in zip(shown.rows, row_paths(document, table), strict=True):
                for cell in (*row.cells, *row.more):
                    if cell.text and cell.text[0] not in "{[":
                        found.setdefault((*at, *cell.field.path), (table, cell.text))
    return found


@pytest.mark.parametrize("field", FIELDS)
def test_every_field_of_the_document_can_be_edited_in_a_table(field: str) -> None:
    """Each example of the schema stands in fields of tables, in words and not as JSON, and can be written there."""
    shown_somewhere = False
    for _, example in (case for case in CASES if case[0] == field):
        document = completed(example)
        fields = written(document)
        named = {at for table in all_tables(document) for at in row_paths(document, table)}
        for path, value in leaves(document):
            over = [path[:length] for length in range(len(path), -1, -1) if path[:length] in fields]
            if value is False or value in ([], {}) or path in named:
                continue
            if path[0] in LEFT_OUT:
                assert not over
                continue
            assert over, f"{'.'.join(map(str, path))} of {field} is in no table"
            table, text = fields[over[0]]
            assert value is True or str(value) in text
            shown_somewhere = True
            about = ".".join(key for key in path if isinstance(key, str) and key != KEY)
            if not (about.startswith(field) or field.startswith(about)):
                continue
            emptied, again = rewritten(document, table, over[0], text)
            assert over[0] not in written(emptied)
            assert written(again) == fields
    assert shown_somewhere or field in LEFT_OUT


def completed(example: dict[str, Any]) -> dict[str, Any]:
    """A document in which what the tables go by is given: some option, and the kind of each finding."""
    options = {"front_pocket": {"choices": ["zipped", "open"]}}
    findings = example.get("findings", {})
    bare = {name: each for name, each in findings.items() if not set(each) & set(KINDS)}
    whole_ones = {name: {"hardware": {"what": "ring"}, **each} for name, each in bare.items()}
    return {"options": options, **example, **({"findings": {**findings, **whole_ones}} if findings else {})}


def rewritten(document: Any, table: Table, path: Path, text: str) -> tuple[Any, Any]:
    """The document after a field was emptied, and after its text was written again."""
    row = max((at for at in row_paths(document, table) if at == path[: len(at)]), key=len)
    name = f"f:{'.'.join(map(str, row))}:{'.'.join(map(str, path[len(row) :]))}"
    emptied = patched(document, changed_rows(document, table, {name: ""}).patch)
    return emptied, patched(emptied, changed_rows(emptied, table, {name: text}).patch)


def test_the_schema_was_walked_to_its_ends() -> None:
    for field in (
        "pieces.outline.edges.cubic",
        "sizes.hold.stands_out",
        "sizes.within.turned",
        "findings.webbing.adjusts.doubled",
        "order.cloths.material.repeat.across",
        "order.price.minutes.by_length.of",
        "seams.join.from",
        "coverings.clear.top.at_least",
        "stock.imperial",
    ):
        assert field in FIELDS, field
    assert set(LEFT_OUT) <= set(FIELDS)
