"""What a block does and how sure that is: chances with their bands, under a spread whose gain decreases with volume.

Nothing here recommends a volume: it says what each is worth in the model. Nothing takes a patient's numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.block.band import ALL, Banded, banded_chances, draw_all
from wristward.block.blocks import BlockModel, Decreasing, Working, block_model
from wristward.block.evidence import evidence_of
from wristward.block.report import OUT_OF_REACH, block_id, event_names, length_scale_asked, percent
from wristward.block.window import levels_mm
from wristward.data.dataset import Dataset
from wristward.measure.text import capital, height_words, span_words

DIGITS = 3
WIDE = 0.1
"""Where a band is wider than this, its middle is told to the nearest 5 of 100."""

LOW, MIDDLE = 0, 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubted:
    """A chance with its band, each 0 to 1."""

    low: float
    middle: float
    high: float

    def words(self, words: Mapping[str, str]) -> str:
        """Return "75 of 100 (49 to 91)", with no more digits than the band allows."""
        middle = round(20 * self.middle) / 20 if self.high - self.low > WIDE else self.middle
        return words["block.sure.of_100"].format(
            middle=percent(middle, words) if 0 < middle < 1 else percent(self.middle, words),
            low=percent(self.low, words),
            high=percent(self.high, words),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class VolumeStep:
    """What a volume is worth at the report's best level, and at the level that is best for it."""

    volume_ml: float
    length_mm: float
    blocked: Doubted
    """A caught nerve is blocked."""

    here: Doubted
    """Everything is done at the level of the report."""

    best_mm: float
    best: Doubted
    """Everything is done at ``best_mm``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SureReport:
    """A block under one reading, with its bands. Heights are mm in its arm; chances 0 to 1."""

    nerve: str
    name: str
    volume_ml: float
    arm: str
    reading: str
    z_mm: tuple[float, ...]
    curves: Mapping[str, tuple[tuple[float, ...], ...]]
    """By name ("wanted", "spared", "both", "all", "caught.<event>"): lower end, middle and upper end over ``z_mm``."""

    in_reach: bool
    sure_mm: tuple[float, float] | None
    """Levels at which each demand is met with 9 in 10 certainty, or None."""

    likely_mm: tuple[float, float] | None
    """Levels at which the middle of each band meets its demand, or None; no window."""

    best_mm: float
    """Level at which everything is done most often."""

    best: Doubted
    volumes: tuple[VolumeStep, ...]
    sentence: str
    says: tuple[str, ...]

    def plain(self) -> dict[str, Any]:
        """Return the report as JSON values."""
        return asdict(self)


def sure_report(
    dataset: Dataset, *, nerve: str, volume_ml: float, arm: str = "mean", reading: str = "take_off"
) -> SureReport:
    """Return what a block does with its bands.

    Args:
        dataset: The checked data.
        nerve: Id of a block of branches.yaml, or the beginning of one.
        volume_ml: Volume, mL, within the volumes of branches.yaml.
        arm: Reference arm of region.yaml.
        reading: "take_off" or "parting".

    Raises:
        ValueError: If a nerve, arm, reading or volume is not there, or the data has no spread of decreasing gain.
    """
    model = decreasing_model(dataset)
    nerve = block_id(model, nerve)
    scale = length_scale_asked(dataset, model, arm=arm, volume_ml=volume_ml)
    volumes = tuple(sorted({*model.volumes_ml, volume_ml}))
    found = banded_chances(
        draw_all(model, evidence_of(dataset)),
        nerve,
        reading=reading,
        z_mm=levels_mm(length_mm=float(dataset.region.reference_length_mm) * scale),
        volumes_ml=volumes,
        length_scale=scale,
    )
    return _report(dataset, model, nerve, found, at=volumes.index(volume_ml), arm=arm, reading=reading)


def decreasing_model(dataset: Dataset) -> BlockModel:
    """Return the model under the spread of decreasing gain.

    Raises:
        DataError: If the data has no branches.
        ValueError: If branches.yaml has no such spread, or does not say how often caught nerves are blocked.
    """
    model = block_model(dataset)
    if model.decreasing is None or model.working is None:
        raise ValueError("branches.yaml has no 'decreasing' or no 'working' under 'spread'")
    return replace(model, spread=model.decreasing)


def sure_span_mm(model: BlockModel, found: Banded, *, at: int, end: int) -> tuple[float, float] | None:
    """Return the levels at which an end of the bands meets both demands, lowest and highest, or None."""
    fits = np.flatnonzero(
        (found.curves["wanted"][end, at] >= model.wanted_at_least)
        & (found.curves["spared"][end, at] >= model.spared_at_least)
    )
    return (float(found.z_mm[fits[0]]), float(found.z_mm[fits[-1]])) if fits.size else None


def _report(
    dataset: Dataset, model: BlockModel, nerve: str, found: Banded, *, at: int, arm: str, reading: str
) -> SureReport:
    everything = found.curves[ALL]
    best = int(np.argmax(everything[MIDDLE, at]))
    volume_ml = found.volumes_ml[at]
    in_reach = bool(found.curves["wanted"][MIDDLE, at].max() > OUT_OF_REACH)
    report = SureReport(
        nerve=nerve,
        name=dataset.structures[nerve].name,
        volume_ml=volume_ml,
        arm=arm,
        reading=reading,
        z_mm=tuple(float(z) for z in found.z_mm),
        curves={name: tuple(_rounded(end) for end in values[:, at]) for name, values in found.curves.items()},
        in_reach=in_reach,
        sure_mm=sure_span_mm(model, found, at=at, end=LOW),
        likely_mm=sure_span_mm(model, found, at=at, end=MIDDLE),
        best_mm=float(found.z_mm[best]),
        best=_doubted(everything[:, at, best]),
        volumes=tuple(_step(model, found, place, best) for place in range(len(found.volumes_ml))),
        sentence="",
        says=(),
    )
    words = dataset.words
    sentence = _sentence(words, model, report)
    return replace(report, sentence=sentence, says=tuple(_says(words, model, report)) if in_reach else ())


def _step(model: BlockModel, found: Banded, place: int, here: int) -> VolumeStep:
    everything, volume_ml = found.curves[ALL], found.volumes_ml[place]
    best = int(np.argmax(everything[MIDDLE, place]))
    return VolumeStep(
        volume_ml=volume_ml,
        length_mm=round(model.spread.mean_length_mm(volume_ml), 1),
        blocked=_doubted(found.blocked[:, place]),
        here=_doubted(everything[:, place, here]),
        best_mm=float(found.z_mm[best]),
        best=_doubted(everything[:, place, best]),
    )


def _sentence(words: Mapping[str, str], model: BlockModel, report: SureReport) -> str:
    block, nerve = model.blocks[report.nerve], capital(report.name)
    wanted = event_names(words, block.wanted)
    if not report.in_reach:
        return words["block.window.beyond_above"].format(nerve=nerve, wanted=wanted)
    return words[f"block.sure.{'both' if block.unwanted else 'caught'}"].format(
        nerve=nerve,
        ml=f"{report.volume_ml:g}",
        reading=words[f"block.reading.{report.reading}"],
        at=height_words(report.best_mm, words),
        wanted=wanted,
        chance=report.best.words(words),
    )


def _says(words: Mapping[str, str], model: BlockModel, report: SureReport) -> Iterator[str]:
    demand = percent(model.wanted_at_least, words)
    if report.sure_mm is None:
        yield words["block.sure.nowhere"].format(demand=demand)
    else:
        low_mm, high_mm = report.sure_mm
        yield words["block.sure.window"].format(demand=demand, span=span_words(words, low_mm=low_mm, high_mm=high_mm))
    steps = words["block.sure.step_and"].join(
        words["block.sure.step"].format(ml=f"{one.volume_ml:g}", chance=one.here.words(words)) for one in report.volumes
    )
    yield words["block.sure.by_volume"].format(at=height_words(report.best_mm, words), steps=steps)
    spread, working = model.spread, model.working
    if isinstance(spread, Decreasing) and isinstance(working, Working):
        yield words["block.sure.assumed"].format(
            first=f"{spread.first_ml_mm:g}",
            length=f"{spread.mean_length_mm(report.volume_ml):.0f}",
            cv=f"{100 * spread.limb_cv:.0f}",
            least=f"{spread.least_mm[0]:g}",
            most=f"{spread.least_mm[1]:g}",
            half=f"{working.half_ml:g}",
        )


def _doubted(values: Floats) -> Doubted:
    low, middle, high = _rounded(values)
    return Doubted(low=low, middle=middle, high=high)


def _rounded(values: Floats) -> tuple[float, ...]:
    return tuple(round(float(value), DIGITS) + 0.0 for value in values)
