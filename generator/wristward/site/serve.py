"""Show the site on this machine and rebuild it on every change; a mistake is shown over the last good site.

Each rebuild goes to a folder of its own and is swapped in when whole, so a page is never half old and half new.
"""

from __future__ import annotations

import html
import os
import socket
import sys
import traceback
from collections.abc import Iterable
from pathlib import Path

from mkdocs.livereload import LiveReloadServer

from wristward.site.build import Report, SiteError, build_site, watched_folders

NOTE_STYLE = (
    "position:fixed;inset:auto 0 0 0;z-index:99;margin:0;padding:.8rem 1rem;max-height:45vh;overflow:auto;"
    "background:#5c0f14;color:#fff;font:14px/1.45 ui-monospace,monospace;white-space:pre-wrap"
)


class _Preview(LiveReloadServer):
    """mkdocs' server, with the last error written onto every page it sends."""

    problem: str | None = None

    def watch_all(self, paths: Iterable[Path]) -> None:
        """Watch what is not watched yet; an overlay may be named while the preview runs."""
        for path in paths:
            if os.path.abspath(path) not in self._watched_paths:
                self.watch(str(path))

    def _inject_js_into_html(self, content, epoch):
        sent = super()._inject_js_into_html(content, epoch)
        if self.problem is None:
            return sent
        note = f'<pre role="alert" style="{NOTE_STYLE}">{html.escape(self.problem)}</pre></body>'
        return sent.replace(b"</body>", note.encode(), 1)


def serve_site(
    config_file: Path,
    *,
    host: str,
    port: int,
    site: Path,
    open_browser: bool = False,
    progress: Report | None = None,
    arms: bool = False,
) -> None:
    """Build, serve until interrupted, and rebuild whenever content, data or configuration change.

    Args:
        config_file: The mkdocs.yml.
        host: Address to listen on.
        port: Port to listen on.
        site: Folder of the built site.
        open_browser: Whether to open the site in the reader's browser.
        progress: Called with (done, total) while sections are solved.
        arms: Whether to solve the arms that are drawn otherwise too, at each change of the data.

    Raises:
        SiteError: If the very first build fails and there is no earlier site to show.
        OSError: If the port is taken.
    """
    server: _Preview | None = None
    _check_free(host, port)

    def build() -> None:
        try:
            build_site(config_file, site=site, progress=progress, arms=None if arms else False)
            problem = None
            if server is not None:
                server.watch_all(watched_folders(config_file))
        except SiteError as error:
            problem = str(error)
            print(problem, file=sys.stderr, flush=True)
            if not site.is_dir():
                raise
        except Exception as error:
            # A fault of ours: the terminal has all of it, the page enough to know that what it shows is old.
            if server is None or not site.is_dir():
                raise
            traceback.print_exc()
            problem = f"{type(error).__name__}: {error}"
        if server is not None:
            server.problem = problem

    server = _Preview(builder=build, host=host, port=port, root=str(site))
    try:
        build()
        server.watch_all(watched_folders(config_file))
        print(f"Serving at {server.url} (Ctrl+C ends it)", flush=True)
        server.serve(open_in_browser=open_browser)
    except KeyboardInterrupt:
        print()
    finally:
        server.shutdown()


def _check_free(host: str, port: int) -> None:
    """Refuse a taken port before a build that may take a minute, not after it."""
    with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET) as probe:
        if os.name != "nt":
            # As the server does: a port that was used a moment ago is free. On Windows this would allow sharing it.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind((host, port))
