"""Tables fit the terminal, numbers stay whole, and nothing steers the terminal."""

from __future__ import annotations

from api.command.tables import printable, table

HEADINGS = ("piece", "count", "across")
SIDES = ("left", "right", "right")
ROWS = [("front panel of the outer bag", "2", "1300 mm"), ("tab", "10", "30 mm")]


def test_words_stand_left_and_numbers_right() -> None:
    lines = table(HEADINGS, SIDES, ROWS).splitlines()
    assert lines[2] == "front panel of the outer bag      2  1300 mm"
    assert lines[3] == "tab                              10    30 mm"


def test_a_narrow_terminal_shortens_words_but_never_numbers() -> None:
    lines = table(HEADINGS, SIDES, ROWS, width=30).splitlines()
    assert max(map(len, lines)) == 30
    assert lines[2] == "front panel o…      2  1300 mm"


def test_a_terminal_too_narrow_for_the_numbers_gets_them_whole_all_the_same() -> None:
    lines = table(HEADINGS, SIDES, ROWS, width=5).splitlines()
    assert lines[2].endswith("2  1300 mm")


def test_a_text_cannot_steer_the_terminal() -> None:
    assert printable("tote\x1b[2J\u202e\n") == "tote?[2J??"
    assert "\x1b" not in table(("piece",), ("left",), [["\x1b[31mred"]])
