"""Files are read within bounds, and what cannot be read is refused with its reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from api.command.files import LARGEST, Unreadable, read_file, write_json


def written(folder: Path, content: bytes) -> str:
    path = folder / "pattern.json"
    path.write_bytes(content)
    return str(path)


def test_an_object_is_read_with_its_numbers_as_typed(tmp_path: Path) -> None:
    assert read_file(written(tmp_path, b'{"base": 12.5}')) == {"base": 12.5}


def test_a_byte_order_mark_of_an_editor_does_no_harm(tmp_path: Path) -> None:
    assert read_file(written(tmp_path, b'\xef\xbb\xbf{"name": "tote"}')) == {"name": "tote"}


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "not JSON"),
        (b"{", "Line 1, column 2"),
        (b'{"name": "\xff"}', "not UTF-8"),
        (b'{"base": NaN}', "NaN"),
        (b'{"base": 1, "base": 2}', "more than once"),
        (b'{"name": "\\u0000"}', "NUL"),
        (b"[" * 5000 + b"]" * 5000, "deep"),
        (b'{"base": ' + b"9" * 400 + b"}", "exactly as typed"),
        (b"[1, 2]", "not an object"),
    ],
    ids=["empty", "broken", "encoding", "nan", "twice", "nul", "deep", "digits", "list"],
)
def test_what_is_no_pattern_is_refused_with_its_reason(tmp_path: Path, content: bytes, reason: str) -> None:
    name = written(tmp_path, content)
    with pytest.raises(Unreadable, match=reason) as caught:
        read_file(name)
    assert name in str(caught.value)


def test_a_file_beyond_the_limit_is_refused_before_it_is_read_whole(tmp_path: Path) -> None:
    name = written(tmp_path, b" " * (LARGEST + 1))
    with pytest.raises(Unreadable, match="larger than 10 MB"):
        read_file(name)


@pytest.mark.parametrize("name", ["missing.json", "bad\0name.json", "."])
def test_a_file_that_cannot_be_opened_is_named(name: str) -> None:
    with pytest.raises(Unreadable, match="cannot be read"):
        read_file(name)


def test_a_grade_is_written_so_that_it_reads_back(tmp_path: Path) -> None:
    write_json(tmp_path / "grade.json", {"name": "Märkt", "width": "10 3/8 in"})
    assert read_file(str(tmp_path / "grade.json")) == {"name": "Märkt", "width": "10 3/8 in"}


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="cannot be written"):
        write_json(tmp_path / "missing" / "grade.json", {})
