from __future__ import annotations

import json
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.body import MOST_DEPTH, ContentRefused, UnreadableBody, read_json

TEXTS = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=8)
NUMBERS = st.integers(-(10**15) + 1, 10**15 - 1) | st.decimals(
    -(10**9), 10**9, places=5, allow_nan=False, allow_infinity=False
).map(float)
VALUES = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=20,
)


@given(VALUES)
def test_json_within_the_bounds_comes_as_it_was_written(value: object) -> None:
    assert read_json(json.dumps(value).encode()) == value


@given(st.binary(max_size=200))
def test_bytes_of_any_kind_are_read_or_refused(body: bytes) -> None:
    try:
        read_json(body)
    except (UnreadableBody, ContentRefused) as refused:
        assert str(refused)


@given(st.decimals(-(10**9), 10**9, allow_nan=False, allow_infinity=False, places=6))
def test_a_number_means_what_was_typed(number: object) -> None:
    assert Fraction(str(read_json(str(number).encode()))) == Fraction(str(number))


def test_the_deepest_nesting_that_is_taken() -> None:
    assert read_json(b"[" * MOST_DEPTH + b"]" * MOST_DEPTH) is not None
    with pytest.raises(ContentRefused):
        read_json(b"[" * (MOST_DEPTH + 1) + b"]" * (MOST_DEPTH + 1))


def test_all_faults_are_listed_with_their_places() -> None:
    with pytest.raises(ContentRefused) as refused:
        read_json(b'{"a": {"x": 1, "x": 2, "y": "\\u0000"}, "b": [1e999]}')
    assert [fault.path for fault in refused.value.faults] == ["a", "a.y", "b.0"]


def test_faults_without_end_are_cut_off() -> None:
    with pytest.raises(ContentRefused) as refused:
        read_json(json.dumps(["\0"] * 1000).encode())
    assert len(refused.value.faults) == 100
