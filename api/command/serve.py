"""`sizewright serve`: the API on this machine."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from api.command.files import Unreadable
from api.command.stored import settings, with_database
from api.operations.opening import NoKeyYet, prepare
from api.server import serve

if TYPE_CHECKING:
    from argparse import Namespace
    from pathlib import Path

    from api.settings import Settings


def run(options: Namespace) -> int:
    """Serves until it is stopped; what the command line leaves open comes from the environment."""
    given = {name: value for name in ("host", "port") if (value := getattr(options, name)) is not None}
    chosen = replace(settings(), **given)
    file = _prepared(chosen)
    print(f"Serving at http://{chosen.host}:{chosen.port} until Ctrl-C.", flush=True)
    if file is not None:
        print(f"The first key is in {file}", flush=True)
    serve(chosen)
    return 0


def _prepared(chosen: Settings) -> Path | None:
    """The file of the first key, if one was made; raises Unreadable where nobody could ever sign in."""
    try:
        return with_database(chosen.database_url, lambda database: prepare(database, chosen))
    except (NoKeyYet, OSError) as error:
        raise Unreadable(str(error)) from error
