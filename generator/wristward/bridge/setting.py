"""What the hosts of figures need besides sections: names, words, arms, levels; taken from the dataset."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wristward.data.dataset import Dataset
from wristward.figure.legend import Entry, Legend, legend_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One dataset as figures see it."""

    legend: Legend
    words: Mapping[str, str]
    arms: Mapping[str, tuple[float, float]]
    """Arms that are the drawn one but for their size, smallest first: (length scale, girth scale)."""

    levels: tuple[tuple[float, str], ...]
    """(z in mm, name) of every level a reader can step to, from the top down."""

    top_mm: int
    """How high the region reaches in the drawn arm."""

    strip: tuple[str, ...] = ()
    """Bones that are drawn over the slider."""

    partners: Mapping[str, str] = field(default_factory=dict)
    others: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    """Arms that are drawn otherwise, in the same way; each has a script of its own."""


def setting_of(dataset: Dataset | Setting) -> Setting:
    """Return the setting of a dataset; a setting is returned as it is."""
    if isinstance(dataset, Setting):
        return dataset
    legend = legend_of(dataset)
    return Setting(
        legend=legend,
        words=dataset.words,
        arms=_scales(dataset, scaled_only=True),
        others=_scales(dataset, scaled_only=False),
        levels=tuple(dataset.region.levels().items()),
        top_mm=int(dataset.region.reference_length_mm),
        strip=dataset.region.strip,
        partners={key: entry.partner for key, entry in legend.items() if entry.partner is not None},
    )


def legend_entry(entry: Entry) -> dict[str, str]:
    """Return a structure's entry of the legend as scripts read it."""
    optional = {
        "latin": entry.also_latin or None,
        "compartment": entry.compartment,
        "tone": entry.tone,
        "part_of": entry.part_of,
        "companion_of": entry.companion_of,
    }
    return {
        "name": entry.name,
        "short": entry.short,
        "kind": entry.kind,
        **{key: value for key, value in optional.items() if value is not None},
    }


def _scales(dataset: Dataset, *, scaled_only: bool) -> dict[str, tuple[float, float]]:
    arms = sorted(dataset.region.arms.items(), key=lambda item: (item[1].length_scale, item[1].girth_scale, item[0]))
    return {key: (arm.length_scale, arm.girth_scale) for key, arm in arms if arm.is_scaled_only == scaled_only}
