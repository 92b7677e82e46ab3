"""The command line: two to four files in, a table of claims out. 0: all hold, 1: some fail, 2: unreadable input."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, NoReturn

from grading.verify.cloth.layouts import judge_layouts
from grading.verify.judging.conflict import judge_conflict
from grading.verify.judging.judgement import judge
from grading.verify.judging.measured import MeasuredVerdict, judge_measured
from grading.verify.judging.solution_map import judge_map
from grading.verify.printing.printed import shown
from grading.verify.supplies.supplies import judge_supplies
from grading.verify.unreadable import UnreadableInput, refuse
from grading.verify.verdict import CLOSING, Claim, Verdict

HOLDS, FAILS, UNREADABLE = 0, 1, 2
LARGEST_FILE = 50_000_000
ABOUT_WIDTH, NUMBER_WIDTH = 44, 24


class _Arguments(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise UnreadableInput(message)


def main(arguments: Sequence[str]) -> int:
    """Judge the two files that the arguments name; print, and return the exit code."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="backslashreplace")
    try:
        given = _parser().parse_args(arguments)
        least, most = (1, 1) if given.layouts else (1, 2) if given.supplies else (0, 0)
        if not least <= len(given.further) <= most:
            refuse(f"takes {least + 2}{'' if least == most else f' or {most + 2}'} files", "the command")
        pattern, second, *further = (read_json(path) for path in (given.pattern, given.second, *given.further))
        if given.measured:
            return _print_measured(judge_measured(pattern, second), given.json)
        if given.layouts:
            verdict = judge_layouts(pattern, second, *further)
        elif given.supplies:
            verdict = judge_supplies(pattern, second, *further)
        else:
            judges = judge_conflict if given.conflict else judge_map if given.map else judge
            verdict = judges(pattern, second)
        return _print_verdict(verdict, given.json, given.quiet)
    except UnreadableInput as error:
        text = str(error)
        sys.stderr.write(f"cannot be judged: {text if text.isprintable() else ascii(text)}\n")
    except (RecursionError, MemoryError, OverflowError, ValueError) as error:
        sys.stderr.write(f"cannot be judged: the input is too large or too deep ({type(error).__name__})\n")
    except BrokenPipeError:
        # Whoever read the table has gone; there is nobody to tell.
        sys.stdout = None
    return UNREADABLE


def _parser() -> _Arguments:
    parser = _Arguments(
        prog="python -m grading.verify",
        description="Judges a grade against its pattern. Exit code 0: all claims hold, 1: some fail, 2: unreadable.",
    )
    parser.add_argument("pattern", metavar="PATTERN.json", type=Path)
    parser.add_argument("second", metavar="GRADE.json", type=Path)
    parser.add_argument("further", metavar="FURTHER.json", type=Path, nargs="*")
    parser.add_argument("--json", action="store_true", help="print the verdict as JSON")
    parser.add_argument("--quiet", action="store_true", help="print counts and failing claims only")
    second = parser.add_mutually_exclusive_group()
    second.add_argument("--measured", action="store_true", help="the second file holds pieces measured at the table")
    second.add_argument("--conflict", action="store_true", help="the second file says why a size cannot be made")
    second.add_argument("--map", action="store_true", help="the second file says what the pattern decides in all sizes")
    second.add_argument("--layouts", action="store_true", help="the third file says how the pieces lie on each cloth")
    second.add_argument(
        "--supplies", action="store_true", help="the third file says what to buy, and a fourth how the cloth is laid"
    )
    return parser


def read_json(path: Path) -> Any:
    """Return what a JSON file holds; NaN, infinities, and keys that stand there twice are refused."""
    name = shown(path.name)
    try:
        if path.stat().st_size > LARGEST_FILE:
            refuse(f"is larger than {LARGEST_FILE // 1_000_000} MB", name)
        return json.loads(path.read_bytes(), parse_constant=_refuse_constant, object_pairs_hook=_object)
    except UnreadableInput as error:
        raise UnreadableInput(error.message, name) from None
    except OSError as error:
        raise UnreadableInput(error.strerror or "cannot be opened", name) from None
    except (ValueError, RecursionError, MemoryError) as error:
        reason = "is too deep" if isinstance(error, RecursionError) else "is not JSON"
        raise UnreadableInput(reason, name) from None


def _refuse_constant(text: str) -> NoReturn:
    refuse(f"holds {text}, which is no number")


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        refuse("holds an object with the same field twice")
    return found


def _print(lines: Iterable[str]) -> None:
    sys.stdout.write("\n".join(lines) + "\n")


def _table(claims: Iterable[Claim]) -> Iterable[str]:
    kind = ""
    for claim in claims:
        if claim.kind != kind:
            kind = claim.kind
            yield f"\n{kind}"
        mark = "ok   " if claim.holds else "FAILS"
        about = claim.about.removeprefix(f"{kind}:")
        yield f"  {mark} {about:<{ABOUT_WIDTH}} {claim.left:>{NUMBER_WIDTH}}   {claim.right}"


def _print_verdict(verdict: Verdict, as_json: bool, quiet: bool) -> int:
    code = HOLDS if verdict.holds else FAILS
    if as_json:
        _print([json.dumps(verdict.to_json())])
        return code
    if quiet:
        _print(f"{kind:<14}{count:>7}" for kind, count in verdict.counts_by_kind.items())
    else:
        _print(_table(verdict.claims))
    failing = verdict.failing
    if failing:
        _print(["\nFailing:", *(f"  {claim.about}: {claim.says}" for claim in failing)])
    count = len(verdict.claims)
    _print([f"\n{count - len(failing)} of {count} claims hold.", CLOSING])
    return code


def _print_measured(verdict: MeasuredVerdict, as_json: bool) -> int:
    code = HOLDS if verdict.holds else FAILS
    if as_json:
        _print([json.dumps(verdict.to_json())])
        return code
    for seam in verdict.seams:
        _print([f"  {seam.seam:<24} {seam.join:>14} {seam.to:>14}   {seam.verdict}: {seam.says}"])
    if verdict.unmeasured:
        _print([f"Not every edge measured: {', '.join(verdict.unmeasured)}"])
    held = sum(seam.holds for seam in verdict.seams)
    _print([f"\n{held} of {len(verdict.seams)} measured seams can be sewn as they are.", CLOSING])
    return code
