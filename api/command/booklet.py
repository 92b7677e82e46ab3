"""`sizewright booklet`: a size of a pattern, or all of them, as a printed booklet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import grading
from api.command.files import Unreadable, read_file, write_bytes

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping

QUICKLY = {"effort": "quick", "widths": []}


def run(options: Namespace) -> int:
    """Writes the booklet, and tells where it is."""
    document = read_file(options.pattern)
    if options.all and options.layouts is not None:
        raise Unreadable("--layouts is for one size; leave it out with --all.")
    content = _all_sizes(document, options) if options.all else _one_size(document, options)
    write_bytes(options.out, content)
    print(f"The booklet is in {options.out}")
    return 0


def _all_sizes(document: dict[str, Any], options: Namespace) -> bytes:
    content: bytes = grading.booklet_of_all(document, options.paper, lay=not options.without_layouts)
    return content


def _one_size(document: dict[str, Any], options: Namespace) -> bytes:
    grade = grading.grade_size(grading.read_document(document), size=options.size)
    layouts: Mapping[str, Any] | None = None
    if options.layouts is not None:
        layouts = read_file(options.layouts)
    elif not options.without_layouts:
        layouts = grading.layouts_document(grading.layouts_of(grade, QUICKLY))
    content: bytes = grading.booklet_of(document, [grading.size_papers(grade, layouts)], options.paper)
    return content
