"""What the window of a block is, and what it rests on: the same for the command, the pages and the tests.

Everything is computed; the words come from the readers' catalogue. Nothing takes a patient's numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from wristward.block.blocks import READINGS, BlockModel, block_model, counted_at, line_of, scaled, with_spread
from wristward.block.chance import Chances
from wristward.block.distribution import mean_height_mm
from wristward.block.reported import ROLES, Assumed, OrderEffect, ReportedArm, ReportedEvent, WindowReport
from wristward.block.window import Limit, Window, arm_chances, find_window
from wristward.data.dataset import Dataset
from wristward.data.records.branch import FindingRecord
from wristward.errors import one_of
from wristward.measure.text import capital, height_words, span_words

DIGITS = 4
OUT_OF_REACH = 0.01
"""Where no level catches all wanted in more than this share of limbs, the block is told in words alone."""

NEARLY_ALL = 0.01
"""Where no more than this share of the arms that have an event is missed, it is not what limits from below."""

SURELY, HARDLY = 0.9995, 0.0005
"""A chance is told as 100 of 100 only from the one on, as 0 only up to the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """One block in one arm: what its reports under either reading share."""

    dataset: Dataset
    model: BlockModel
    nerve: str
    volume_ml: float
    arm: str
    found: dict[str, Chances]
    """By reading, with the orders of events."""

    alone: dict[str, Chances]
    """By reading, of independent events."""

    windows: dict[str, Window]


def window_report(
    dataset: Dataset,
    *,
    nerve: str,
    volume_ml: float,
    arm: str = "mean",
    reading: str = "take_off",
    spread: dict[str, float] | None = None,
) -> WindowReport:
    """Return the window of a block with everything it rests on.

    Args:
        dataset: The checked data.
        nerve: Id of a block of branches.yaml, or the beginning of one, up to an underscore.
        volume_ml: Volume, mL, within the volumes of branches.yaml.
        arm: Reference arm of region.yaml.
        reading: "take_off" or "parting": how the chances over z are counted; both windows are given in any case.
        spread: Another assumption on the bathed length: ``base_mm``, ``per_ml_mm``, ``sd_mm``, each optional.

    Raises:
        ValueError: If a nerve, arm, reading or volume is not there; the text says what is allowed.
    """
    return _report(_ask(dataset, nerve, volume_ml, arm, reading, spread), reading)


def window_reports(dataset: Dataset, *, nerve: str, volume_ml: float, arm: str = "mean") -> dict[str, WindowReport]:
    """Return what ``window_report`` returns under each reading, counted once for both; arguments and errors are its own."""
    asked = _ask(dataset, nerve, volume_ml, arm, READINGS[0], None)
    return {reading: _report(asked, reading) for reading in READINGS}


def _ask(
    dataset: Dataset, nerve: str, volume_ml: float, arm: str, reading: str, spread: dict[str, float] | None
) -> _Asked:
    model = block_model(dataset)
    nerve = block_id(model, nerve)
    counted_at(next(iter(model.events.values())), reading)
    length_scale = length_scale_asked(dataset, model, arm=arm, volume_ml=volume_ml)
    model = with_spread(model, **(spread or {}))
    length_mm = float(dataset.region.reference_length_mm)

    def over(reading: str, *, ordered: bool) -> Chances:
        return arm_chances(
            model,
            nerve,
            reading=reading,
            volume_ml=volume_ml,
            length_scale=length_scale,
            length_mm=length_mm,
            ordered=ordered,
        )

    found = {each: over(each, ordered=True) for each in READINGS}
    return _Asked(
        dataset=dataset,
        model=model,
        nerve=nerve,
        volume_ml=volume_ml,
        arm=arm,
        found=found,
        alone={each: over(each, ordered=False) for each in READINGS},
        windows={each: block_window(model, nerve, chances) for each, chances in found.items()},
    )


def length_scale_asked(dataset: Dataset, model: BlockModel, *, arm: str, volume_ml: float) -> float:
    """Return the scale of length of the arm that a report is asked for.

    Raises:
        ValueError: If there is no such reference arm, or the volume is none that the model knows.
    """
    # What an arm draws otherwise moves no take-off; its length does.
    arms = {name: one for name, one in dataset.region.arms.items() if one.is_scaled_only}
    if arm not in arms:
        raise ValueError(f"arm is '{arm}' (allowed: {one_of(arms)})")
    least, most = model.volumes_ml[0], model.volumes_ml[-1]
    if not least <= volume_ml <= most:
        raise ValueError(f"volume is {volume_ml:g} mL (allowed: {least:g} to {most:g})")
    return arms[arm].length_scale


