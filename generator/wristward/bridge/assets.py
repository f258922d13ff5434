"""The files figures load: hand-written scripts and styles, the palette, and the packed arm."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from generator.client.pack import geometry_script, pack_sections
from generator.client.pack_measures import measures_script, pack_measures
from generator.client.setting import Setting, setting_of
from generator.figure import palette
from generator.figure.drawing import DRAWING_STYLE
from generator.figure.plotly_figure import base, plotlyjs
from generator.measure.measures import StructureMeasure, measure_section
from generator.section.model import Section

FOLDER = Path(__file__).parent

ORDER = (
    "core",
    "view",
    "geometry",
    "labels",
    "moving",
    "drawing",
    "measures",
    "words",
    "address",
    "list",
    "pointing",
    "zoom",
    "panel",
    "travel",
    "section",
    "chart",
)
"""Hand-written scripts in the order they must run; a test compares with the folder."""

WHEN_CHOSEN = {"wristward-arms.js": "arms"}
"""Scripts that a page asks for when a reader's choice needs them, by the name of their file."""

Measures = Mapping[int, Sequence[StructureMeasure]]

WORD_TOPICS = ("figure.", "client.", "language.")


def scripts() -> list[str]:
    """Return the scripts every page with a figure loads, in order, relative to the assets' folder.

    ``wristward-geometry.js``, ``wristward-measures.js`` and the arms' scripts are not among them: hosts ask for these.
    """
    return ["wristward-data.js", "wristward.js"]


def styles() -> list[str]:
    """Return the style sheets, relative to the assets' folder."""
    return ["wristward.css"]


def asset_files(sections: Mapping[int, Section], dataset, *, measures: Measures | None = None) -> dict[str, bytes]:
    """Return every file of the runtime by name, the same bytes for the same input.

    Args:
        sections: Right, mean-arm sections at every whole mm.
        dataset: The checked data, or a ``Setting``.
        measures: What ``measure_section`` says of each section, where the caller has it already.
    """
    setting = setting_of(dataset)
    told = measures
    if told is None:
        told = {z: measure_section(section, partners=setting.partners) for z, section in sorted(sections.items())}
    return {
        "wristward-data.js": data_script(setting).encode("utf-8"),
        "wristward-geometry.js": geometry_script(pack_sections(sections, setting.legend)).encode("ascii"),
        "wristward-measures.js": measures_script(pack_measures(told)).encode("ascii"),
        "wristward.js": runtime().encode("utf-8"),
        **{name: _read(f"{stem}.js").encode("utf-8") for name, stem in WHEN_CHOSEN.items()},
        "wristward.css": (palette.stylesheet() + DRAWING_STYLE + _read("wristward.css")).encode("utf-8"),
        "plotly.min.js": plotlyjs(),
    }


def runtime() -> str:
    """Return the hand-written scripts as one file, in order."""
    return "".join(_read(f"{name}.js") for name in ORDER)


def data_script(setting: Setting) -> str:
    """Return names, words, arms and plotly's shared settings as a classic script."""
    values = {
        "legend": {key: legend_entry(entry) for key, entry in sorted(setting.legend.items())},
        "words": {key: text for key, text in sorted(setting.words.items()) if key.startswith(WORD_TOPICS)},
        "arms": _scales(setting.arms),
        "others": _scales(setting.others),
        "plotlyBase": base(setting.words),
        "drawingStyle": DRAWING_STYLE,
    }
    return (
        f"Object.assign(globalThis.wristward??={{}},{json.dumps(values, separators=(',', ':'), ensure_ascii=False)});\n"
    )


def _scales(arms: Mapping[str, tuple[float, float]]) -> dict:
    return {key: {"length_scale": length, "girth_scale": girth} for key, (length, girth) in arms.items()}


def legend_entry(entry) -> dict:
    optional = {
        "latin": entry.also_latin or None,
        "compartment": entry.compartment,
        "part_of": entry.part_of,
        "companion_of": entry.companion_of,
    }
    return {
        "name": entry.name,
        "short": entry.short,
        "kind": entry.kind,
        **{key: value for key, value in optional.items() if value is not None},
    }


def _read(name: str) -> str:
    return (FOLDER / name).read_text(encoding="utf-8")
