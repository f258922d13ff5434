"""Where pages meet figures: the hosts that the browser takes over, with the addresses that a page gives them."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Sequence
from typing import Any

from wristward.bridge.assets import asset_files
from wristward.bridge.hosts.blocks import BlockView, block_asset_files, block_levels_html
from wristward.bridge.hosts.figures import chart_html, section_figure_html, travel_html
from wristward.bridge.hosts.quiz import practice_html, progress_html, quiz_asset_files, quiz_html
from wristward.bridge.pack.arms import arm_name, arm_script
from wristward.bridge.scripts import page_scripts, page_styles, unneeded
from wristward.bridge.setting import setting_of
from wristward.figure import telling as told
from wristward.figure.charts import Chart, Line
from wristward.measure.directions import Directions
from wristward.pages.anatomy.other_arm import arm_words
from wristward.pages.atlas import SOURCES, Atlas
from wristward.pages.html import one_line
from wristward.pages.markdown import built

ASSETS = "assets/wristward/"


def section_figure(
    atlas: Atlas, *, z_mm: int, shown: str | None, here: str, link: str | None = None, figure_id: str | None = None
) -> str:
    """Return a section as HTML for a page: names under the pointer, and it follows the charts with the same link."""
    return one_line(
        section_figure_html(
            atlas.sections[z_mm],
            atlas.dataset,
            figure_id=f"s{z_mm}" if figure_id is None else figure_id,
            assets_url=assets_url(here),
            shown=shown,
            link=link,
        )
    )


def section_words(atlas: Atlas, *, z_mm: int, here: str) -> tuple[str, str]:
    """Return a section's paragraph and its table as HTML, the names linked to their pages."""
    legend, words = setting_of(atlas.dataset).legend, atlas.dataset.words
    measures = atlas.measures[z_mm]
    paragraph = told.paragraph(atlas.sections[z_mm], measures, legend, words)
    return paragraph, told.table_html(measures, legend, words, pages=_pages(atlas, here=here))


def structure_figure(atlas: Atlas, structure_id: str, *, z_mm: int, here: str) -> str:
    """Return the section at a height with one structure lit up; it follows that structure's charts."""
    return section_figure(atlas, z_mm=z_mm, shown=structure_id, here=here, link=structure_id)


