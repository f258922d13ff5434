"""What is assumed of a block where a question asks about it: volumes, the bathed length, and what counts as sure.

What is caught is asked only where both readings put the chance at 0.1 or less, or 0.9 or more.
"""

from __future__ import annotations

from wristward.block.blocks import BlockModel, line_of
from wristward.quiz.wording import Wording

RARE, SURE = 0.1, 0.9
ASKED_ML = (2, 9)
"""Volumes that are asked about, mL: what lies outside is in the tables, and nobody blocks one nerve with it."""


def asked_ml(model: BlockModel) -> list[float]:
    """Return the volumes that are asked about, mL, the one the pages use first, so that it stands where others would
    ask the same."""
    asked = [one for one in model.volumes_ml if ASKED_ML[0] <= one <= ASKED_ML[1]]
    return sorted(asked, key=lambda one: (abs(one - model.default_ml), one))


def assumed(model: BlockModel, volume_ml: float, wording: Wording) -> str:
    """Return the words for what is assumed of the bathed length."""
    line = line_of(model)
    length_mm, sd_mm = line.mean_length_mm(volume_ml), line.sd_mm
    return wording.say("assumption", ml=f"{volume_ml:g}", mm=f"{length_mm:g}", sd=f"{sd_mm:g}")
