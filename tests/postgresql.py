"""A PostgreSQL of the tests' own: where its programs are, how it is started and stopped, and its databases."""

from __future__ import annotations

import asyncio
import os
import pwd
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, TypeVar

import asyncpg

PLACES = Path("/usr/lib/postgresql")
USER = "sizewright"
SYSTEM_USER = "postgres"
SETTLED = {"fsync": "off", "synchronous_commit": "off", "full_page_writes": "off"}
"""For tests that do not stop the machine: nothing is waited for that only a power failure would lose."""
LONGEST_START = 30.0
MISSING = "there is no PostgreSQL here: install the package postgresql"

Found = TypeVar("Found")


def programs() -> Path | None:
    """The folder with initdb and postgres, of the newest version that is there; None where there is none."""
    versions = [folder for folder in PLACES.glob("*/bin") if (folder / "initdb").is_file()]
    if versions:
        return max(versions, key=lambda folder: float(folder.parent.name))
    initdb = shutil.which("initdb")
    return None if initdb is None else Path(initdb).resolve().parent


def ensure() -> bool:
    """Makes sure that there is a PostgreSQL; False, having said why, where none could be had."""
    if programs() is not None or _from_debian():
        return True
    print("No PostgreSQL could be had, so the tests on it are skipped: install the package postgresql by hand.")
    return False


class Server:
    """A PostgreSQL with a folder of its own, reached by a socket in that folder alone."""

    def __init__(self, settings: dict[str, str] | None = None) -> None:
        bin_folder = programs()
        if bin_folder is None:
            raise FileNotFoundError(MISSING)
        self._programs = bin_folder
        self._settings = SETTLED if settings is None else settings
        # Not pytest's folder: a socket's path may have about 100 characters, and another user must reach it.
        self.folder = Path(tempfile.mkdtemp(prefix="sizewright-postgresql-"))
        if os.geteuid() == 0:
            owner = pwd.getpwnam(SYSTEM_USER)
            os.chown(self.folder, owner.pw_uid, owner.pw_gid)
        self.folder.chmod(0o711)
        self.process: subprocess.Popen[bytes] | None = None

    def create(self) -> None:
        """Makes the files of a server without databases; rows are ordered as people do, not by their bytes."""
        order = ["--encoding=UTF8", "--locale=C.UTF-8", "--locale-provider=icu", "--icu-locale=en-US"]
        self._run(
            "initdb", f"--pgdata={self.folder / 'data'}", f"--username={USER}", "--auth=trust", "--no-sync", *order
        )

    def start(self) -> None:
        """Starts it, and returns when it answers."""
        settings = {"listen_addresses": "", "unix_socket_directories": str(self.folder), **self._settings}
        given = [text for name, value in settings.items() for text in ("-c", f"{name}={value}")]
        with (self.folder / "log").open("ab") as log:
            self.process = subprocess.Popen(
                [str(self._programs / "postgres"), "-D", str(self.folder / "data"), *given],
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                **_as_system_user(),
            )
        until = time.monotonic() + LONGEST_START
        while True:
            try:
                self.run("postgres", "SELECT 1")
            except (OSError, asyncpg.PostgresError):
                if self.process.poll() is not None or time.monotonic() > until:
                    raise
                time.sleep(0.02)
            else:
                return

    def stop(self) -> None:
        """Stops it, whoever is connected, and waits until it has ended."""
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(2)
            self.process.wait(LONGEST_START)

    def kill(self) -> None:
        """Has the system end it at once, with every process that serves a connection."""
        assert self.process is not None
        self.process.kill()
        self.process.wait(LONGEST_START)

    def remove(self) -> None:
        """Takes its files away."""
        shutil.rmtree(self.folder, ignore_errors=True)

    def url(self, database: str) -> str:
        """The address of one of its databases."""
        return f"postgresql+asyncpg://{USER}@/{database}?host={self.folder}"

    def run(self, database: str, *statements: str) -> list[list[tuple[Any, ...]]]:
        """What these statements find in a database, each in a transaction of its own."""

        async def work(connection: asyncpg.Connection[Any]) -> list[list[tuple[Any, ...]]]:
            return [[tuple(row) for row in await connection.fetch(statement)] for statement in statements]

        return self.connected(database, work)

    def connected(self, database: str, work: Callable[[asyncpg.Connection[Any]], Awaitable[Found]]) -> Found:
        """What this work finds through a connection, in a loop of its own, since the caller may be in another."""

        async def connect() -> Found:
            connection = await asyncpg.connect(host=str(self.folder), user=USER, database=database)
            try:
                return await work(connection)
            finally:
                await connection.close()

        with ThreadPoolExecutor(1) as elsewhere:
            return elsewhere.submit(lambda: asyncio.run(connect())).result()

    def _run(self, program: str, *arguments: str) -> None:
        done = subprocess.run(
            [str(self._programs / program), *arguments],
            capture_output=True,
            text=True,
            check=False,
            **_as_system_user(),
        )
        if done.returncode:
            raise RuntimeError(f"{program} failed: {done.stderr}")


def _as_system_user() -> dict[str, Any]:
    """PostgreSQL refuses to be run by root."""
    surroundings = {**os.environ, "LC_ALL": "C.UTF-8"}
    if os.geteuid() != 0:
        return {"env": surroundings}
    return {"env": surroundings, "user": SYSTEM_USER, "group": SYSTEM_USER, "extra_groups": [], "cwd": "/"}


def _from_debian() -> bool:
    """Installs Debian's package, where this is Debian and this is root."""
    if not shutil.which("apt-get") or os.geteuid() != 0:
        return False
    print("There is no PostgreSQL here; Debian's package is installed.", flush=True)
    surroundings = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["apt-get", "update"], ["apt-get", "install", "--yes", "--no-install-recommends", "postgresql"]):
        if subprocess.run(command, env=surroundings, stdout=subprocess.DEVNULL, check=False).returncode:
            return False
    return programs() is not None


if __name__ == "__main__":
    ensure()
    sys.exit(0)
