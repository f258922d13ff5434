"""Where pages meet figures: the one module of ``pages`` that calls ``figure``, ``client`` and ``measure``."""

from __future__ import annotations

from dataclasses import dataclass

from generator.figure.drawing import draw_section
from generator.figure.legend import legend_of
from generator.measure import measures
from generator.pages.atlas import Atlas, address
from generator.pages.words import in_cm


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What a table says of one structure at one height."""

    depth_mm: float
    bearing_deg: float
    gap_mm: float | None
    neighbours: tuple[str, ...]


def measured(section, structure_id: str, *, partner: str | None, neighbours: int) -> Measured:
    """Measure a structure that the section cuts; lengths in mm of the drawn model."""
    has_partner = partner is not None and section.find(partner) is not None
    return Measured(
        depth_mm=measures.depth_mm(section, structure_id),
        bearing_deg=measures.bearing_deg(section, structure_id),
        gap_mm=measures.gap_mm(section, structure_id, partner) if has_partner else None,
        neighbours=tuple(one.id for one in measures.neighbours(section, structure_id, neighbours)),
    )


def section_figure(atlas: Atlas, *, z_mm: int, shown: str | None, here: str) -> str:
    """Return a section as HTML for a Markdown page, with its words."""
    drawing = draw_section(
        atlas.sections[z_mm], legend_of(atlas.structures), atlas.dataset.words, figure_id=f"w{z_mm}", shown=shown
    )
    return f'<figure class="w-figure">{drawing}</figure>\n'


def structure_figure(atlas: Atlas, structure_id: str, *, z_mm: int, here: str) -> str:
    """Return the section at a height with one structure lit up."""
    return section_figure(atlas, z_mm=z_mm, shown=structure_id, here=here)


def structure_charts(atlas: Atlas, structure_id: str, *, here: str) -> str:
    """Return the charts of depth, and of the gap to the partner, along the forearm."""
    return ""


def elbow_to_wrist(atlas: Atlas, *, here: str) -> str:
    """Return the page's figure with slider, controls and words."""
    return section_figure(atlas, z_mm=130, shown=None, here=here)


def assets(atlas: Atlas) -> dict[str, bytes]:
    """Return the files that the figures load, by address relative to the site's root."""
    return {}


def bearing_words(atlas: Atlas, bearing_deg: float) -> str:
    """Return a bearing in words: "volar-ulnar"."""
    return atlas.words(f"figure.way.{measures.direction_of(bearing_deg)}")


def cm(z_mm: float) -> str:
    """Return a height in centimetres."""
    return in_cm(z_mm)


def relative(page: str, *, here: str) -> str:
    """Return the address of a page from another."""
    return address(page, here=here)
