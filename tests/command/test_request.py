"""What the command line asks for, as the size request that a pattern document would hold."""

from __future__ import annotations

from typing import Any

import pytest

from api.command.arguments import parser
from api.command.request import asked
from grading.errors import RequestFaults

DOCUMENT: dict[str, Any] = {"sizes": {"mini": {"scale": "7/10"}}}


def request_of(*words: str) -> tuple[str | None, dict[str, Any] | None]:
    return asked(parser().parse_args(["grade", "tote.json", *words]), DOCUMENT)


def test_a_named_size_is_asked_by_its_name() -> None:
    assert request_of("--size", "mini") == ("mini", None)


def test_a_named_size_on_another_ruler_is_a_request_of_its_own() -> None:
    assert request_of("--size", "mini", "--ruler", "1/8 in") == (None, {"scale": "7/10", "ruler": "1/8 in"})
    assert request_of("--size", "base", "--ruler", "5") == (None, {"scale": 1, "ruler": 5})
    assert DOCUMENT == {"sizes": {"mini": {"scale": "7/10"}}}


def test_a_scale_is_handed_on_as_it_was_typed() -> None:
    assert request_of("--scale", "7/10") == (None, {"scale": "7/10"})


def test_set_dimensions_are_texts_with_a_unit_or_numbers_in_the_patterns_unit() -> None:
    words = ("--set", "width=320 mm", "--set", "depth = 12.5", "--set", "height=400", "--others", "at-base")
    wanted = {"set": {"width": "320 mm", "depth": 12.5, "height": 400}, "others": "at base"}
    assert request_of(*words) == (None, wanted)


@pytest.mark.parametrize(
    ("words", "path"),
    [
        (("--size", "giant", "--ruler", "1 mm"), "size"),
        (("--scale", "1", "--others", "at-base"), "--others"),
        (("--set", "width=1", "--set", "width=2"), "--set width"),
    ],
)
def test_options_that_do_not_go_together_are_faults_with_a_remedy(words: tuple[str, ...], path: str) -> None:
    with pytest.raises(RequestFaults) as caught:
        request_of(*words)
    assert [fault.path for fault in caught.value.faults] == [path]
    assert caught.value.faults[0].remedy


@pytest.mark.parametrize(
    "words",
    [
        (),
        ("--size", "mini", "--scale", "2"),
        ("--set", "width"),
        ("--set", "=3"),
        ("--others", "sideways", "--set", "a=1"),
    ],
)
def test_misuse_ends_with_code_2(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        request_of(*words)
    assert caught.value.code == 2
    assert "usage: sizewright grade" in capsys.readouterr().err


@pytest.mark.parametrize("port", ["0", "65536", "9" * 5000, "-1", "http", "8000.0", "٣"])
def test_a_port_is_a_whole_number_that_there_is(port: str) -> None:
    with pytest.raises(SystemExit) as caught:
        parser().parse_args(["serve", "--port", port])
    assert caught.value.code == 2
