"""What a person reads when the library refuses, and the exit code that goes with it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

import grading
from api.command import main
from grading.errors import (
    Conflict,
    DocumentFaults,
    Fault,
    RelationInConflict,
    RequestFaults,
    RulerOutOfReach,
    SizewrightError,
    Stopped,
)

FAULTS = (
    Fault("pieces.band.outline", "it has no height", "give a height"),
    Fault("seams.side", "edge 'rim' is not there: \x1b[2J", "name one of top, right"),
)
RELATIONS = (
    RelationInConflict("rule:shoulder", "handle_length is at least 600 mm", "worn on a shoulder", "rules.shoulder"),
    RelationInConflict("asked:handle_length", "handle_length is 400 mm", "this was asked", "request.set"),
)


@pytest.fixture
def pattern(tmp_path: Path) -> str:
    path = tmp_path / "pattern.json"
    path.write_text('{"name": "tote"}', encoding="utf-8")
    return str(path)


def refusing(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> None:
    """Has the library refuse every document."""

    def refuse(data: Any) -> None:
        raise error

    for entrance in ("read_document", "check_document"):
        monkeypatch.setitem(vars(grading), entrance, refuse)


def test_all_faults_are_listed_each_with_its_place_and_remedy(
    pattern: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    refusing(monkeypatch, DocumentFaults(FAULTS))
    assert main(["check", pattern]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.splitlines() == [
        "The pattern has 2 faults:",
        "  pieces.band.outline: it has no height",
        "    remedy: give a height",
        "  seams.side: edge 'rim' is not there: ?[2J",
        "    remedy: name one of top, right",
    ]


def test_faults_come_as_json_where_json_was_asked_for(
    pattern: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    refusing(monkeypatch, RequestFaults(FAULTS[:1]))
    assert main(["check", "--json", pattern]) == 1
    told = capsys.readouterr()
    assert told.err == ""
    wanted = {"path": "pieces.band.outline", "problem": "it has no height", "remedy": "give a height"}
    assert json.loads(told.out) == {"faults": [wanted]}


def test_a_conflict_is_told_with_the_reasons_of_its_rules(
    pattern: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    refusing(monkeypatch, Conflict(RELATIONS))
    assert main(["grade", pattern, "--size", "base"]) == 1
    lines = capsys.readouterr().err.splitlines()
    assert lines[1:3] == [
        "  handle_length is at least 600 mm (rules.shoulder)",
        "    because: worn on a shoulder",
    ]
    assert len(lines) == 5


def test_a_ruler_out_of_reach_is_told_with_what_would_reach(
    pattern: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    refusing(monkeypatch, RulerOutOfReach(RELATIONS[:1], "5 mm", "a ruler of 1 mm"))
    assert main(["grade", pattern, "--size", "base"]) == 1
    told = capsys.readouterr().err
    assert told.startswith("On a ruler of 5 mm these cannot be kept:")
    assert told.endswith("  remedy: a ruler of 1 mm\n")
    assert main(["grade", pattern, "--size", "base", "--json"]) == 1
    content = json.loads(capsys.readouterr().out)
    assert (content["ruler"], content["remedy"]) == ("5 mm", "a ruler of 1 mm")
    assert content["relations"][0]["id"] == "rule:shoulder"


@pytest.mark.parametrize("error", [Stopped("stopped early"), SizewrightError("something else")])
def test_every_refusal_of_the_library_has_a_text_and_code_1(
    error: SizewrightError, pattern: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    refusing(monkeypatch, error)
    assert main(["check", pattern]) == 1
    assert str(error) in capsys.readouterr().err


def test_an_unreadable_file_is_named_and_ends_with_code_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "no such file\x07.json"]) == 2
    assert capsys.readouterr().err == "sizewright: no such file?.json cannot be read: No such file or directory\n"


def test_an_interrupted_command_ends_as_shells_expect(pattern: str, monkeypatch: pytest.MonkeyPatch) -> None:
    refusing(monkeypatch, KeyboardInterrupt())
    assert main(["check", pattern]) == 130


@pytest.mark.parametrize("words", [["--help"], ["grade", "--help"], ["verify", "--help"]])
def test_help_documents_the_exit_codes(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main(words)
    assert caught.value.code == 0
    told = capsys.readouterr().out
    for code in ("  0  fine", "  1  ", "  2  "):
        assert code in told


def test_a_command_that_there_is_not_ends_with_code_2(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main(["publish"])
    assert caught.value.code == 2
    assert "usage: sizewright" in capsys.readouterr().err
