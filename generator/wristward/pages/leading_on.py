"""Addresses that had a page of their own: small documents, without the theme, that lead on to Elbow to wrist.

Every height that is drawn once had a page; readers' links to those between the levels still arrive.
"""

from __future__ import annotations

import json
from html import escape

from wristward.export.spoken import lang_attribute
from wristward.measure.text import capital
from wristward.pages.atlas import Atlas
from wristward.pages.markdown import built


def documents_leading_on(atlas: Atlas) -> dict[str, bytes]:
    """Return the document of each knot's height by its address, relative to the site's root."""
    pages = {atlas.level_page(z_mm) for z_mm in atlas.levels}
    heights = {atlas.level_page(knot.z_mm): round(knot.z_mm) for knot in atlas.dataset.knots}
    return {
        built(page, here=""): _document(atlas, z_mm, here=page).encode("utf-8")
        for page, z_mm in heights.items()
        if z_mm in atlas.sections and page not in pages
    }


def _document(atlas: Atlas, z_mm: int, *, here: str) -> str:
    """Return a document that leads on by itself, or else by the link in it.

    What stands behind a "?", such as the wish of a frame for one figure alone, goes along where scripts run.
    """
    height, language = atlas.heights.at(z_mm), atlas.dataset.language
    title, link = capital(height), atlas.words("site.levels.lead_on", height=height)
    page, place = built(atlas.travel_page, here=here), f"#z={z_mm}"
    script = f"location.replace({json.dumps(page)}+location.search+{json.dumps(place)})"
    return (
        f'<!doctype html>\n<html lang="{escape(language, quote=True)}"><head><meta charset="utf-8">'
        f"<title{lang_attribute(title, language)}>{escape(title)}</title>"
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        '<meta name="color-scheme" content="light dark"><meta name="robots" content="noindex">'
        f'<link rel="icon" href="data:,"><script>{script}</script>'
        f'<noscript><meta http-equiv="refresh" content="0; url={page}{place}"></noscript></head>'
        f'<body><main><p><a href="{page}{place}"{lang_attribute(link, language)}>{escape(link)}</a></p></main></body></html>\n'
    )
