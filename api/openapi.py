"""Writes what is kept in the folder `openapi` anew: `python -m api.openapi [FOLDER]`."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from api.description import interface_description, pattern_schema
from api.resources.all import CONTROLLERS

FOLDER = Path(__file__).parents[1] / "openapi"


def files() -> dict[str, str]:
    """The files by name, with the text that they should have."""
    return {"openapi.json": _text(interface_description(CONTROLLERS)), "pattern.schema.json": _text(pattern_schema())}


def main(arguments: list[str]) -> None:
    """Writes the files into the folder named, or where they are kept."""
    folder = Path(arguments[0]) if arguments else FOLDER
    for name, text in files().items():
        (folder / name).write_text(text, encoding="utf-8")


def _text(value: dict[str, Any]) -> str:
    return json.dumps(value, indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    main(sys.argv[1:])
