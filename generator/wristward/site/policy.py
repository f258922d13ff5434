"""A content-security-policy for hosts that ask for one: each page names the hashes of its own inline scripts.

For http only: opened from a folder a page has no origin of its own, and "self" would be nobody. Style attributes stay
allowed, since plotly writes them; no style can run a script.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterable
from hashlib import sha256
from html import escape
from pathlib import Path

INLINE = re.compile(r"<(script|style)\b([^>]*)>(.*?)</\1\s*>", re.DOTALL | re.IGNORECASE)
HANDLER = re.compile(r"<[a-z][^>]*?\s(on[a-z]+)\s*=", re.IGNORECASE)
RUNS = re.compile(r"""type\s*=\s*["']?(?!text/javascript|module)""", re.IGNORECASE)
SOURCE = re.compile(r"\bsrc\s*=", re.IGNORECASE)
HEAD = re.compile(r"<head\b[^>]*>", re.IGNORECASE)
EMPTY = ""
"""Plotly makes an empty style element and fills it rule by rule."""

STYLE_IN_SCRIPT = re.compile(r"""createElement\("style"\)[^']{0,200}?\.textContent='((?:[^'\\]|\\.)*)'""")
"""A style that a library's script adds in one piece, as plotly does for its maps."""


class PolicyError(Exception):
    """A page holds something that no hash can allow; the text names page and place."""


def add_policy(html: str, *, name: str, styles: Iterable[str] = ()) -> str:
    """Return a page with its policy as the first thing in its head.

    Args:
        html: The finished page.
        name: Its address, for errors.
        styles: Further styles that scripts add.

    Raises:
        PolicyError: If an element carries a script in an attribute, or there is no head.
    """
    outside = INLINE.sub(lambda found: f"<{found[1]}></{found[1]}>", html)
    handler = HANDLER.search(outside)
    if handler is not None:
        line = html[: html.find(handler[0])].count("\n") + 1
        raise PolicyError(f"{name}:{line}:1: '{handler[1]}' is a script in an attribute, which strict hosts forbid")
    head = HEAD.search(html)
    if head is None:
        raise PolicyError(f"{name}:1:1: the page has no <head>")
    meta = f'<meta http-equiv="Content-Security-Policy" content="{escape(policy_of(html, styles), quote=True)}">'
    return html[: head.end()] + meta + html[head.end() :]


def policy_of(html: str, styles: Iterable[str] = ()) -> str:
    """Return the policy of a page: its own host, and its inline scripts and styles by their hashes."""
    scripts, styled = set(), {_hash(text) for text in (EMPTY, *styles)}
    for kind, attributes, content in INLINE.findall(html):
        if kind.lower() == "style":
            styled.add(_hash(content))
        elif SOURCE.search(attributes) is None and RUNS.search(attributes) is None:
            scripts.add(_hash(content))
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src 'self' {' '.join(sorted(scripts))}".rstrip(),
            f"style-src-elem 'self' {' '.join(sorted(styled))}",
            "style-src-attr 'unsafe-inline'",
            "img-src 'self' data: blob:",
            "font-src 'self' data:",
            "connect-src 'self'",
            "worker-src 'self'",
            "manifest-src 'self'",
            "frame-src 'self'",
            "base-uri 'self'",
            "form-action 'self'",
        )
    )


def add_policies(site: Path) -> None:
    """Add a policy to every page of a built site.

    Raises:
        PolicyError: As ``add_policy``; every page that has such a fault is named.
    """
    faults = []
    added = [text for path in sorted(site.rglob("*.js")) for text in styles_added(path.read_text(encoding="utf-8"))]
    for path in sorted(site.rglob("*.html")):
        html = path.read_text(encoding="utf-8")
        try:
            done = add_policy(html, name=path.relative_to(site).as_posix(), styles=added)
        except PolicyError as error:
            faults.append(str(error))
            continue
        path.write_text(done, encoding="utf-8", newline="\n")
    if faults:
        raise PolicyError("\n".join(faults))


def styles_added(script: str) -> list[str]:
    """Return the styles that a script adds to a page in one piece."""
    # Two escapes occur in such a text: of the quote, and of the backslash itself.
    return [re.sub(r"\\(['\\])", r"\1", text) for text in STYLE_IN_SCRIPT.findall(script)]


def _hash(content: str) -> str:
    # A browser reads every line end as one sign before it hashes.
    text = content.replace("\r\n", "\n").replace("\r", "\n")
    return f"'sha256-{b64encode(sha256(text.encode('utf-8')).digest()).decode('ascii')}'"
