"""What every generated page needs at hand: names, addresses, links, and the order of things.

An atlas knows the model and the words; the pages are written from it as Markdown. Nothing here knows mkdocs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from wristward.data.dataset import Dataset
from wristward.measure.measures import StructureMeasure
from wristward.measure.text import capital
from wristward.pages.markdown import address, plain
from wristward.pages.saying import Heights, Words
from wristward.project.measured import Measured
from wristward.project.solved import OtherArm
from wristward.quiz.bank import all_items
from wristward.quiz.item import Item
from wristward.section.section import Section

FOLDERS = {"nerve": "nerves", "artery": "arteries", "vein": "veins", "muscle": "muscles"}
"""Kinds of structure with a page each, and the folder of their pages."""

SOURCES = "sources.md"
RELATIONS = "relations.md"
SEARCH = "search.md"
PRACTICE = "practice.md"
PROGRESS = "progress.md"


@dataclass(frozen=True, slots=True, kw_only=True)
class GeneratedPage:
    """A page written from the data."""

    src_uri: str
    """Address as mkdocs has it: "nerves/an_id.md"."""

    title: str
    markdown: str
    names: str = ""
    """Further names by which a search should put this page first, separated by spaces."""

    language: str | None = None
    """What it is written in, where that is not the language of the site."""


class Atlas:
    """Names and links over one model."""

    def __init__(
        self,
        *,
        dataset: Dataset,
        sections: Mapping[int, Section],
        measures: Measured,
        arms: Mapping[str, OtherArm] | None = None,
    ) -> None:
        """Take the checked data, the section at each whole mm, what was measured on each, and the other arms shown."""
        self.dataset = dataset
        self.sections = sections
        self.measures = measures
        self.arms = arms or {}
        self.words = Words(dataset.words)
        self.heights = Heights(dataset.words, top_z_mm=float(dataset.region.reference_length_mm))
        self.structures = dataset.structures
        names = dataset.region.levels().items()
        self.levels = {z_mm: capital(name) for z_mm, name in names if round(z_mm) in sections}
        """The name of each level by its height, mm, proximal first."""

    @cached_property
    def quiz_items(self) -> tuple[Item, ...]:
        """Every question of the data.

        Raises:
            DataError: If one written by hand breaks a rule.
        """
        return all_items(self.dataset, self.sections)

    def title(self, structure_id: str) -> str:
        """Return a structure's name with a capital."""
        return capital(self.structures[structure_id].name)

    def page_of(self, structure_id: str) -> str | None:
        """Return the page about a structure: its own or its muscle's; None for bones and sheets."""
        record = self.structures[structure_id]
        if record.kind in FOLDERS:
            return self.own_page(structure_id)
        return self.page_of(record.part_of) if record.part_of is not None else None

    def own_page(self, structure_id: str) -> str:
        """Return the page about a structure of a kind that has pages of its own, one of ``FOLDERS``."""
        return f"{FOLDERS[self.structures[structure_id].kind]}/{structure_id}.md"

    def link(self, structure_id: str, *, here: str, label: str | None = None) -> str:
        """Return a Markdown link to a structure from the page ``here``, or its bare name where it has no page."""
        label = plain(label or self.structures[structure_id].name)
        page = self.page_of(structure_id)
        return label if page is None or page == here else f"[{label}]({address(page, here=here)})"

    def links(self, structure_ids: Iterable[str], *, here: str) -> str:
        """Return links to several structures, separated by commas."""
        return ", ".join(self.link(structure_id, here=here) for structure_id in structure_ids)

    def level_page(self, z_mm: float) -> str:
        """Return the page of a level."""
        return f"levels/z{z_mm:03.0f}.md"

    @property
    def travel_page(self) -> str:
        """The page that goes through the whole region."""
        return f"{self.dataset.region.travel.replace('_', '-')}.md"

    def height_page(self, z_mm: float) -> str:
        """Return where a height is shown: a level's own page, or the travel page at a height between levels."""
        return self.level_page(z_mm) if z_mm in self.levels else f"{self.travel_page}?z={z_mm:.0f}"

    def level_title(self, z_mm: float) -> str:
        """Return a level's title: its height, with the ends by name."""
        if z_mm == 0:
            return self.words("site.levels.page_title_bottom")
        if z_mm == self.dataset.region.reference_length_mm:
            return self.words("site.levels.page_title_top")
        return capital(self.heights.at(z_mm))

    def of_kind(self, kind: str) -> list[str]:
        """Return the ids of a kind in the catalogue's order."""
        return [structure_id for structure_id, record in self.structures.items() if record.kind == kind]

    def ends(self, structure_id: str) -> tuple[float, float]:
        """Return from where to where a structure is drawn, z in mm, proximal end first; a group spans its parts."""
        record = self.structures[structure_id]
        if record.is_group:
            spans = [self.ends(part) for part in record.parts]
            return max(high for high, _ in spans), min(low for _, low in spans)
        high, low = record.ends_mm()
        return float(high), float(low)

    def measure(self, structure_id: str, z_mm: int) -> StructureMeasure | None:
        """Return what was measured of a structure at a height, or None where it is not cut."""
        return next((one for one in self.measures[z_mm] if one.id == structure_id), None)

    def measured(self, structure_id: str, z_mm: int) -> StructureMeasure:
        """Return what was measured of a structure at a height that cuts it.

        Raises:
            LookupError: If it is not cut there.
        """
        found = self.measure(structure_id, z_mm)
        if found is None:
            raise LookupError(f"'{structure_id}' is not cut at z {z_mm} mm")
        return found

    def cut_at(self, structure_id: str) -> list[int]:
        """Return the whole heights at which a structure is cut, proximal first; a group's are its parts'."""
        ids = set(self.structures[structure_id].parts or (structure_id,))
        return [
            z_mm
            for z_mm in sorted(self.sections, reverse=True)
            if any(solved.id in ids for solved in self.sections[z_mm].structures)
        ]
