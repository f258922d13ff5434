"""Where the independent players are, and a made-up host that serves them beside the files of an export."""

from __future__ import annotations

from pathlib import Path

from wristward.cli.checks.players import players_folder

CACHE = Path(__file__).resolve().parents[2] / ".cache"
HOST = "http://export.test/"
TYPES = {
    "xml": "application/xml",
    "svg": "image/svg+xml",
    "js": "text/javascript",
    "css": "text/css",
    "html": "text/html; charset=utf-8",
    "txt": "text/plain; charset=utf-8",
}
BLANK = b'<!doctype html><html lang="en"><link rel="icon" href="data:,"><title>player</title><body></body></html>'


def player(name: str) -> bytes:
    """Return a file of an installed player."""
    return (players_folder(CACHE) / name).read_bytes()


def serve(page, files: dict[str, bytes]) -> list[str]:
    """Answer every request of a page from these files; return the list that what is not there is added to."""
    missing: list[str] = []

    def answer(route):
        address = route.request.url
        name = address.removeprefix(HOST).split("?")[0]
        if not address.startswith(HOST) or name not in files:
            missing.append(address)
            route.fulfill(status=404, body="")
            return
        kind = TYPES[name.rsplit(".", 1)[-1]]
        route.fulfill(status=200, body=files[name], headers={"content-type": kind})

    page.route("**/*", answer)
    return missing
