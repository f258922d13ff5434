"""Show the site on this machine and rebuild it on every change; a mistake is shown over the last good site.

Each rebuild goes to a folder of its own and is swapped in when whole, so a page is never half old and half new.
"""

from __future__ import annotations

import html
import sys
from pathlib import Path

from mkdocs.livereload import LiveReloadServer

from generator.pages.build import Report, SiteError, build_site, watched_folders

NOTE_STYLE = (
    "position:fixed;inset:auto 0 0 0;z-index:99;margin:0;padding:.8rem 1rem;max-height:45vh;overflow:auto;"
    "background:#5c0f14;color:#fff;font:14px/1.45 ui-monospace,monospace;white-space:pre-wrap"
)


class _Preview(LiveReloadServer):
    """mkdocs' server, with the last error written onto every page it sends."""

    problem: str | None = None

    def _inject_js_into_html(self, content, epoch):
        sent = super()._inject_js_into_html(content, epoch)
        if self.problem is None:
            return sent
        note = f'<pre role="alert" style="{NOTE_STYLE}">{html.escape(self.problem)}</pre></body>'
        return sent.replace(b"</body>", note.encode(), 1)


def serve_site(
    config_file: Path, *, host: str, port: int, site: Path, open_browser: bool = False, progress: Report | None = None
) -> None:
    """Build, serve until interrupted, and rebuild whenever content, data or configuration change.

    Args:
        config_file: The mkdocs.yml.
        host: Address to listen on.
        port: Port to listen on.
        site: Folder of the built site.
        open_browser: Whether to open the site in the reader's browser.
        progress: Called with (done, total) while sections are solved.

    Raises:
        SiteError: If the very first build fails and there is no earlier site to show.
        OSError: If the port is taken.
    """
    server: _Preview | None = None

    def build() -> None:
        try:
            build_site(config_file, site=site, progress=progress)
            problem = None
        except SiteError as error:
            problem = str(error)
            print(problem, file=sys.stderr, flush=True)
            if not site.is_dir():
                raise
        if server is not None:
            server.problem = problem

    server = _Preview(builder=build, host=host, port=port, root=str(site))
    try:
        build()
        for path in watched_folders(config_file):
            server.watch(str(path))
        print(f"Serving at {server.url} (Ctrl+C ends it)", flush=True)
        server.serve(open_in_browser=open_browser)
    except KeyboardInterrupt:
        print()
    finally:
        server.shutdown()