def _report(asked: _Asked, reading: str) -> WindowReport:
    dataset, model, nerve, volume_ml = asked.dataset, asked.model, asked.nerve, asked.volume_ml
    arm, assumed = dataset.region.arms[asked.arm], line_of(model)
    chances, window = asked.found[reading], asked.windows[reading]
    in_reach = bool(asked.found["take_off"].wanted.max() > OUT_OF_REACH)
    said = {each: _window_words(dataset.words, model, nerve, asked.windows[each]) for each in READINGS}
    return WindowReport(
        nerve=nerve,
        name=dataset.structures[nerve].name,
        volume_ml=volume_ml,
        arm=ReportedArm(id=asked.arm, name=arm.name, length_scale=arm.length_scale),
        reading=reading,
        assumed=Assumed(
            base_mm=assumed.base_mm,
            per_ml_mm=assumed.per_ml_mm,
            sd_mm=assumed.sd_mm,
            length_mm=assumed.mean_length_mm(volume_ml),
            wanted_at_least=model.wanted_at_least,
            spared_at_least=model.spared_at_least,
            says=assumed_words(dataset.words, model, volume_ml),
        ),
        events=tuple(_events(dataset, scaled(model, length_scale=arm.length_scale), nerve, chances, reading)),
        z_mm=tuple(float(z) for z in chances.z_mm),
        wanted=_rounded(chances.wanted),
        spared=_rounded(chances.spared),
        decisive_spared=_rounded(chances.decisive_spared),
        both=_rounded(chances.both),
        window=_told(window),
        windows={each: _told(one) for each, one in asked.windows.items()},
        orders={each: _orders(dataset.words, asked.found[each], asked.alone[each]) for each in READINGS},
        in_reach=in_reach,
        limits=tuple(limit_words(dataset.words, model, window)),
        sentence=_sentence(dataset, model, nerve, volume_ml, said, in_reach=in_reach),
        grip=spared_words(dataset) if model.blocks[nerve].unwanted else None,
    )


def block_id(model: BlockModel, name: str) -> str:
    """Return the id of the block that a name or its beginning means.

    Raises:
        ValueError: If none or several fit.
    """
    if name in model.blocks:
        return name
    fits = [id_ for id_ in model.blocks if id_.startswith(name)]
    if len(fits) != 1:
        raise ValueError(f"nerve is '{name}' (allowed: {one_of(model.blocks)})")
    return fits[0]


def block_window(model: BlockModel, nerve: str, chances: Chances) -> Window:
    """Return the window of a nerve's block at the demands of the model."""
    block = model.blocks[nerve]
    return find_window(
        chances,
        wanted=block.wanted,
        unwanted=block.unwanted,
        wanted_at_least=model.wanted_at_least,
        spared_at_least=model.spared_at_least,
    )


def limit_words(words: Mapping[str, str], model: BlockModel, window: Window) -> list[str]:
    """Return what limits a window, or its best compromise, below and above: two sentences, or one where every arm that has
    the wanted event in the forearm is caught and the others have it above the elbow."""
    least = window.limit_below
    if window.empty and least is not None:
        within = within_forearm(model, least.event)
        if within is not None and least.chance_caught > within - NEARLY_ALL:
            event, share = words[f"block.event.{least.event}"], percent(least.chance_caught, words)
            return [words["block.window.limit.within"].format(event=event, chance=share)]
    said = []
    for side, limit in (("below", window.limit_below), ("above", window.limit_above)):
        if limit is None:
            said.append(words[f"block.window.limit.none_{side}"])
            continue
        key = f"best_{side}" if window.empty else side
        said.append(
            words[f"block.window.limit.{key}"].format(
                event=words[f"block.event.{limit.event}"],
                chance=percent(limit.chance_caught, words),
                at=height_words(limit.z_mm, words),
            )
        )
    return said


def within_forearm(model: BlockModel, event: str) -> float | None:
    """Return the share of arms that have an event in the forearm where the others have it above, or None where none do."""
    record = model.events[event]
    return record.prevalence if record.if_absent == "above" else None


def assumed_words(words: Mapping[str, str], model: BlockModel, volume_ml: float) -> str:
    """Return the assumption on the bathed length in words."""
    spread = line_of(model)
    return words["block.window.assumed"].format(
        base=f"{spread.base_mm:g}",
        per_ml=f"{spread.per_ml_mm:g}",
        length=f"{spread.mean_length_mm(volume_ml):g}",
        sd=f"{spread.sd_mm:g}",
    )


