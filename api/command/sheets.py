"""`sizewright sheets`: templates of a size of a pattern, or of all of them nested, as PDF, SVG and DXF."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

import grading
from api.command.files import Unreadable, read_file, write_bytes, write_text

if TYPE_CHECKING:
    from argparse import Namespace
    from pathlib import Path

Form = Literal["pdf", "svg", "dxf"]

FORMS: tuple[Form, ...] = ("pdf", "svg", "dxf")
QUICKLY = {"effort": "quick", "widths": []}
"""How cloths are laid where layouts are drawn."""


def run(options: Namespace) -> int:
    """Writes the files into a folder, and tells which."""
    document = read_file(options.pattern)
    if options.all and options.layouts:
        raise Unreadable("--layouts is for one size; leave it out with --all.")
    if options.pieces is not None and not all(options.pieces.split(",")):
        raise Unreadable("--pieces takes names with commas between them, as in panel,pocket.")
    _folder(options.out)
    written = _all_sizes(document, options) if options.all else _one_size(document, options)
    print(*(f"{path} is written" for path in written), sep="\n")
    return 0


def settings(options: Namespace) -> dict[str, Any]:
    """The settings of the command line, as the library has them."""
    given = {name: getattr(options, name) for name in ("paper", "measures", "corners")}
    found = {name: value for name, value in given.items() if value is not None}
    return found if options.pieces is None else {**found, "pieces": options.pieces.split(",")}


def _all_sizes(document: dict[str, Any], options: Namespace) -> list[Path]:
    return [
        _kept(options.out / f"sheets-all.{form}", grading.nested_sheets(document, settings(options), form))
        for form in _forms(options)
    ]


def _one_size(document: dict[str, Any], options: Namespace) -> list[Path]:
    grade = grading.grade_size(grading.read_document(document), size=options.size)
    written = grading.grade_document(grade)
    name = options.size
    paths = [
        _kept(options.out / f"sheets-{name}.{form}", grading.grade_sheets(written, document, settings(options), form))
        for form in _forms(options)
    ]
    if options.layouts:
        layouts = grading.layouts_document(grading.layouts_of(grade, QUICKLY))
        printed = grading.layout_sheets(layouts, written, options.paper or "A4")
        paths.append(_kept(options.out / f"layouts-{name}.pdf", printed))
        picture = options.out / f"layouts-{name}.svg"
        write_text(picture, grading.layout_picture(layouts, written))
        paths.append(picture)
    return paths


def _forms(options: Namespace) -> tuple[Form, ...]:
    return FORMS if options.form is None else (options.form,)


def _kept(path: Path, content: bytes) -> Path:
    write_bytes(path, content)
    return path


def _folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Unreadable(f"{folder} cannot be made: {error.strerror}") from error
