"""What a figure needs to know of each structure besides its outline: names, tissue, compartment, partner.

A thin view of the catalogue, so that figures can be drawn from a few records without the whole dataset.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

LAYER_ORDER = ("bone", "muscle", "sheet", "tendon", "vein", "artery", "nerve")
"""Back to front. Discs come last, so that no belly hides a nerve."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One structure as the reader meets it."""

    id: str
    name: str
    short: str
    kind: str
    """bone, sheet, muscle, tendon, nerve, artery or vein."""

    latin: str = ""
    compartment: str | None = None
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


Legend = Mapping[str, Entry]


def legend_of(records: Mapping[str, object]) -> dict[str, Entry]:
    """Build the legend from catalogue records (any objects with the catalogue's fields as attributes)."""
    legend = {}
    for key in sorted(records):
        record = records[key]
        kind = str(record.kind)
        beside = getattr(record, "beside", None) or ()
        has_knots = getattr(record, "diameter_mm", None) is None
        legend[key] = Entry(
            id=key,
            name=record.name,
            short=getattr(record, "short", None) or record.name,
            kind=kind,
            latin=getattr(record, "latin", None) or "",
            compartment=getattr(record, "compartment", None),
            part_of=getattr(record, "part_of", None),
            partner=getattr(record, "partner", None),
            companion_of=None if has_knots or kind != "vein" or not beside else beside[0].structure,
        )
    return legend


def draw_order(legend: Legend, ids: Iterable[str]) -> list[str]:
    """Return ids back to front: by tissue layer, then by name, the same at every height."""
    return sorted(ids, key=lambda key: (LAYER_ORDER.index(legend[key].kind), key))
