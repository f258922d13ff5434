"""Measures of every section, kept on disk by content: what did not change is not measured again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict
from functools import partial
from importlib.metadata import version as installed_version
from typing import Any

from wristward.measure.measures import Neighbour, StructureMeasure, measure_section
from wristward.project.store import FolderStore
from wristward.project.version import program_hash
from wristward.section.section import Section

Measured = dict[int, tuple[StructureMeasure, ...]]


FEW = 32
"""Fewer sections are measured sooner than processes are started."""


def measure_all(
    sections: Mapping[int, Section], *, partners: Mapping[str, str], store: FolderStore, workers: int = 1
) -> Measured:
    """Return the measures of each section, by height in mm.

    Args:
        sections: Right, mean-arm sections by height.
        partners: Structure to the partner whose gap is measured.
        store: Where measures are kept by the section's content, the partners and the program.
        workers: Processes to use where there is much to measure.
    """
    program = program_hash("measure", "section")
    asked = f"measures {program} {installed_version('shapely')} {sorted(partners.items())}"
    keys = {z_mm: hashlib.sha256(f"{asked} {section!r}".encode()).hexdigest() for z_mm, section in sections.items()}
    kept = {z_mm: _read(store.get(key)) for z_mm, key in keys.items()}
    found = {z_mm: measures for z_mm, measures in kept.items() if measures is not None}
    missing = [z_mm for z_mm in sections if z_mm not in found]
    for z_mm, measures in zip(missing, _fresh([sections[z] for z in missing], partners, workers), strict=True):
        store.put(keys[z_mm], json.dumps([asdict(measure) for measure in measures]).encode())
        found[z_mm] = measures
    return dict(sorted(found.items()))


def _fresh(
    sections: Sequence[Section], partners: Mapping[str, str], workers: int
) -> Iterator[tuple[StructureMeasure, ...]]:
    """Yield the measures of each section, in their order."""
    measure = partial(measure_section, partners=dict(partners))
    if workers <= 1 or len(sections) < FEW:
        yield from map(measure, sections)
        return
    with ProcessPoolExecutor(workers) as processes:
        yield from processes.map(measure, sections, chunksize=FEW // 4)


def _read(content: bytes | None) -> tuple[StructureMeasure, ...] | None:
    if content is None:
        return None
    try:
        return tuple(_measure(plain) for plain in json.loads(content))
    except (ValueError, TypeError, KeyError):
        return None


def _measure(plain: dict[str, Any]) -> StructureMeasure:
    near = tuple(Neighbour(**{**one, "between": tuple(one["between"])}) for one in plain["neighbours"])
    return StructureMeasure(**{**plain, "neighbours": near})
