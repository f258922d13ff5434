"""How answers are scored, in numbers; ``browser/quiz/score.js`` scores by the same, and a test holds the two together."""

from __future__ import annotations

HEIGHT_FULL_MM = 10.0
HEIGHT_HALF_MM = 20.0
CREDIT_STEP_MM = 5
FULL = 0.9
"""From this score on, an answer counts as right."""
