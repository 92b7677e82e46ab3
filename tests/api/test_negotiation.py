from __future__ import annotations

import pytest

from api.negotiation import NotAcceptable, held_state, holds, preferred

JSON, CSV = "application/json", "text/csv"


@pytest.mark.parametrize(
    ("accept", "chosen"),
    [
        (None, JSON),
        ("", JSON),
        ("*/*", JSON),
        ("text/csv", CSV),
        ("TEXT/CSV", CSV),
        ("text/*", CSV),
        ("text/csv, application/json", JSON),
        ("text/csv, application/json;q=0.9", CSV),
        ("text/csv;q=0.1, */*;q=0.2", JSON),
        ("application/json;q=0, */*", CSV),
        ("application/*;q=0.3, text/csv;q=0.2", JSON),
        ("text/html, application/xhtml+xml, */*;q=0.8", JSON),
        ("text/csv; header=present; q=0.7, application/json;q=0.5", CSV),
    ],
)
def test_the_format_that_weighs_most_is_chosen(accept: str | None, chosen: str) -> None:
    # RFC 9110, section 12.5.1: the most specific range counts, and weights from 0 to 1.
    assert preferred(accept, [JSON, CSV]) == chosen


@pytest.mark.parametrize("accept", ["text/html", "application/json;q=0", "*/*;q=0", "text/csv;q=2", ";;,", "q=1"])
def test_a_format_that_is_not_offered_is_refused(accept: str) -> None:
    with pytest.raises(NotAcceptable, match="text/csv"):
        preferred(accept, [JSON, CSV])


@pytest.mark.parametrize(("header", "held"), [('"a"', True), ('W/"a"', True), ('"b", "a"', True), ("*", True)])
def test_if_none_match_compares_weakly(header: str, held: bool) -> None:
    # RFC 9110, section 13.1.2.
    assert holds(header, '"a"') is held


@pytest.mark.parametrize("header", [None, '"b"', "a", '"A"', ""])
def test_if_none_match_takes_no_other_state(header: str | None) -> None:
    assert not holds(header, '"a"')


@pytest.mark.parametrize(
    ("header", "state"),
    [(None, None), ("", None), ("*", "a"), ('"a"', "a"), ('"b", "a"', "a"), ('"b"', "b"), ('W/"a"', ""), ("a", "")],
)
def test_if_match_compares_strongly(header: str | None, state: str | None) -> None:
    # RFC 9110, section 13.1.1.
    assert held_state(header, "a") == state
