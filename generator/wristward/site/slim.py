"""What a theme writes and no reader needs: files that no page asks for, and indents, a tenth of all pages."""

from __future__ import annotations

import re
from fnmatch import fnmatchcase

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

NOT_ASKED_FOR = ("*.map", "sitemap.xml")
"""For whoever mends the theme; and a list of pages, of no use without a fixed address."""

THEME_SEARCH = ("assets/javascripts/lunr/*", "assets/javascripts/workers/*")
"""Of use to a site that puts the theme's own search among its plugins."""

KEPT = re.compile(r"(<(pre|textarea|script|style)\b.*?</\2>)", re.DOTALL)
"""Where white space says something."""

INDENT = re.compile(r"[ \t]*\n\s*")


def leave_out_unasked(files: Files, config: MkDocsConfig) -> None:
    """Take the files out that no page asks for; what an author put into the site stays."""
    # The theme's plugin goes by the name "material/search" as well.
    searched = any(name.split("/")[-1] == "search" for name in config.plugins)
    unasked = NOT_ASKED_FOR if searched else (*NOT_ASKED_FOR, *THEME_SEARCH)
    for file in [file for file in files if _is_the_themes(file, config)]:
        if any(fnmatchcase(file.src_uri, pattern) for pattern in unasked):
            files.remove(file)


def without_indents(html: str) -> str:
    """Return a page with one line end where it had white space across lines."""
    # The split gives what lies between, the element that is kept, and its name, in turn.
    pieces = KEPT.split(html)
    pieces[::3] = [INDENT.sub("\n", piece) for piece in pieces[::3]]
    return "".join(piece for k, piece in enumerate(pieces) if k % 3 < 2)


def _is_the_themes(file: File, config: MkDocsConfig) -> bool:
    return file.src_dir in config.theme.dirs
