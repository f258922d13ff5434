"""Measures of every section, kept on disk by content: what did not change is not measured again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from importlib.metadata import version as installed_version
from typing import Any

from wristward.measure.measures import Neighbour, StructureMeasure, measure_section
from wristward.project.store import FolderStore
from wristward.project.version import program_hash
from wristward.section.section import Section

Measured = dict[int, tuple[StructureMeasure, ...]]


def measure_all(sections: Mapping[int, Section], *, partners: Mapping[str, str], store: FolderStore) -> Measured:
    """Return the measures of each section, by height in mm.

    Args:
        sections: Right, mean-arm sections by height.
        partners: Structure to the partner whose gap is measured.
        store: Where measures are kept by the section's content, the partners and the program.
    """
    program = program_hash("measure", "section")
    asked = f"measures {program} {installed_version('shapely')} {sorted(partners.items())}"
    found: Measured = {}
    for z_mm, section in sorted(sections.items()):
        key = hashlib.sha256(f"{asked} {section!r}".encode()).hexdigest()
        measures = _read(store.get(key))
        if measures is None:
            measures = measure_section(section, partners=partners)
            store.put(key, json.dumps([asdict(measure) for measure in measures]).encode())
        found[z_mm] = measures
    return found


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
