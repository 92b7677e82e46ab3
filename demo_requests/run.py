"""One command for the whole demo: `python3 demo_requests/run.py [--serve] [--port N] [--out FOLDER]`.

Makes `.venv` if it has to, starts the API, stores the demo patterns, asks for the base, mini and large size
of each, and has every grade verified by the independent verifier. All is written to `demo_requests/out/`,
or to the folder given.
Exit 0 when every claim is proven, 1 when one is not, 2 when the demo could not be run.
"""

from __future__ import annotations

import argparse
import json
import signal
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from demo_requests import environment  # noqa: E402
from demo_requests.client import Client, Refused  # noqa: E402
from demo_requests.server import ServerStartError, running  # noqa: E402
from demo_requests.workshop import PATTERNS, Shown, show  # noqa: E402

OUT = ROOT / "demo_requests" / "out"
PORT = 8000


def main(arguments: list[str]) -> int:
    """Runs the demo inside `.venv` and gives the exit code."""
    options = read(arguments)
    environment.enter(environment.DEMO_LOCK, Path(__file__).resolve(), arguments)
    signal.signal(signal.SIGTERM, _leave)
    try:
        return run(options.port, options.serve, options.out.absolute())
    except KeyboardInterrupt:
        print("Stopped.")
        return 130
    except (ServerStartError, Refused, RuntimeError, OSError) as failure:
        print(f"The demo could not go on. {failure}", file=sys.stderr)
        return 2


def read(arguments: list[str]) -> argparse.Namespace:
    """The options of the command line."""
    parser = argparse.ArgumentParser(description="Stores, grades and verifies the demo patterns through the API.")
    parser.add_argument("--serve", action="store_true", help="leave the API running afterwards, until Ctrl-C")
    parser.add_argument("--port", type=_port, default=PORT, help=f"port to listen on (default {PORT})")
    parser.add_argument("--out", type=Path, default=OUT, help=f"folder to write to (default {OUT})")
    return parser.parse_args(arguments)


def run(port: int, serve: bool, out: Path) -> int:
    """The demo itself; needs the installed environment. Gives 0 when every claim is proven, else 1."""
    out.mkdir(parents=True, exist_ok=True)
    with running(port, out / "server.log") as client:
        shown = list(_all(client, out))
        proven, claims = sum(each.proven for each in shown), sum(each.claims for each in shown)
        print(f"Everything is in {out}")
        print("Numbers checked; your cloth, quilting and sewing are not.")
        grades = sum(each.grades for each in shown)
        made = f"{grades} grades of {len(shown)} patterns, with cloth and supplies"
        print(f"{proven} of {claims} claims proven, in {made}.", flush=True)
        if serve:
            _stay(client)
    return 0 if 0 < proven == claims else 1


def _all(client: Client, out: Path) -> Iterator[Shown]:
    started = time.monotonic()
    for name in PATTERNS:
        document = json.loads((ROOT / "demo_requests" / "patterns" / f"{name}.json").read_text(encoding="utf-8"))
        yield show(client, document, out / name)
        print(f"({time.monotonic() - started:.1f} s so far)\n", flush=True)


def _stay(client: Client) -> None:
    try:
        print(f"The API is at {client.address} - stop it with Ctrl-C.")
        print(f"Its key is in {client.key_file}", flush=True)
        threading.Event().wait()
    except KeyboardInterrupt:
        print("Stopped.")


def _port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise argparse.ArgumentTypeError(f"{text} is not a port: a whole number from 1 to 65535")
    return int(text)


def _leave(number: int, frame: object) -> None:
    raise SystemExit(128 + number)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
