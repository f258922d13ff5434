"""The commands ``build`` and ``serve``."""

from __future__ import annotations

import os
import time
from argparse import Namespace
from pathlib import Path
from types import ModuleType

from wristward.cli.errors import CommandError
from wristward.cli.progress import Progress

SOLVING = "Solving sections"


def build(options: Namespace) -> int:
    """Write the site; the last good one stays until the new one is whole."""
    pages = _pages()
    started = time.monotonic()
    try:
        arms = False if options.without_arms else None
        site = pages.build_site(options.config, site=options.site_dir, progress=Progress(SOLVING), arms=arms)
    except pages.SiteError as error:
        raise CommandError(str(error)) from error
    print(f"Built in {time.monotonic() - started:.1f} s: {_shown(site / 'index.html')}")
    return 0


def serve(options: Namespace) -> int:
    """Build the site and show it until interrupted."""
    pages = _pages()
    from wristward.site.serve import serve_site

    try:
        site = options.site_dir or pages.site_folder(options.config)
        serve_site(
            options.config,
            host=options.host,
            port=options.port,
            site=site,
            open_browser=options.open,
            progress=Progress(SOLVING),
            arms=options.arms,
        )
    except pages.SiteError as error:
        raise CommandError(str(error)) from error
    except OSError as error:
        raise CommandError(f"cannot listen on {options.host}:{options.port}: {error.strerror or error}") from error
    return 0


def _pages() -> ModuleType:
    # The theme prints a notice about MkDocs 2 at each start, which no reader or author of ours can act on.
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    from wristward.site import build as pages

    return pages


def _shown(path: Path) -> str:
    try:
        return str(path.resolve().relative_to(Path.cwd()))
    except ValueError:
        return str(path)
