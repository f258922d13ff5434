"""Values as text inside a page or a script, where no text may end the script it stands in."""

from __future__ import annotations

import json


def script_json(values: object) -> str:
    """Return values as JSON in the shortest form, safe between script tags."""
    return json.dumps(values, separators=(",", ":"), ensure_ascii=False).replace("</", "<\\/")


def data_element(values: object, *, id_: str | None = None) -> str:
    """Return the element that hands values to the page's scripts."""
    named = "" if id_ is None else f' id="{id_}"'
    return f'<script type="application/json"{named}>{script_json(values)}</script>'
