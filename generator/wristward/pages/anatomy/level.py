"""The page of one level: the section, what is cut, what holds there, and the way on."""

from __future__ import annotations

from html import escape

from wristward.data.kinds import AS_TOLD
from wristward.measure.text import capital
from wristward.pages import figures
from wristward.pages.atlas import FOLDERS, Atlas
from wristward.pages.facts import rests_on, said
from wristward.pages.markdown import address, front_matter, plain, table
from wristward.quiz.item import level_topic


def level_page(atlas: Atlas, z_mm: float) -> str:
    """Return the page of the level at a height as Markdown."""
    here = atlas.level_page(z_mm)
    words = atlas.words
    title = atlas.level_title(z_mm)
    top_z_mm = atlas.dataset.region.reference_length_mm
    lead = words("site.levels.lead", height=atlas.heights.at(z_mm), share=round(100 * (1 - z_mm / top_z_mm)))
    name = atlas.levels[z_mm]
    said_of_it = "" if name.lower() == title.lower() else f"{plain(name)}."
    parts = [
        front_matter(title=title, description=lead),
        f"# {title}\n",
        f"{lead} {said_of_it}\n",
        figures.section_figure(atlas, z_mm=round(z_mm), shown=None, here=here),
        f"[{words('site.levels.slide')}]({address(f'{atlas.travel_page}?z={z_mm:.0f}', here=here)}){{ .md-button }}\n",
        f"## {words('site.levels.structures')}\n\n{_what_is_cut(atlas, z_mm, here=here)}\n",
        _in_words(atlas, z_mm, here=here),
    ]
    facts = _facts(atlas, z_mm, here=here)
    if facts:
        parts.append(f"## {words('site.levels.facts')}\n\n{facts}\n")
    parts.append(figures.quiz(atlas, here=here, topic=level_topic(z_mm)))
    parts.append(_ways_on(atlas, z_mm, here=here))
    return "\n".join(parts)


def levels_index(atlas: Atlas, *, here: str) -> str:
    """Return the list of all levels and of the landmarks."""
    words = atlas.words
    parts = [
        front_matter(title=words("site.levels.title"), description=words("site.levels.description")),
        f"# {words('site.levels.title')}\n\n{words('site.levels.description')}\n",
    ]
    rows = []
    for z_mm, name in atlas.levels.items():
        rows.append([f"[{atlas.level_title(z_mm)}]({address(atlas.level_page(z_mm), here=here)})", plain(name)])
    parts.append(table((words("site.levels.table_level"), words("site.levels.table_what")), rows))
    parts.append(f"\n## {words('site.levels.heights_of')}\n")
    landmarks = sorted(atlas.dataset.region.landmarks.values(), key=lambda landmark: -landmark.z_mm)
    parts.append(
        "\n".join(
            f"- {plain(capital(mark.name))}: {atlas.heights.at(mark.z_mm)}. "
            f"<span class='ww-source'>{rests_on(atlas, mark, here=here, fallback=atlas.dataset.region)}.</span>"
            for mark in landmarks
        )
    )
    return "\n".join(parts) + "\n"


def _what_is_cut(atlas: Atlas, z_mm: float, *, here: str) -> str:
    section = atlas.sections[round(z_mm)]
    lines = []
    for kind in AS_TOLD:
        found = sorted((s.id for s in section.structures if s.kind == kind), key=lambda id_: atlas.structures[id_].name)
        if not found:
            continue
        title = atlas.words(f"site.kinds.{kind}.title")
        heading = f"[{title}]({address(f'{FOLDERS[kind]}/index.md', here=here)})" if kind in FOLDERS else title
        lines.append(f"- **{heading}**: {atlas.links(found, here=here)}")
    return "\n".join(lines)


def _in_words(atlas: Atlas, z_mm: float, *, here: str) -> str:
    """Return the section's paragraph and table, which say what the drawing shows."""
    paragraph, rows = figures.section_words(atlas, z_mm=round(z_mm), here=here)
    summary = escape(atlas.words("site.levels.table"))
    scroll = f'<div class="w-scroll" tabindex="0" role="region" aria-label="{summary}">{rows}</div>'
    return (
        f"## {atlas.words('site.levels.words')}\n\n{plain(paragraph)}\n\n"
        f"<details class='ww-more'><summary>{summary}</summary>{scroll}</details>\n"
    )


def _facts(atlas: Atlas, z_mm: float, *, here: str) -> str:
    """Return the relations that are evaluated at this height, in their file's order."""
    held = [relation for relation in atlas.dataset.relations if min(relation.z_mm) <= z_mm <= max(relation.z_mm)]
    return "\n".join(
        f"- {said(atlas, relation.says)} <span class='ww-source'>{rests_on(atlas, relation, here=here)}.</span>"
        for relation in held
    )


def _ways_on(atlas: Atlas, z_mm: float, *, here: str) -> str:
    heights = list(atlas.levels)
    at = heights.index(z_mm)
    lines = []
    for which, neighbour in (("proximal", at - 1), ("distal", at + 1)):
        if 0 <= neighbour < len(heights):
            other = heights[neighbour]
            link = f"[{atlas.level_title(other)}]({address(atlas.level_page(other), here=here)})"
            lines.append(f"- {atlas.words(f'site.levels.{which}', level=link)}")
    return "\n".join(lines) + "\n"
