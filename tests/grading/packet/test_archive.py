"""Archives of packets: the same files give the same bytes."""

from __future__ import annotations

import io
import time
import zipfile

from grading.packet import archive

FILES = {"contents.txt": b"one\n", "order-1/grade.json": b"{}", "order-1/naïve.txt": "é".encode()}


def test_an_archive_is_a_function_of_its_files() -> None:
    first = archive(FILES)
    time.sleep(2.1)  # the format tells times to two seconds
    assert archive(dict(FILES)) == first


def test_an_archive_gives_its_files_back_in_their_order() -> None:
    with zipfile.ZipFile(io.BytesIO(archive(FILES))) as packed:
        assert packed.namelist() == list(FILES)
        assert {name: packed.read(name) for name in packed.namelist()} == FILES
        assert {entry.date_time for entry in packed.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_other_files_give_another_archive() -> None:
    assert archive({**FILES, "contents.txt": b"two\n"}) != archive(FILES)
    assert archive(dict(reversed(FILES.items()))) != archive(FILES)
