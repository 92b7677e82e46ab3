"""What is printed of a size: templates at true scale, and the booklet."""

from __future__ import annotations

from pathlib import Path

from demo_requests.client import DXF, PDF, SVG, Client

FORMS = {"pdf": PDF, "svg": SVG, "dxf": DXF}


def print_size(client: Client, grade: str, layouts: str, folder: Path, size: str) -> list[Path]:
    """Writes the templates and the booklet of the grade at this address to the folder, and gives their files."""
    written = []
    for ending, form in FORMS.items():
        written.append(folder / f"{size}.sheets.{ending}")
        written[-1].write_bytes(client.get(f"{grade}/sheets?paper=A4", accept=form).body)
    written.append(folder / f"{size}.booklet.pdf")
    booklet = f"{grade}/booklet?paper=A4&layouts={layouts.rpartition('/')[2]}"
    written[-1].write_bytes(client.get(booklet, accept=PDF).body)
    return written
