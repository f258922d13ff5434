"""The files figures load: hand-written scripts and styles, the palette, and the packed arm."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from wristward.bridge.pack.measures import measures_script, pack_measures
from wristward.bridge.pack.outlines import geometry_script, pack_sections
from wristward.bridge.scripts import ARMS, BUNDLES, DATA_NAME, RUNTIME
from wristward.bridge.setting import Setting, legend_entry, setting_of
from wristward.data.dataset import Dataset
from wristward.figure import palette
from wristward.figure.drawing import DRAWING_STYLE
from wristward.figure.plotly_figure import base, plotlyjs
from wristward.figure.shared import shared
from wristward.measure.measures import StructureMeasure, measure_section
from wristward.section.section import Section

Measures = Mapping[int, Sequence[StructureMeasure]]

WORD_TOPICS = ("figure.", "client.", "height.", "language.")


def asset_files(
    sections: Mapping[int, Section], dataset: Dataset, *, measures: Measures | None = None
) -> dict[str, bytes]:
    """Return the scripts and styles of every figure and the packed arm by name, the same bytes for the same input.

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
        DATA_NAME: data_script(setting).encode("utf-8"),
        "wristward-geometry.js": geometry_script(pack_sections(sections, setting.legend)).encode("ascii"),
        "wristward-measures.js": measures_script(pack_measures(told)).encode("ascii"),
        **{bundle.script.name: bundle.script.text().encode("utf-8") for bundle in BUNDLES},
        **{bundle.style.name: bundle.style.text().encode("utf-8") for bundle in BUNDLES},
        RUNTIME.style.name: figure_style().encode("utf-8"),
        ARMS.name: ARMS.text().encode("utf-8"),
        "plotly.min.js": plotlyjs(),
    }


def figure_style() -> str:
    """Return the figures' style sheet: colours of both schemes, the drawing's own style, and what was written by hand."""
    return palette.stylesheet() + DRAWING_STYLE + RUNTIME.style.text()


def data_script(setting: Setting) -> str:
    """Return names, words, arms and what scripts draw by as a classic script."""
    values = {
        "legend": {key: legend_entry(entry) for key, entry in sorted(setting.legend.items())},
        "words": {key: text for key, text in sorted(setting.words.items()) if key.startswith(WORD_TOPICS)},
        "arms": _scales(setting.arms),
        "others": _scales(setting.others),
        "plotlyBase": base(setting.words),
        "drawingStyle": DRAWING_STYLE,
        "shared": shared(setting.legend.directions, top_mm=setting.top_mm),
    }
    text = json.dumps(values, separators=(",", ":"), ensure_ascii=False)
    # Words are added to those that another script may have brought.
    return f"((w,{{words,...more}})=>Object.assign(w,more,{{words:{{...w.words,...words}}}}))(globalThis.wristward??={{}},{text});\n"


def _scales(arms: Mapping[str, tuple[float, float]]) -> dict[str, Any]:
    return {key: {"length_scale": length, "girth_scale": girth} for key, (length, girth) in arms.items()}
