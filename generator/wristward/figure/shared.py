"""What the scripts draw and tell by: every number, order and letter that Python says once and hands to the browser.

``browser/`` spells none of them: a picture that a script moves is the one that Python drew.
"""

from __future__ import annotations

from typing import Any

from wristward.block import blocks, report
from wristward.data import kinds
from wristward.data.records.region import TONES
from wristward.figure import block_chart, charts, drawing, labels, telling, view
from wristward.measure.directions import Directions

FIGURE_ID = "{id}"
"""Stands in the empty drawing where the id of a figure goes."""


def shared(directions: Directions, *, top_mm: int) -> dict[str, Any]:
    """Return the constants by what they belong to, as plain values; read by scripts as ``wristward.shared``.

    Args:
        directions: What the region calls the directions of its sections.
        top_mm: How high the region reaches in the drawn arm.
    """
    return {
        "top_mm": top_mm,
        "view": _view(),
        "labels": _labels(),
        "drawing": _drawing(directions),
        "telling": {
            "kinds": kinds.AS_TOLD,
            "ways": directions.eighths,
            "touch_mm": telling.TOUCH_MM,
            "skin_mm": telling.SKIN_MM,
        },
        "chart": {"roles": charts.ROLES},
        "blocks": {
            "readings": blocks.READINGS,
            "joint": block_chart.JOINT_KEY,
            "step_mm": block_chart.STEP_MM,
            "tick_drop": block_chart.TICK_DROP,
            "surely": report.SURELY,
            "hardly": report.HARDLY,
        },
    }


def _view() -> dict[str, Any]:
    return {
        "width": view.WIDTH,
        "height": view.HEIGHT,
        "column": view.COLUMN,
        "crop_left": view.CROP_LEFT,
        "crop_width": view.CROP_WIDTH,
        "fit_width": view.FIT_WIDTH,
        "fit_height": view.FIT_HEIGHT,
        "base_scale": view.BASE_SCALE,
        "growth": view.GROWTH,
        "fine": view.FINE,
    }


def _labels() -> dict[str, Any]:
    return {
        "size": labels.SIZE,
        "line": labels.LINE,
        "margin": labels.MARGIN,
        "gap": labels.GAP,
        "port": labels.PORT,
        "clear": labels.CLEAR,
        "ems": labels.EMS,
        "narrow": labels.NARROW,
        "wide": labels.WIDE,
        "half_height": labels.HALF_HEIGHT,
        "baseline": labels.BASELINE,
        "spread": labels.SPREAD,
        "tries": labels.TRIES,
        "eighths": labels.EIGHTHS,
        "tiers": labels.TIERS,
        "beside_only": labels.BESIDE_ONLY,
        "narrow_screen": labels.NARROW_SCREEN,
        "narrow_size": labels.NARROW_SIZE,
    }


def _drawing(directions: Directions) -> dict[str, Any]:
    return {
        "layers": kinds.BACK_TO_FRONT,
        "tone": TONES[0],
        "letters": drawing.LETTERS,
        "hatched": drawing.HATCHED,
        "round": kinds.ROUND,
        "smallest_letter": drawing.SMALLEST_LETTER,
        "letter_share": drawing.LETTER_SHARE,
        "letter_baseline": drawing.LETTER_BASELINE,
        "marrow_share": drawing.MARROW_SHARE,
        "scale_bar_mm": drawing.SCALE_BAR_MM,
        "scale_at": drawing.SCALE_AT,
        "scale_foot": drawing.SCALE_FOOT,
        "scale_tick": drawing.SCALE_TICK,
        "compass_in": drawing.COMPASS_IN,
        "ends": drawing.ends_of(directions),
        "up_and_down": directions.names[1::2],
        "empty": drawing.empty_drawing(FIGURE_ID),
    }
