"""The service worker's script: which files a built site has, and what each holds."""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path

from wristward.bridge.scripts import browser_text

NAME = "offline-worker.js"
WORKER = "worker.js"
"""What it is written from: no asset of a page."""

DIGITS = 32
"""Half of a SHA-256, hexadecimal: enough to tell any two files apart, and half the list's length."""


def worker_script(site: Path) -> str:
    """Return the script for a site that is built to its last file.

    Args:
        site: The site's folder; the script itself is left out of the list.
    """
    files = {
        path.relative_to(site).as_posix(): sha256(path.read_bytes()).hexdigest()[:DIGITS]
        for path in sorted(site.rglob("*"))
        if path.is_file() and path.name != NAME
    }
    text = json.dumps(files, separators=(",", ":"), sort_keys=True, ensure_ascii=False)
    body = browser_text([f"site/{WORKER}"])
    version = sha256((text + body).encode("utf-8")).hexdigest()[:DIGITS]
    return f'const VERSION="{version}",FILES={text};\n{body}'
