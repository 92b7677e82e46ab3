"""What may stand on the command line of `sizewright`."""

from __future__ import annotations

import argparse
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from api.command.access_arguments import add_access
from api.command.storage_arguments import add_storage

if TYPE_CHECKING:
    from argparse import ArgumentParser, _SubParsersAction

CODES = """\
exit codes:
  0  fine: no faults, the size was found, all claims hold
  1  the pattern or the request has faults, the wishes contradict each other, no size lies on the ruler,
     or a claim does not hold
  2  a file cannot be read as what it should be, or the command is not written as it should be
"""
OTHERS: dict[str, Literal["in proportion", "at base"]] = {"in-proportion": "in proportion", "at-base": "at base"}
MOST_SECONDS = 3600
PATTERN_HELP = "the pattern document, a JSON file (- for the standard input)"


def parser() -> ArgumentParser:
    """The parser of the whole command line; each command has a help page of its own."""
    top = argparse.ArgumentParser(
        prog="sizewright",
        description="Grades sewn bag patterns to any size and shows that every piece still joins.",
        epilog=CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    top.add_argument("--version", action="version", version=f"sizewright {_version()}")
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _serve(commands)
    _check(commands)
    _grade(commands)
    _batch(commands)
    _chart(commands)
    _difference(commands)
    _map(commands)
    _range(commands)
    _layouts(commands)
    _supplies(commands)
    _quote(commands)
    _bulk(commands)
    _booklet(commands)
    _sheets(commands)
    _substitute(commands)
    _verify(commands)
    add_access(commands, _command)
    add_storage(commands, _command)
    return top


def _command(commands: _SubParsersAction[ArgumentParser], name: str, says: str) -> ArgumentParser:
    return commands.add_parser(
        name,
        help=says,
        description=says[0].upper() + says[1:] + ".",
        epilog=CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )


def _serve(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "serve", "serve the API, until Ctrl-C")
    command.add_argument("--host", help="address to listen on (default SIZEWRIGHT_HOST, or 127.0.0.1)")
    command.add_argument("--port", type=_port, help="port to listen on (default SIZEWRIGHT_PORT, or 8000)")


def _check(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "check", "check a pattern and list all of its faults, each with a remedy")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    _json(command)


def _grade(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "grade", "grade a pattern to a size and print its cut list")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    size = command.add_mutually_exclusive_group(required=True)
    size.add_argument("--size", metavar="NAME", help="a size that the pattern names, or base")
    size.add_argument("--scale", metavar="FACTOR", help="everything in proportion, such as 7/10 or 1.25")
    size.add_argument(
        "--set",
        metavar="DIMENSION=LENGTH",
        action="append",
        type=_setting,
        help="this dimension to this length, such as width=320mm; may be given several times",
    )
    command.add_argument(
        "--others",
        choices=sorted(OTHERS),
        help="with --set: the dimensions that are not set (default in-proportion)",
    )
    command.add_argument("--ruler", metavar="STEP", help="with --scale or --set: the ruler's step, such as 1/8in")
    command.add_argument("--output", metavar="FILE", type=Path, help="write the grade to this file, as JSON")
    _json(command)


def _batch(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(
        commands, "batch", "find many sizes of a pattern, before the ruler, and print a JSON line for each"
    )
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    command.add_argument(
        "requests",
        metavar="REQUESTS.csv",
        help="a table: its first line is the word scale, or names the dimensions that the rows set",
    )
    command.add_argument(
        "--others", choices=sorted(OTHERS), help="the dimensions that are not set (default in-proportion)"
    )
    _option(command)


def _chart(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "chart", "print all named sizes of a pattern beside each other")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    form = command.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print JSON in place of a table")
    form.add_argument("--csv", action="store_true", help="print comma-separated values in place of a table")


def _difference(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "difference", "tell what changes between two states of a pattern, size by size")
    command.add_argument("old", metavar="OLD", help="the older pattern document, a JSON file")
    command.add_argument("new", metavar="NEW", help="the newer pattern document, a JSON file")
    _json(command)


def _map(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "map", "print what the seams and rules of a pattern decide in every size")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    _option(command)
    command.add_argument("--ruler", metavar="STEP", help="the ruler's step, such as 1/8in (default the pattern's)")
    _json(command)


def _range(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "range", "tell whether every size between given ends can be made")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    command.add_argument(
        "--choose",
        metavar="DIMENSION=LEAST..MOST",
        action="append",
        type=_setting,
        help="the ends of a dimension that a customer may set, such as width=300mm..420mm; may be given several times "
        "(default those of the pattern's order form)",
    )
    command.add_argument(
        "--others",
        choices=sorted(OTHERS),
        help="the dimensions that are not set (default the order form's, or at-base)",
    )
    _option(command)
    _json(command)


def _layouts(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "layouts", "lay the pieces of a size on each cloth, and tell how much to buy")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    _named_size(command)
    command.add_argument(
        "--style", choices=["scissors", "rotary", "folded"], help="how the cloth is cut (default scissors)"
    )
    command.add_argument("--gap", metavar="LENGTH", help="what the blade needs between pieces (default 0mm)")
    command.add_argument("--edge", metavar="LENGTH", help="what is kept clear at both sides of the width (default 0mm)")
    command.add_argument("--spare", metavar="SHARE", help="what is bought besides what is needed (default 5%%)")
    command.add_argument(
        "--effort", choices=["quick", "usual", "thorough"], help="how long a short layout is searched for"
    )
    command.add_argument("--seconds", metavar="NUMBER", type=_seconds, help="have it done within this time")
    command.add_argument("--svg", metavar="FILE", type=Path, help="write a picture of all cloths to this file, as SVG")
    _json_or_csv(command)


def _supplies(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "supplies", "list zips, webbing, elastic, binding, hardware and thread of a size")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    _named_size(command)
    command.add_argument("--layouts", metavar="FILE", help="the layouts of this size, a JSON file: lists the cloth too")
    command.add_argument("--waste", metavar="SHARE", help="thread for ends and trials (default 15%%)")
    command.add_argument("--stitches", metavar="NUMBER", help="stitches in an inch (default 10)")
    command.add_argument("--reel", metavar="LENGTH", help="thread on a reel (default 100m)")
    command.add_argument(
        "--unit", metavar="LENGTH", help="what webbing and the like are sold by (default 10cm, or 1/8yd)"
    )
    command.add_argument(
        "--ratio",
        metavar="CLASS=NUMBER",
        action="append",
        type=_setting,
        help="thread for seam of a class of stitch, as measured, such as 504=14; may be given several times",
    )
    _json_or_csv(command)


def _quote(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "quote", "tell what a bag costs by the pattern's own price rule, line by line")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    command.add_argument("--size", metavar="NAME", help="a size that the order form offers (default base)")
    command.add_argument(
        "--set",
        metavar="DIMENSION=LENGTH",
        action="append",
        type=_setting,
        help="a measure of one's own within the order form, such as width=320mm; may be given several times",
    )
    _option(command)
    command.add_argument(
        "--cloth",
        metavar="ROLE=NAME",
        action="append",
        type=_setting,
        help="a cloth that the order form offers (default the first); may be given several times",
    )
    command.add_argument("--quantity", metavar="NUMBER", type=int, default=1, help="how many bags (default 1)")
    _json(command)


def _bulk(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "bulk", "tell how thick the layers lie at every seam of a size")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    _named_size(command)
    command.add_argument("--lift", metavar="LENGTH", help="how thick the machine can sew (default 6mm)")
    command.add_argument(
        "--pressed", choices=["apart", "aside"], help="how allowances are pressed: apart (default), or to one side"
    )
    _json(command)


def _booklet(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "booklet", "print a size of a pattern, or all of them, as a booklet in PDF")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    size = command.add_mutually_exclusive_group()
    size.add_argument("--size", metavar="NAME", default="base", help="a size that the pattern names (default base)")
    size.add_argument("--all", action="store_true", help="all sizes that the pattern names, a chapter to each")
    command.add_argument("--out", metavar="FILE", type=Path, required=True, help="write the booklet to this file")
    command.add_argument("--paper", choices=["A4", "letter"], default="A4", help="the paper (default A4)")
    command.add_argument(
        "--layouts", metavar="FILE", help="with one size: its layouts, a JSON file, in place of quickly made ones"
    )
    command.add_argument("--without-layouts", action="store_true", help="do not lay the pieces, which takes a while")


def _sheets(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "sheets", "draw the templates of a pattern at true scale, as PDF, SVG and DXF")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    size = command.add_mutually_exclusive_group()
    size.add_argument("--size", metavar="NAME", default="base", help="a size that the pattern names (default base)")
    size.add_argument("--all", action="store_true", help="all sizes that the pattern names, nested on each other")
    command.add_argument("--out", metavar="FOLDER", type=Path, required=True, help="write the files to this folder")
    command.add_argument("--form", choices=["pdf", "svg", "dxf"], help="only this form (default all three)")
    command.add_argument("--paper", metavar="NAME", help="of PDF: A4 (default), A3, letter, or as in roll-36in")
    command.add_argument("--pieces", metavar="NAMES", help="only these pieces, as in panel,pocket")
    command.add_argument(
        "--measures", choices=["rectangles", "none"], help="list rectangles with their measures (default none)"
    )
    command.add_argument(
        "--corners", choices=["large", "none"], help="of rectangles larger than a page only the corners (default none)"
    )
    command.add_argument("--layouts", action="store_true", help="the cutting layouts too, as PDF and SVG")


def _substitute(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(
        commands, "substitute", "change cloths, split pieces, use mesh or make a toile, and tell what that comes to"
    )
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    command.add_argument("changes", metavar="CHANGES", help='the changes, a JSON file: {"changes": [...]}')
    command.add_argument("--size", metavar="NAME", default="base", help="the size that cloth is told of (default base)")
    command.add_argument("--out", metavar="FILE", type=Path, help="write the new pattern document to this file")
    command.add_argument("--without-cloth", action="store_true", help="do not lay the pieces, which takes a while")
    _json(command)


def _named_size(command: ArgumentParser) -> None:
    command.add_argument("--size", metavar="NAME", default="base", help="a size that the pattern names (default base)")


def _verify(commands: _SubParsersAction[ArgumentParser]) -> None:
    command = _command(commands, "verify", "verify a grade against its pattern, independently of how it was made")
    command.add_argument("pattern", metavar="PATTERN", help=PATTERN_HELP)
    command.add_argument("grade", metavar="GRADE", help="the grade, a JSON file")
    _json(command)


def _option(command: ArgumentParser) -> None:
    command.add_argument(
        "--option",
        metavar="OPTION=CHOICE",
        action="append",
        type=_setting,
        help="the choice of an option of the pattern (default the usual one); may be given several times",
    )


def _json_or_csv(command: ArgumentParser) -> None:
    form = command.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print JSON in place of tables")
    form.add_argument("--csv", action="store_true", help="print comma-separated values in place of tables")


def _json(command: ArgumentParser) -> None:
    command.add_argument("--json", action="store_true", help="print JSON in place of tables")


def _setting(text: str) -> tuple[str, str]:
    name, equals, length = (part.strip() for part in text.partition("="))
    if not (name and equals and length):
        raise argparse.ArgumentTypeError(f"{text!r} is not NAME=VALUE, such as width=320mm")
    return name, length


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 0 < seconds <= MOST_SECONDS:
        raise argparse.ArgumentTypeError(f"{text!r} is no time: a number above 0 and at most {MOST_SECONDS}")
    return seconds


def _port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:6]) <= 65535):
        raise argparse.ArgumentTypeError(f"{text!r} is not a port: a whole number from 1 to 65535")
    return int(text)


def _version() -> str:
    try:
        return version("sizewright")
    except PackageNotFoundError:
        return "(not installed, run from its folder)"
