"""Find a browser that is there already: the variable ``WRISTWARD_BROWSER``, the search path, the usual places."""

from __future__ import annotations

import os
import shutil

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
    """There is no browser where one is needed; the text is the whole message."""


def installed_browser() -> str | None:
    """Return the path of a Chromium-family browser that is there already, or None; nothing is installed.

    Raises:
        BrowserError: If the variable names no file.
    """
    named = os.environ.get(VARIABLE)
    if named is not None:
        found = shutil.which(named)
        if found is None:
            raise BrowserError(f"{VARIABLE} is {named!r}, and there is no program there")
        return found
    for name in (*NAMES, *USUAL_PLACES):
        found = shutil.which(name)
        if found is not None:
            return found
    return None