def structure_charts(
    atlas: Atlas,
    structure_id: str,
    *,
    here: str,
    z_mm: int | None = None,
    only: str | None = None,
    chart_id: str = "c",
) -> str:
    """Return the charts along the forearm: depth, the gap to the partner, and a muscle's area.

    Args:
        atlas: Names, words, sections and measures.
        structure_id: A structure that is cut somewhere.
        here: The page they stand on.
        z_mm: Height of the section that stands beside them; the middle of what is cut by default.
        only: One of ``charted``, or None for all.
        chart_id: Prefix of the ids inside.
    """
    cut = atlas.cut_at(structure_id)
    z_mm = cut[len(cut) // 2] if z_mm is None else z_mm
    blocks = [
        chart_html(
            chart,
            atlas.dataset,
            chart_id=f"{chart_id}-{what}",
            assets_url=assets_url(here),
            link=structure_id,
            z_mm=z_mm,
        )
        for what, chart in _charts(atlas, structure_id)
        if only in (None, what)
    ]
    return "\n".join(one_line(block) for block in blocks)


def charted(atlas: Atlas, structure_id: str) -> list[str]:
    """Return which charts a structure has: "depth", "gap", "area"."""
    return [what for what, _ in _charts(atlas, structure_id)]


def travel(atlas: Atlas, *, here: str, z_mm: int | None = None, shown: str | None = None) -> str:
    """Return the figure with slider, switches, list and words, at a height and with a structure lit up."""
    start_z_mm = round(max(atlas.sections) / 2)
    return one_line(
        travel_html(
            atlas.sections,
            atlas.dataset,
            assets_url=assets_url(here),
            z_mm=start_z_mm if z_mm is None else z_mm,
            shown=shown,
            pages=_pages(atlas, here=here),
            others=sorted(atlas.arms),
            sources_url=built(SOURCES, here=here),
        )
    )


def block_levels(atlas: Atlas, views: Sequence[BlockView], *, z_mm: int, here: str) -> str:
    """Return the figure of the page "Block levels", at a level of the mean arm, mm."""
    volumes_ml = atlas.dataset.branches.spread.volumes_ml
    return one_line(
        block_levels_html(
            views,
            atlas.sections[min(z_mm, max(atlas.sections))],
            atlas.dataset,
            volumes_ml=(volumes_ml[0], volumes_ml[-1]),
            assets_url=assets_url(here),
            travel_url=built(atlas.travel_page, here=here),
        )
    )


def assets(atlas: Atlas) -> dict[str, bytes]:
    """Return the files that the figures load, by address relative to the site's root."""
    files = asset_files(atlas.sections, atlas.dataset, measures=atlas.measures)
    files |= {arm_name(name): _arm_script(atlas, name) for name in atlas.arms}
    files |= block_asset_files(atlas.dataset)
    files |= quiz_asset_files(atlas.sections, atlas.dataset, items=atlas.quiz_items if has_quiz(atlas) else ())
    return {ASSETS + name: content for name, content in files.items()}


def _arm_script(atlas: Atlas, name: str) -> bytes:
    arm, drawn = atlas.arms[name], setting_of(atlas.dataset)
    script = arm_script(
        name,
        {**atlas.sections, **arm.own},
        {**atlas.measures, **arm.measures},
        setting_of(atlas.dataset.arms[name]),
        drawn,
        own=sorted(arm.own),
        said=arm_words(atlas, name),
    )
    return script.encode("utf-8")


def scripts() -> list[str]:
    """Return the scripts that every page loads, in order, relative to the site's root."""
    return [ASSETS + name for name in page_scripts()]


def styles() -> list[str]:
    """Return the figures' style sheets, relative to the site's root."""
    return [ASSETS + name for name in page_styles()]


def only_needed(html: str) -> str:
    """Return a page without the scripts and styles of figures it does not hold; the slider page loads a third less."""
    names = "|".join(re.escape(name) for name in unneeded(html))
    if not names:
        return html
    # Begins with a letter that is not a space: looked for at each space of a page, the same took longer than the theme.
    tag = rf'<(?:script src|link rel="stylesheet" href)="[^"]*{re.escape(ASSETS)}(?:{names})"[^>]*>(?:</script>)?\s*'
    return re.sub(tag, "", html)


def has_quiz(atlas: Atlas) -> bool:
    """Say whether the catalogue has the words of quizzes; a course's own catalogue may leave them out."""
    return "quiz.practice.title" in atlas.dataset.words


def quiz(atlas: Atlas, *, here: str, topic: str, count: int = 5) -> str:
    """Return a quiz for the foot of a page, with its heading, or nothing where there are no words for it."""
    if not has_quiz(atlas):
        return ""
    section = built(atlas.travel_page, here=here)
    body = quiz_html(atlas.dataset, assets_url=assets_url(here), section_url=section, topic=topic, count=count)
    return f"\n\n## {atlas.words('quiz.play.label')}\n\n{one_line(body)}\n"


def quiz_of(atlas: Atlas, *, here: str, **asked: Any) -> str:
    """Return a quiz that an educator's fence asks for; ``asked`` as for ``quiz_html``."""
    section = built(atlas.travel_page, here=here)
    return one_line(quiz_html(atlas.dataset, assets_url=assets_url(here), section_url=section, **asked))


def practice(atlas: Atlas, *, here: str) -> str:
    """Return the body of the page Practice."""
    return one_line(
        practice_html(atlas.dataset, assets_url=assets_url(here), section_url=built(atlas.travel_page, here=here))
    )


def progress(atlas: Atlas, *, here: str) -> str:
    """Return the body of the page Progress."""
    return one_line(progress_html(atlas.dataset, assets_url=assets_url(here)))


def bearing_words(atlas: Atlas, bearing_deg: float) -> str:
    """Return a bearing in words: by the eighth of a turn."""
    return atlas.words(f"figure.way.{Directions.of(atlas.dataset.region.frame).of_bearing(bearing_deg)}")


def _charts(atlas: Atlas, structure_id: str) -> Iterator[tuple[str, Chart]]:
    record, words = atlas.structures[structure_id], atlas.words
    measured = {z_mm: found for z_mm in atlas.sections if (found := atlas.measure(structure_id, z_mm)) is not None}
    asked = [("depth", True, {z_mm: one.depth_mm for z_mm, one in measured.items()}, {"name": record.name})]
    partner = record.partner
    if partner is not None:
        gaps = {z_mm: one.partner_gap_mm for z_mm, one in measured.items() if one.partner_gap_mm is not None}
        asked.append(("gap", False, gaps, {"name": record.name, "partner": atlas.structures[partner].name}))
    if record.kind == "muscle":
        areas = {z_mm: one.area_mm2 for z_mm, one in measured.items()}
        asked.append(("area", False, areas, {"name": record.name}))
    for what, downward, values, names in asked:
        if values:
            chart = Chart(
                title=words(f"figure.chart.{what}", **names),
                axis=words(f"figure.chart.{what}_axis"),
                lines=(Line(name=record.name, values=values),),
                top_mm=round(atlas.dataset.region.reference_length_mm),
                downward=downward,
            )
            yield what, chart


def _pages(atlas: Atlas, *, here: str) -> dict[str, str]:
    """Return the address of each structure's page in the built site; an own page only, not that of its muscle."""
    pages = ((structure_id, atlas.page_of(structure_id)) for structure_id in atlas.structures)
    return {structure_id: built(page, here=here) for structure_id, page in pages if page is not None}


def assets_url(here: str) -> str:
    """Return the address of the figures' files from a page."""
    return posixpath.relpath(ASSETS, posixpath.dirname(here) or ".") + "/"
