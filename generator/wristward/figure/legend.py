"""What a figure needs to know of each structure besides its outline: names, tissue, compartment, partner.

A thin view of the catalogue, so that figures can be drawn from a few records without the whole dataset.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wristward.data.dataset import Dataset
from wristward.data.kinds import BACK_TO_FRONT, StructureKind
from wristward.measure.directions import Directions


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One structure as the reader meets it."""

    id: str
    name: str
    short: str
    kind: StructureKind

    latin: str = ""
    compartment: str | None = None
    tone: str | None = None
    """Tone of the palette that its compartment's muscles are drawn in."""

    part_of: str | None = None
    partner: str | None = None
    """Structure whose gap to this one is told and charted."""

    companion_of: str | None = None
    """Artery a small accompanying vein runs with; such veins are named only when pointed at."""

    @property
    def also_latin(self) -> str:
        """The Latin name, where it is not the name already or holds it whole, as "musculus" before a muscle's does."""
        first = self.name.split(" ")[0]
        is_latin = first.endswith(".") or first == self.latin.split(" ")[0] or self.name.lower() in self.latin
        return "" if is_latin else self.latin


class Legend(dict[str, Entry]):
    """Every structure by id, sorted, and what the directions of a section are called."""

    def __init__(self, entries: Mapping[str, Entry], directions: Directions) -> None:
        """Take the entries and the directions."""
        super().__init__(entries)
        self.directions = directions


def legend_of(dataset: Dataset) -> Legend:
    """Return the legend of the catalogue of a dataset and the frame of its region."""
    legend, compartments = {}, dataset.region.compartments
    for key in sorted(dataset.structures):
        record = dataset.structures[key]
        has_knots = record.diameter_mm is None
        legend[key] = Entry(
            id=key,
            name=record.name,
            short=record.short or record.name,
            kind=record.kind,
            latin=record.latin or "",
            compartment=record.compartment,
            tone=None if record.compartment is None else compartments[record.compartment].tone,
            part_of=record.part_of,
            partner=record.partner,
            companion_of=None
            if has_knots or record.kind != "vein" or not record.beside
            else record.beside[0].structure,
        )
    return Legend(legend, Directions.of(dataset.region.frame))


def draw_order(legend: Legend, ids: Iterable[str]) -> list[str]:
    """Return ids back to front: by tissue layer, then by name, the same at every height."""
    return sorted(ids, key=lambda key: (BACK_TO_FRONT.index(legend[key].kind), key))
