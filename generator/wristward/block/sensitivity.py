"""How much the window owes to what is assumed: the same question under other spreads and other demands."""

from __future__ import annotations

from dataclasses import dataclass

from wristward.block.blocks import BlockModel, line_of, with_spread
from wristward.block.window import Window, arm_chances, find_window

SPREADS: tuple[tuple[str, dict[str, float]], ...] = (
    ("as_assumed", {}),
    ("shorter_base", {"base_mm": 15.0}),
    ("longer_base", {"base_mm": 35.0}),
    ("less_per_ml", {"per_ml_mm": 4.0}),
    ("more_per_ml", {"per_ml_mm": 12.0}),
    ("no_scatter", {"sd_mm": 0.0}),
    ("more_scatter", {"sd_mm": 25.0}),
)
"""Other assumptions on the bathed length: id and what differs."""

DEMANDS = (0.8, 0.9, 0.95)
"""Chances asked of catching and of sparing alike."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """The window under one assumption."""

    id: str
    base_mm: float
    per_ml_mm: float
    sd_mm: float
    at_least: float
    window: Window


def sensitivity(
    model: BlockModel, nerve: str, *, reading: str, volume_ml: float, length_scale: float, length_mm: float
) -> list[Case]:
    """Return the window under each other spread at the model's demands, then under each demand at the model's spread."""
    block = model.blocks[nerve]
    asked: list[tuple[str, BlockModel, float | None]]
    asked = [(id_, with_spread(model, **change), None) for id_, change in SPREADS]
    asked += [(f"demand_{round(100 * demand)}", model, demand) for demand in DEMANDS]
    cases = []
    for id_, changed, demand in asked:
        found = arm_chances(
            changed, nerve, reading=reading, volume_ml=volume_ml, length_scale=length_scale, length_mm=length_mm
        )
        window = find_window(
            found,
            wanted=block.wanted,
            unwanted=block.unwanted,
            wanted_at_least=model.wanted_at_least if demand is None else demand,
            spared_at_least=model.spared_at_least if demand is None else demand,
        )
        spread = line_of(changed)
        cases.append(
            Case(
                id=id_,
                base_mm=spread.base_mm,
                per_ml_mm=spread.per_ml_mm,
                sd_mm=spread.sd_mm,
                at_least=model.wanted_at_least if demand is None else demand,
                window=window,
            )
        )
    return cases
