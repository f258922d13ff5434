"""Find a browser for the tests, or install one; a test run without a browser fails, it does not skip.

The order is: the variable ``WRISTWARD_BROWSER``, the search path, the usual places of Chrome and Edge, what
Playwright has downloaded or can download, and on Debian as root the package ``chromium``.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

VARIABLE = "WRISTWARD_BROWSER"
NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "microsoft-edge")
USUAL_PLACES = (
    "/opt/google/chrome/chrome",
    "/opt/microsoft/msedge/msedge",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
# No sandbox as root in a container; the rest keeps the browser from calling its maker, which a closed network
# refuses many times over, and which would hide requests of our own.
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


class BrowserError(Exception):
    """No browser was found and none could be installed."""


def find_browser() -> str:
    """Return the path of a Chromium-family browser, installing one where nothing is found.

    Raises:
        BrowserError: If the variable names no file, or every way has failed.
    """
    named = os.environ.get(VARIABLE)
    if named is not None:
        if shutil.which(named) is None:
            raise BrowserError(f"{VARIABLE} is {named!r}, and there is no program there")
        return str(shutil.which(named))
    found = _installed() or _downloaded(install=False)
    if found is not None:
        return found
    print("No browser found; installing one for the tests …", file=sys.stderr, flush=True)
    found = _downloaded(install=True) or _from_debian()
    if found is None:
        raise BrowserError(
            f"no browser was found or could be installed; install Chromium, Chrome or Edge, or set {VARIABLE} to one"
        )
    return found


def installed_browser() -> str | None:
    """Return the path of a browser that is there already, or None; nothing is installed.

    Raises:
        BrowserError: If the variable names no file.
    """
    if VARIABLE in os.environ:
        return find_browser()
    return _installed()


def _installed() -> str | None:
    for name in (*NAMES, *USUAL_PLACES):
        found = shutil.which(name)
        if found is not None:
            return found
    return None


def _downloaded(*, install: bool) -> str | None:
    """Ask Playwright, which knows where its own downloads are."""
    if install and subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"]).returncode != 0:
        return None
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        path = Path(playwright.chromium.executable_path)
    return str(path) if path.is_file() else None


def _from_debian() -> str | None:
    if shutil.which("apt-get") is None or not hasattr(os, "geteuid") or os.geteuid() != 0:
        return None
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["update"], ["install", "--yes", "--no-install-recommends", "chromium"]):
        if subprocess.run(["apt-get", "--quiet", *command], env=environment, stdout=sys.stderr).returncode != 0:
            return None
    return _installed()
