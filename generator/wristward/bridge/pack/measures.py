"""What was measured at every millimetre, packed into a script that loads after the first paint.

Lengths travel as whole tenths of a millimetre and areas as tenths of a square millimetre, exactly what the
command line prints.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from wristward.bridge.pack.numbers import Packer, runs_of
from wristward.measure.measures import NEIGHBOURS, StructureMeasure

NOTHING = -1


def pack_measures(measures: Mapping[int, Sequence[StructureMeasure]]) -> dict[str, Any]:
    """Pack the measures of every section, by height in mm, as ``browser/section/measures.js`` reads them.

    A stretch is unbroken in height and keeps its partner; where the partner ends, another stretch begins.
    """
    found: dict[tuple[str, str], dict[int, StructureMeasure]] = {}
    for z_mm, told in measures.items():
        for measure in told:
            found.setdefault((measure.id, measure.partner or ""), {})[z_mm] = measure
    ids = sorted({key for key, _ in found})
    place = {key: index for index, key in enumerate(ids)}
    packer, runs = Packer(), []
    for key, partner in sorted(found):
        by_height = found[key, partner]
        for hi, lo in runs_of(list(by_height)):
            rows = [_row(by_height[z], place) for z in range(hi, lo - 1, -1)]
            for column in zip(*rows, strict=True):
                packer.column(column)
            runs.append({"id": key, "hi": hi, "lo": lo, "partner": partner or None})
    return {"ids": ids, "neighbours": NEIGHBOURS, "runs": runs, "data": packer.packed()}


def measures_script(packed: dict[str, Any]) -> str:
    """Return packed measures as a classic script."""
    body = json.dumps(packed, separators=(",", ":"), sort_keys=True)
    return f"(globalThis.wristward??={{}}).packedMeasures={body};\n"


def _row(measure: StructureMeasure, place: Mapping[str, int]) -> list[int]:
    row = [
        _tenths(measure.depth_mm),
        _tenths(measure.straight_depth_mm),
        round(measure.bearing_deg),
        _tenths(measure.area_mm2),
    ]
    if measure.partner_gap_mm is not None:
        row.append(_tenths(measure.partner_gap_mm))
    for index in range(NEIGHBOURS):
        if index < len(measure.neighbours):
            one = measure.neighbours[index]
            row += [place[one.id], _tenths(one.gap_mm), one.eighth]
        else:
            row += [NOTHING, 0, 0]
    return row


def _tenths(value: float) -> int:
    return round(value * 10)
