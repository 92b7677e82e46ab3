"""What may stand on the command line of `sizewright keys` and `sizewright workshops`."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from api.access.scopes import KEY_SCOPES

if TYPE_CHECKING:
    from argparse import ArgumentParser, _SubParsersAction
    from collections.abc import Callable

    Commands = _SubParsersAction[ArgumentParser]
    Command = Callable[[Commands, str, str], ArgumentParser]

MOST_DAYS = 3650
MOST_TEXT = 200


def add_access(commands: Commands, command: Command) -> None:
    """Adds both commands; `command` makes one by its name and by what it does."""
    keys = command(commands, "keys", "make, list and revoke keys to the API, in the database of DATABASE_URL")
    _keys(keys.add_subparsers(dest="action", required=True, metavar="ACTION"), command)
    workshops = command(commands, "workshops", "make and list workshops, which see nothing of each other")
    _workshops(workshops.add_subparsers(dest="action", required=True, metavar="ACTION"), command)


def _keys(actions: Commands, command: Command) -> None:
    new = command(actions, "new", "make a key and print it, this once")
    new.add_argument(
        "--scopes",
        required=True,
        type=_scopes,
        metavar="SCOPES",
        help=f"what it may do: {', '.join(KEY_SCOPES)}, with commas between",
    )
    new.add_argument("--workshop", metavar="ID", help="whose key it is (default the house's own)")
    new.add_argument("--says", metavar="TEXT", type=_text, default="", help="what it is for")
    new.add_argument("--days", type=_days, metavar="N", help="how many days it works (default for ever)")
    command(actions, "list", "list the keys of all workshops, without their secrets")
    revoke = command(actions, "revoke", "end a key at once")
    revoke.add_argument("key", metavar="KEY", help="the key's id, or the whole key")


def _workshops(actions: Commands, command: Command) -> None:
    new = command(actions, "new", "make a workshop and print its first key, which has all scopes")
    new.add_argument("name", metavar="NAME", type=_text, help="what it is called")
    command(actions, "list", "list the workshops with their ids")


def _scopes(text: str) -> frozenset[str]:
    scopes = frozenset(part.strip() for part in text.split(","))
    if unknown := sorted(scopes - set(KEY_SCOPES)):
        raise argparse.ArgumentTypeError(f"{', '.join(unknown)!r}: scopes are {', '.join(KEY_SCOPES)}")
    return scopes


def _text(text: str) -> str:
    if not text.isprintable() or len(text) > MOST_TEXT:
        raise argparse.ArgumentTypeError(f"a line of at most {MOST_TEXT} characters would do")
    return text


def _days(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:6]) <= MOST_DAYS):
        raise argparse.ArgumentTypeError(f"{text!r} is no number of days: a whole number from 1 to {MOST_DAYS}")
    return int(text)
