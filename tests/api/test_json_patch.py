"""The examples of RFC 6902, appendix A, and what a pattern document asks of a patch besides."""

from __future__ import annotations

from typing import Any

import pytest

from api.operations.errors import RequestRefused
from api.operations.json_patch import patched

CASES: list[tuple[str, Any, list[dict[str, Any]], Any]] = [
    ("A.1", {"foo": "bar"}, [{"op": "add", "path": "/baz", "value": "qux"}], {"baz": "qux", "foo": "bar"}),
    (
        "A.2",
        {"foo": ["bar", "baz"]},
        [{"op": "add", "path": "/foo/1", "value": "qux"}],
        {"foo": ["bar", "qux", "baz"]},
    ),
    ("A.3", {"baz": "qux", "foo": "bar"}, [{"op": "remove", "path": "/baz"}], {"foo": "bar"}),
    ("A.4", {"foo": ["bar", "qux", "baz"]}, [{"op": "remove", "path": "/foo/1"}], {"foo": ["bar", "baz"]}),
    (
        "A.5",
        {"baz": "qux", "foo": "bar"},
        [{"op": "replace", "path": "/baz", "value": "boo"}],
        {"baz": "boo", "foo": "bar"},
    ),
    (
        "A.6",
        {"foo": {"bar": "baz", "waldo": "fred"}, "qux": {"corge": "grault"}},
        [{"op": "move", "from": "/foo/waldo", "path": "/qux/thud"}],
        {"foo": {"bar": "baz"}, "qux": {"corge": "grault", "thud": "fred"}},
    ),
    (
        "A.7",
        {"foo": ["all", "grass", "cows", "eat"]},
        [{"op": "move", "from": "/foo/1", "path": "/foo/3"}],
        {"foo": ["all", "cows", "eat", "grass"]},
    ),
    (
        "A.8",
        {"baz": "qux", "foo": ["a", 2, "c"]},
        [{"op": "test", "path": "/baz", "value": "qux"}, {"op": "test", "path": "/foo/1", "value": 2}],
        {"baz": "qux", "foo": ["a", 2, "c"]},
    ),
    (
        "A.10",
        {"foo": "bar"},
        [{"op": "add", "path": "/child", "value": {"grandchild": {}}}],
        {"foo": "bar", "child": {"grandchild": {}}},
    ),
    ("A.11", {"foo": "bar"}, [{"op": "add", "path": "/baz", "value": "qux", "xyz": 123}], {"foo": "bar", "baz": "qux"}),
    ("A.14", {"/": 9, "~1": 10}, [{"op": "test", "path": "/~01", "value": 10}], {"/": 9, "~1": 10}),
    (
        "A.16",
        {"foo": ["bar"]},
        [{"op": "add", "path": "/foo/-", "value": ["abc", "def"]}],
        {"foo": ["bar", ["abc", "def"]]},
    ),
]
REFUSED: list[tuple[str, Any, list[dict[str, Any]], str]] = [
    ("A.9", {"baz": "qux"}, [{"op": "test", "path": "/baz", "value": "bar"}], "patch.0.value"),
    ("A.12", {"foo": "bar"}, [{"op": "add", "path": "/baz/bat", "value": "qux"}], "patch.0.path"),
    ("A.15", {"/": 9, "~1": 10}, [{"op": "test", "path": "/~01", "value": "10"}], "patch.0.value"),
    ("into itself", {"a": {"b": {}}}, [{"op": "move", "from": "/a", "path": "/a/b/c"}], "patch.0.path"),
    ("not there", {"a": 1}, [{"op": "test", "path": "/a", "value": 1}, {"op": "remove", "path": "/b"}], "patch.1.path"),
    ("beyond the list", {"a": [1]}, [{"op": "add", "path": "/a/2", "value": 1}], "patch.0.path"),
    ("a leading zero", {"a": [1, 2]}, [{"op": "remove", "path": "/a/01"}], "patch.0.path"),
    ("true is not 1", {"a": [True]}, [{"op": "test", "path": "/a", "value": [1]}], "patch.0.value"),
    ("no pointer", {"a": 1}, [{"op": "remove", "path": "a"}], "patch.0.path"),
    ("a stray tilde", {"a": 1}, [{"op": "remove", "path": "/a~2"}], "patch.0.path"),
    ("no value", {"a": 1}, [{"op": "add", "path": "/b"}], "patch.0.value"),
    ("the whole", {"a": 1}, [{"op": "remove", "path": ""}], "patch.0.path"),
]


@pytest.mark.parametrize(
    ("document", "patch", "expected"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_examples_of_the_standard(document: Any, patch: list[dict[str, Any]], expected: Any) -> None:
    before = repr(document)
    assert patched(document, patch) == expected
    assert repr(document) == before


@pytest.mark.parametrize(
    ("document", "patch", "path"), [case[1:] for case in REFUSED], ids=[case[0] for case in REFUSED]
)
def test_what_cannot_be_carried_out_names_the_operation(document: Any, patch: list[dict[str, Any]], path: str) -> None:
    with pytest.raises(RequestRefused) as refused:
        patched(document, patch)
    assert [fault.path for fault in refused.value.faults] == [path]


def test_a_replaced_value_keeps_its_place_among_the_names() -> None:
    changed = patched({"a": 1, "b": 2, "c": 3}, [{"op": "replace", "path": "/b", "value": 5}])
    assert list(changed) == ["a", "b", "c"]


def test_the_whole_document_may_be_replaced() -> None:
    assert patched({"a": 1}, [{"op": "replace", "path": "", "value": {"b": None}}]) == {"b": None}


def test_copies_of_copies_do_not_fill_the_memory() -> None:
    double = [{"op": "copy", "from": "/a", "path": "/a/-"} for _ in range(60)]
    with pytest.raises(RequestRefused) as refused:
        patched({"a": ["x" * 1000]}, double)
    assert refused.value.faults[0].path.startswith("patch")


def test_a_document_does_not_grow_deeper_than_one_that_is_sent_whole() -> None:
    deeper = [{"op": "add", "path": "/a" * depth, "value": {}} for depth in range(1, 42)]
    with pytest.raises(RequestRefused):
        patched({}, deeper)
    assert patched({}, deeper[:40])
