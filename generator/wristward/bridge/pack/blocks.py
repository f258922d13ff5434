"""The chances of every block, packed into a classic script that loads after the first paint.

``block/table.py`` computes them; here they only become shorter. Each column runs along the edge of the bathed length, as
the difference from the column of the next shorter length (mostly 0), and travels as ``numbers`` writes columns.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from wristward.block.blocks import READINGS, BlockModel, block_model, counted_at
from wristward.block.report import NEARLY_ALL, OUT_OF_REACH, within_forearm
from wristward.block.table import browser_table, numbers_of
from wristward.block.window import NEAR_BEST
from wristward.bridge.inline import script_json
from wristward.bridge.pack.numbers import Packer
from wristward.data.dataset import Dataset

CURVES = ("wanted", "spared", "both")
"""What is shown of the joint curves; the others of the table stay behind."""

WORD_TOPICS = (
    "block.and",
    "block.reading.",
    "block.role.",
    "block.window.",
    "block.event.",
    "block_levels.client.",
    "block_levels.chart.",
)


def blocks_script(dataset: Dataset) -> str:
    """Return tables, records and words of every block as a classic script; nothing in it without branches.

    Args:
        dataset: The checked data.
    """
    values = pack_blocks(dataset) if dataset.has("branches") else {}
    return f"(globalThis.wristward??={{}}).packedBlocks={script_json(values)};\n"


def pack_blocks(dataset: Dataset) -> dict[str, Any]:
    """Return what the browser needs of every block, JSON-able."""
    model = block_model(dataset)
    tables = {nerve: browser_table(model, nerve) for nerve in model.blocks}
    axes = next(iter(tables.values()))
    return {
        "axes": axes["axes"],
        "full": axes["full"],
        "near_best": NEAR_BEST,
        "out_of_reach": OUT_OF_REACH,
        "nearly_all": NEARLY_ALL,
        "wanted_at_least": model.wanted_at_least,
        "spared_at_least": model.spared_at_least,
        "length_mm": float(dataset.region.reference_length_mm),
        "blocks": {nerve: _block(dataset, model, nerve, tables[nerve]) for nerve in model.blocks},
        "words": {key: text for key, text in sorted(dataset.words.items()) if key.startswith(WORD_TOPICS)},
    }


def block_structures(dataset: Dataset, event_id: str) -> list[str]:
    """Return the structures that stand for an event in a section: its branch, or the muscles it serves."""
    record = dataset.branches.branches[event_id]
    heads = [id_ for id_, one in dataset.structures.items() if one.part_of in record.muscles]
    return [*([record.branch] if record.branch is not None else ()), *record.muscles, *heads]


def _block(dataset: Dataset, model: BlockModel, nerve: str, table: Mapping[str, Any]) -> dict[str, Any]:
    block = model.blocks[nerve]
    packer = Packer()
    index: dict[str, int] = {}
    place: dict[str, int] = {}
    for reading, curves in table["curves"].items():
        for name in sorted(curves):
            if name not in CURVES and not name.startswith("caught."):
                continue
            text = curves[name]
            if text not in place:
                place[text] = len(place)
                _append(packer, numbers_of(text), table["axes"])
            index[f"{reading}/{name}" if reading in READINGS else name] = place[text]
    return {
        "wanted": list(block.wanted),
        "unwanted": list(block.unwanted),
        "apart": list(block.apart),
        "name": dataset.structures[nerve].name,
        "events": {
            id_: {
                "prevalence": model.events[id_].prevalence,
                "within": within_forearm(model, id_),
                "parting": counted_at(model.events[id_], "parting") != id_,
                "structures": block_structures(dataset, id_),
            }
            for id_ in (*block.wanted, *block.unwanted, *block.apart)
        },
        "curves": dict(sorted(index.items())),
        "count": len(place),
        "data": packer.packed(),
    }


def _append(packer: Packer, whole: np.ndarray, axes: Mapping[str, Any]) -> None:
    shape = (axes["edge_mm"]["count"], len(axes["length_mm"]), len(axes["sd_mm"]))
    cube = whole.reshape(shape).astype(int)
    steps = np.diff(cube, axis=1, prepend=0)
    for length in range(shape[1]):
        for sd in range(shape[2]):
            packer.column(steps[:, length, sd].tolist())
