"""`sizewright serve`: the API on this machine."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from api.command.files import Unreadable
from api.server import serve
from api.settings import Settings, UnusableSetting

if TYPE_CHECKING:
    from argparse import Namespace


def run(options: Namespace) -> int:
    """Serves until it is stopped; what the command line leaves open comes from the environment."""
    try:
        settings = Settings.from_environment()
    except UnusableSetting as error:
        raise Unreadable(str(error)) from error
    given = {name: value for name in ("host", "port") if (value := getattr(options, name)) is not None}
    chosen = replace(settings, **given)
    print(f"Serving at http://{chosen.host}:{chosen.port} until Ctrl-C.", flush=True)
    serve(chosen)
    return 0
