"""Find a browser for the tests, or install one; a test run without a browser fails, it does not skip.

The order is: one that is there already (``cli/browser.py``), what Playwright has downloaded or can download, and on
Debian as root the package ``chromium``.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from wristward.cli.browser import VARIABLE, BrowserError, installed_browser


def find_browser() -> str:
    """Return the path of a Chromium-family browser, installing one where nothing is found.

    Raises:
        BrowserError: If the variable names no file, or every way has failed.
    """
    found = installed_browser() or _downloaded(install=False)
    if found is not None:
        return found
    print("No browser found; installing one for the tests …", file=sys.stderr, flush=True)
    found = _downloaded(install=True) or _from_debian()
    if found is None:
        raise BrowserError(
            f"no browser was found or could be installed; install Chromium, Chrome or Edge, or set {VARIABLE} to one"
        )
    return found


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
    return installed_browser()
