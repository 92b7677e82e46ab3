"""Where a Chromium for the browser tests is: the system's, else Debian's package, else Playwright's own."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")


def found() -> str | None:
    """The system's Chromium; None where there is none."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


def ensure() -> bool:
    """Makes sure that there is a Chromium; False, having said why, where none could be had."""
    if found() or _from_debian():
        return True
    print("There is no Chromium here; Playwright's own is fetched.", flush=True)
    fetched = subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], check=False)
    if fetched.returncode:
        print("No Chromium could be had: install the package chromium by hand.", flush=True)
    return fetched.returncode == 0


def _from_debian() -> bool:
    """Installs Debian's package, where this is Debian and this is root."""
    if not shutil.which("apt-get") or not hasattr(os, "geteuid") or os.geteuid() != 0:
        return False
    print("There is no Chromium here; Debian's package is installed.", flush=True)
    surroundings = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["apt-get", "update"], ["apt-get", "install", "--yes", "--no-install-recommends", "chromium"]):
        if subprocess.run(command, env=surroundings, stdout=subprocess.DEVNULL, check=False).returncode:
            return False
    return found() is not None


if __name__ == "__main__":
    sys.exit(0 if ensure() else 1)
