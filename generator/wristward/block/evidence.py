"""How well each number of the model is known, from the studies behind it, and models drawn within that.

A mean is known by how many limbs each study had and by how much studies differ; an SD by its degrees of freedom; a prevalence
by its counts (beta, Jeffreys); counts by thirds by a Dirichlet; what is assumed by its own prior. All draws are seeded.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtri

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import BlockModel, Decreasing, Event, Working
from wristward.block.distribution import share_below
from wristward.data.dataset import Dataset
from wristward.data.records.branch import BranchesFile, BranchRecord
from wristward.data.records.spread import PriorRecord

MOST_N = 60
"""More limbs than this count as this many: studies differ by more than chance."""

FEWEST_N = 5
"""What a number without a counted study is worth, in limbs; ours, no source."""

JEFFREYS = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """How well an event is known."""

    mean_se_mm: float
    sd_freedom: float
    prevalence_n: float
    thirds: tuple[int, int, int] | None = None
    """Limbs counted in the distal, middle and proximal third."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """How well everything of a model is known."""

    events: Mapping[str, Known]
    priors: Mapping[str, PriorRecord]
    """Of the decreasing spread and of blocks that work, by the name of the number."""

    length_mm: float
    """Of the reference forearm."""


def evidence_of(dataset: Dataset) -> Evidence:
    """Return how well the numbers of branches.yaml are known.

    Raises:
        DataError: If the data has no branches.
    """
    file = dataset.branches
    between_mm = between_studies_mm(file)
    priors: dict[str, PriorRecord] = {}
    if file.spread.decreasing is not None:
        given = file.spread.decreasing
        priors |= {"first_ml_mm": given.first_ml_mm, "exponent": given.exponent, "limb_cv": given.limb_cv}
    if file.spread.working is not None:
        priors |= {"half_ml": file.spread.working.half_ml, "steepness": file.spread.working.steepness}
    return Evidence(
        events={id_: _known(record, between_mm) for id_, record in file.branches.items()},
        priors=priors,
        length_mm=float(dataset.region.reference_length_mm),
    )


def between_studies_mm(file: BranchesFile) -> float:
    """Return how much studies of one event differ beyond what their numbers of limbs explain, mm: one SD for all events."""
    excess, freedom = 0.0, 0
    for record in file.branches.values():
        told = _counted_means(record)
        if len(told) < 2:
            continue
        means = np.array([mean for mean, _ in told])
        chance = np.mean([record.sd_mm**2 / n for _, n in told])
        excess += float(((means - means.mean()) ** 2).sum()) - (len(told) - 1) * float(chance)
        freedom += len(told) - 1
    return float(np.sqrt(max(0.0, excess / freedom))) if freedom else 0.0


def mean_se_mm(ns: Sequence[int], *, sd_mm: float, between_mm: float) -> float:
    """Return the standard error of a mean pooled from studies of ``ns`` limbs, mm."""
    if not ns:
        return float(np.sqrt(between_mm**2 + sd_mm**2 / FEWEST_N))
    return float(1 / np.sqrt(sum(1 / (between_mm**2 + sd_mm**2 / n) for n in ns)))


def draw_sd(random: np.random.Generator, *, sd_mm: float, freedom: float) -> float:
    """Draw what an SD estimated with so many degrees of freedom may be, mm."""
    return float(sd_mm * np.sqrt(freedom / random.chisquare(freedom)))


def draw_models(model: BlockModel, evidence: Evidence, *, count: int, seed: int) -> Iterator[BlockModel]:
    """Yield models whose numbers are drawn within what is known; the same for the same seed.

    Args:
        model: The model at its own numbers, of the reference forearm.
        evidence: How well they are known.
        count: How many.
        seed: Of the generator.
    """
    random = np.random.Generator(np.random.PCG64(seed))
    for _ in range(count):
        events = {
            id_: _drawn(random, model.events[id_], evidence.events[id_], evidence.length_mm)
            for id_ in sorted(model.events)
        }
        for group in model.alternatives:
            total = sum(events[id_].prevalence for id_ in group)
            if total > 1:
                events |= {id_: replace(events[id_], prevalence=events[id_].prevalence / total) for id_ in group}
        priors = {name: _prior(random, prior) for name, prior in evidence.priors.items()}
        yield replace(
            model,
            events=events,
            spread=_drawn_spread(model.spread, priors) if isinstance(model.spread, Decreasing) else model.spread,
            working=None
            if model.working is None
            else Working(half_ml=priors["half_ml"], steepness=priors["steepness"]),
        )


def _drawn_spread(spread: Decreasing, priors: Mapping[str, float]) -> Decreasing:
    return replace(
        spread,
        first_ml_mm=priors["first_ml_mm"],
        exponent=min(1.0, priors["exponent"]),
        limb_cv=priors["limb_cv"],
    )


def _counted_means(record: BranchRecord) -> list[tuple[float, int]]:
    return [(one.z_mm, one.n) for one in record.studies if one.z_mm is not None and one.n is not None]


def _known(record: BranchRecord, between_mm: float) -> Known:
    ns = [n for _, n in _counted_means(record)]
    counted = sum(one.n or 0 for one in record.studies if one.prevalence is not None)
    thirds = record.thirds
    return Known(
        mean_se_mm=mean_se_mm(ns, sd_mm=record.sd_mm, between_mm=between_mm),
        sd_freedom=float(min(MOST_N, max(FEWEST_N, sum(ns)) - 1)),
        prevalence_n=float(min(MOST_N, max(FEWEST_N, counted))),
        thirds=None if thirds is None else (thirds.distal, thirds.middle, thirds.proximal),
    )


def _drawn(random: np.random.Generator, event: Event, known: Known, length_mm: float) -> Event:
    """Return an event with a mean, SD and prevalence that it may have; its cuts move along, outward alone."""
    if known.thirds is None:
        mean_mm = event.mean_z_mm + known.mean_se_mm * float(random.standard_normal())
        sd_mm = draw_sd(random, sd_mm=event.sd_mm, freedom=known.sd_freedom)
    else:
        mean_mm, sd_mm = _by_thirds(random, event, known.thirds, length_mm)
    prevalence = event.prevalence
    if prevalence < 1:
        there = prevalence * known.prevalence_n
        drawn = random.beta(there + JEFFREYS, known.prevalence_n - there + JEFFREYS)
        prevalence = float(np.clip(drawn, 1e-6, 1.0))
    grown = sd_mm / event.sd_mm
    return replace(
        event,
        mean_z_mm=mean_mm,
        sd_mm=sd_mm,
        min_z_mm=min(event.min_z_mm, mean_mm + grown * (event.min_z_mm - event.mean_z_mm)),
        max_z_mm=max(event.max_z_mm, mean_mm + grown * (event.max_z_mm - event.mean_z_mm)),
        prevalence=prevalence,
    )


def _by_thirds(
    random: np.random.Generator, event: Event, thirds: tuple[int, int, int], length_mm: float
) -> tuple[float, float]:
    """Return mean and SD that put as many into each third as a Dirichlet of the counts differs from its own middle."""
    counts = np.array(thirds, float) + JEFFREYS
    drawn: Floats = random.dirichlet(counts)
    edges = np.array([length_mm / 3, 2 * length_mm / 3])
    # In normal quantiles, so that what is drawn moves the model's own shares as it moves those that were counted.
    moved = ndtri(np.clip(np.cumsum(drawn)[:2], 1e-4, 1 - 1e-4)) - ndtri(np.cumsum(counts / counts.sum())[:2])
    own = ndtri(np.clip(share_below(event, edges), 1e-4, 1 - 1e-4))
    low, high = own + moved
    own_low, own_high = own
    # The cut makes the model's own quantiles no straight line; only the change is taken from them.
    sd_mm = event.sd_mm * float((own_high - own_low) / max(high - low, 0.25))
    mean_mm = event.mean_z_mm - event.sd_mm * float((low + high - own_low - own_high) / 2)
    return mean_mm, sd_mm


def _prior(random: np.random.Generator, prior: PriorRecord) -> float:
    step = float(random.standard_normal())
    if prior.off_by_factor is not None:
        return float(prior.value * prior.off_by_factor**step)
    return float(max(prior.value / 10, prior.value + (prior.off_by or 0.0) * step))
