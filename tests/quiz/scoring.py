"""The arithmetic of ``browser/quiz/score.js`` a second time, with the program's own numbers."""

from __future__ import annotations

from collections.abc import Sequence

from wristward.quiz.scoring import CREDIT_STEP_MM, HEIGHT_FULL_MM

TAP_REACH_MM = 3.0


def score_tap(*, distance_mm: float, inside_other: bool) -> float:
    """Return 1 inside the target, a share that falls to 0 at 3 mm in unlabelled tissue, 0 inside another structure.

    Args:
        distance_mm: From the tap to the target's edge; 0 or less inside it.
        inside_other: Whether the tap lies in another named structure.
    """
    if distance_mm <= 0:
        return 1.0
    return 0.0 if inside_other else max(0.0, 1.0 - distance_mm / TAP_REACH_MM)


def kendall_tau(answer: Sequence[int]) -> float:
    """Return tau of an answer given as the true ranks in the order chosen; no ties.

    Raises:
        ValueError: If there are fewer than two.
    """
    count = len(answer)
    if count < 2:
        raise ValueError(f"{count} places (allowed: 2 or more)")
    agree = sum(answer[i] < answer[j] for i in range(count) for j in range(i + 1, count))
    return 4 * agree / (count * (count - 1)) - 1


def score_order(answer: Sequence[int]) -> float:
    """Return Kendall's tau, never below 0."""
    return max(0.0, kendall_tau(answer))


def score_range(*, value: float, low: float, high: float) -> float:
    """Return 1 within a range, a half within half its width beyond either end, else 0."""
    if low <= value <= high:
        return 1.0
    beyond = max(low - value, value - high)
    return 0.5 if beyond <= (high - low) / 2 else 0.0


def score_height(*, value_mm: float, key_mm: float) -> float:
    """Return 1 within 10 mm of the height shown, a half within 20 mm."""
    return score_range(value=value_mm, low=key_mm - HEIGHT_FULL_MM, high=key_mm + HEIGHT_FULL_MM)


def score_credit(*, value_mm: float, credit: Sequence[int]) -> float:
    """Return the share of full marks at a level: the chance there over the best chance, under the worse reading."""
    at = min(max(value_mm / CREDIT_STEP_MM, 0.0), len(credit) - 1.0)
    low = min(int(at), len(credit) - 2)
    share = at - low
    return ((1 - share) * credit[low] + share * credit[low + 1]) / 100


def score_many(*, chosen: Sequence[bool], right: Sequence[bool]) -> float:
    """Return the share of options judged rightly beyond a half, doubled: all right 1, half or fewer 0."""
    agree = sum(a == b for a, b in zip(chosen, right, strict=True))
    return max(0.0, 2 * agree / len(right) - 1)
