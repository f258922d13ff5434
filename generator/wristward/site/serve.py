"""Show the site on this machine and rebuild it on every change; a mistake is shown over the last good site.

Each rebuild goes to a folder of its own and is swapped in when whole, so a page is never half old and half new.
"""

from __future__ import annotations

import contextlib
import html
import os
import socket
import sys
import traceback
from collections.abc import Iterable, Iterator
from pathlib import Path
from wsgiref.types import StartResponse, WSGIEnvironment

from mkdocs.livereload import LiveReloadServer

from wristward.site.build import Report, SiteError, build_site, watched_folders

NOTE_STYLE = "position:fixed;inset:auto 0 0 0;z-index:99;margin:0;padding:.8rem 1rem;color:#fff;"
WRONG = "max-height:45vh;overflow:auto;background:#5c0f14;font:14px/1.45 ui-monospace,monospace;white-space:pre-wrap"
CHANGED = "What was changed is being built."
ADDED = "The arms that are drawn otherwise are being added."
UNDER_WAY = "background:#12424a;font:14px/1.45 system-ui"


WAITING = (
    '<!doctype html><html lang="en"><meta charset="utf-8"><meta http-equiv="refresh" content="1">'
    '<meta name="viewport" content="width=device-width,initial-scale=1"><title>The site is being made</title>'
    '<link rel="icon" href="data:,"><body style="margin:15vh auto;max-width:34em;padding:0 1rem;font:1.1em/1.5 system-ui">'
    "<h1>The site is being made</h1><p>{told}</p><p>This page shows the site as soon as it is there.</p></body></html>"
)


LOOKS_S = 0.2
"""How often the watched folders are looked at, s; a look at all of them takes some milliseconds."""


class _Preview(LiveReloadServer):
    """mkdocs' server: it answers while a build runs, and writes the last error onto every page it sends."""

    problem: str | None = None
    making: str | None = None
    """What is told while there is no site to show; None when there is one."""

    building = False
    under_way = CHANGED
    announced = False

    def watch_all(self, paths: Iterable[Path]) -> None:
        """Watch what is not watched yet; an overlay may be named while the preview runs."""
        for path in paths:
            if os.path.abspath(path) not in self._watched_paths:
                self.watch(str(path))

    def build_first(self, *, open_in_browser: bool) -> None:
        """Listen, build, and go on until interrupted."""
        self._want_rebuild = True
        self.serve(open_in_browser=open_in_browser)  # type: ignore[no-untyped-call]

    def build_again(self, told: str) -> None:
        """Have the next build begin at once, and tell on each page what it is for."""
        self.under_way = told
        with self._rebuild_cond:
            self._want_rebuild = True
            self._rebuild_cond.notify_all()

    @contextlib.contextmanager
    def rebuilding(self) -> Iterator[None]:
        """While this lasts, answer with what is there: mkdocs would keep every reader waiting.

        A new site takes the old one's place whole, so that no page is half old and half new.
        """
        announced, self._wanted_epoch = self._wanted_epoch, self._visible_epoch
        self.building = True
        try:
            yield
        finally:
            self.building, self.under_way = False, CHANGED
            self._wanted_epoch = announced

    def serve_request(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        if self.making is None:
            return super().serve_request(environ, start_response)
        start_response("200 OK", [("Content-Type", "text/html; charset=utf-8"), ("Cache-Control", "no-store")])
        return [WAITING.format(told=html.escape(self.making)).encode()]

    def _inject_js_into_html(self, content: bytes, epoch: int) -> bytes:
        sent: bytes = super()._inject_js_into_html(content, epoch)  # type: ignore[no-untyped-call]
        if self.problem is not None:
            note = f'<pre role="alert" style="{NOTE_STYLE}{WRONG}">{html.escape(self.problem)}</pre></body>'
        elif self.building:
            note = f'<p role="status" style="{NOTE_STYLE}{UNDER_WAY}">{self.under_way}</p></body>'
        else:
            return sent
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
    _check_free(host, port)
    failed: list[Exception] = []

    def told(done: int, total: int) -> None:
        server.making = server.making and f"{done} of {total} sections are solved."
        if progress is not None:
            progress(done, total)

    def build() -> None:
        try:
            with server.rebuilding():
                # The drawn arm is a fifth of the work: shown first, where there is nothing else to show.
                build_site(
                    config_file, site=site, progress=told, arms=None if arms and server.making is None else False
                )
            if arms and server.making is not None:
                server.build_again(ADDED)
            problem = None
            server.watch_all(watched_folders(config_file))
        except Exception as error:
            if server.making is not None:
                # Nothing to show: the command ends with the mistake.
                failed.append(error)
                server.shutdown()
                return
            problem = _told(error)
        server.problem, server.making = problem, None
        if not server.announced:
            server.announced = True
            print(f"Serving at {server.url} (Ctrl+C ends it)", flush=True)

    server = _Preview(builder=build, host=host, port=port, root=str(site), polling_interval=LOOKS_S)
    print(f"Making the site; {server.url} shows how far it is", flush=True)
    server.making = None if site.is_dir() else "The data is being read."
    server.watch(str(config_file))
    try:
        server.build_first(open_in_browser=open_browser)
    except KeyboardInterrupt:
        print()
    finally:
        server.shutdown()
    if failed:
        raise failed[0]


def _told(error: Exception) -> str:
    """Say in the terminal why a build failed, and return what the page says of it."""
    if isinstance(error, SiteError):
        print(error, file=sys.stderr, flush=True)
        return str(error)
    # A fault of ours: the terminal has all of it, the page enough to know that what it shows is old.
    traceback.print_exception(error)
    return f"{type(error).__name__}: {error}"


def _check_free(host: str, port: int) -> None:
    """Refuse a taken port before a build that may take a minute, not after it."""
    with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET) as probe:
        if os.name != "nt":
            # As the server does: a port that was used a moment ago is free. On Windows this would allow sharing it.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind((host, port))
