"""An arm that is drawn otherwise, as a classic script of its own: only the stretch in which it differs, and its words."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from wristward.bridge.pack.measures import pack_measures
from wristward.bridge.pack.outlines import pack_sections
from wristward.bridge.setting import Setting, legend_entry
from wristward.figure.legend import draw_order
from wristward.measure.measures import StructureMeasure
from wristward.section.section import Section


def arm_name(arm: str) -> str:
    """Return the name of an arm's script in the assets' folder."""
    return f"wristward-arm-{arm}.js"


def arm_script(
    arm: str,
    sections: Mapping[int, Section],
    measures: Mapping[int, Sequence[StructureMeasure]],
    setting: Setting,
    drawn: Setting,
    *,
    own: Sequence[int],
    said: Mapping[str, object],
) -> str:
    """Return an arm as a script that a page opened from a folder can load.

    Args:
        arm: The arm.
        sections: Every section of it at a whole mm, from elbow to wrist.
        measures: What was measured on each.
        setting: Its own setting.
        drawn: The drawn arm's setting; what both say of a structure is left out.
        own: Heights at which its section differs from the drawn arm's.
        said: Sentences about it, as ``browser/travel/arms.js`` shows them.
    """
    stretch = range(min(own), max(own) + 1)
    present = {solved.id for section in sections.values() for solved in section.structures}
    named = {key: entry for key, entry in setting.legend.items() if drawn.legend.get(key) != entry}
    packed = {
        "geometry": pack_sections({z: sections[z] for z in stretch}, setting.legend),
        "measures": pack_measures({z: measures[z] for z in stretch}),
        "order": draw_order(setting.legend, present),
        "legend": {key: legend_entry(entry) for key, entry in sorted(named.items())},
        "said": {**said, "span": [max(own), min(own)]},
    }
    body = json.dumps(packed, separators=(",", ":"), sort_keys=True, ensure_ascii=False)
    return f"((globalThis.wristward??={{}}).packedArms??={{}})[{json.dumps(arm)}]={body};\n"