def spared_finding(dataset: Dataset) -> FindingRecord | None:
    """Return the finding that is told wherever muscles are called spared, or None where the data has none."""
    file = dataset.branches
    return None if file.spared_finding is None else file.findings[file.spared_finding]


def spared_words(dataset: Dataset) -> str | None:
    """Return what is said wherever muscles are called spared, or None where nothing is."""
    finding = spared_finding(dataset)
    return None if finding is None else dataset.words["block.window.grip"].format(says=finding.says)


def event_names(words: Mapping[str, str], ids: Iterable[str]) -> str:
    """Return the short names of events, joined."""
    return words["block.and"].join(words[f"block.event.{id_}"] for id_ in ids)


def percent(chance: float, words: Mapping[str, str]) -> str:
    """Return a chance as a whole number of 100; 100 only from ``SURELY`` on, 0 only up to ``HARDLY``."""
    whole = round(100 * chance)
    if whole == 100 and chance < SURELY:
        return words["block_levels.client.over_99"]
    if whole == 0 and chance > HARDLY:
        return words["block_levels.client.under_1"]
    return str(whole)


def _told(window: Window) -> Window:
    """Return a window with its chances as they are told."""

    def limit(given: Limit | None) -> Limit | None:
        return None if given is None else replace(given, chance_caught=round(given.chance_caught, DIGITS))

    return replace(
        window,
        best_chance=round(window.best_chance, DIGITS),
        limit_below=limit(window.limit_below),
        limit_above=limit(window.limit_above),
    )


def _orders(words: Mapping[str, str], ordered: Chances, alone: Chances) -> OrderEffect:
    change = ordered.both - alone.both
    at = int(np.argmax(np.round(np.abs(change), DIGITS)))
    z_mm, chance = float(ordered.z_mm[at]), round(float(change[at]), DIGITS) + 0.0
    key = "orders" if chance else "orders_none"
    says = words[f"block.window.{key}"].format(points=f"{100 * abs(chance):.1f}", at=height_words(z_mm, words))
    return OrderEffect(z_mm=z_mm, chance=chance, says=says)


def _events(dataset: Dataset, model: BlockModel, nerve: str, chances: Chances, reading: str) -> Iterator[ReportedEvent]:
    block = model.blocks[nerve]
    for role in ROLES:
        for id_ in getattr(block, role):
            event = model.events[id_]
            yield ReportedEvent(
                id=id_,
                name=dataset.words[f"block.event.{id_}"],
                role=role,
                prevalence=event.prevalence,
                mean_z_mm=round(mean_height_mm(event), 1),
                counted_at=counted_at(event, reading),
                chance_caught=_rounded(chances.caught[id_]),
            )


def _window_words(words: Mapping[str, str], model: BlockModel, nerve: str, window: Window) -> str:
    block = model.blocks[nerve]
    key = "caught_spared" if block.unwanted else "caught"
    what = words[f"block.window.{key}"].format(wanted=event_names(words, block.wanted))
    asked = (model.wanted_at_least, model.spared_at_least)
    key = "demand_caught" if not block.unwanted else "demand_alike" if asked[0] == asked[1] else "demand"
    demand = words[f"block.window.{key}"].format(wanted=percent(asked[0], words), spared=percent(asked[1], words))
    if window.span_mm is None:
        best, chance = height_words(window.best_mm, words), percent(window.best_chance, words)
        return words["block.window.empty"].format(what=what, demand=demand, best=best, chance=chance)
    low_mm, high_mm = window.span_mm
    span = span_words(words, low_mm=low_mm, high_mm=high_mm)
    return words["block.window.there"].format(what=what, demand=demand, span=span)


def _sentence(
    dataset: Dataset, model: BlockModel, nerve: str, volume_ml: float, said: dict[str, str], *, in_reach: bool
) -> str:
    words, name = dataset.words, dataset.structures[nerve].name
    name = capital(name)
    if not in_reach:
        wanted = event_names(words, model.blocks[nerve].wanted)
        return words["block.window.beyond_above"].format(nerve=name, wanted=wanted)
    if said["take_off"] == said["parting"]:
        return words["block.window.both_readings"].format(nerve=name, ml=f"{volume_ml:g}", found=said["parting"])
    return words["block.window.each_reading"].format(nerve=name, ml=f"{volume_ml:g}", **said)


def _rounded(values: np.ndarray) -> tuple[float, ...]:
    return tuple(round(float(value), DIGITS) + 0.0 for value in values)
