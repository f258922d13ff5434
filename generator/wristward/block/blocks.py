"""The block model's own records: events along nerves, their orders, and what a block wants.

Built once from a checked dataset; everything after it works on these frozen values. Heights are ``z_mm`` of the
reference forearm unless a model was scaled to another arm.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from wristward.data.dataset import Dataset
from wristward.data.records.spread import DecreasingRecord, WorkingRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One event along a nerve: a normal distribution of heights, cut off at both ends."""

    id: str
    parent: str
    kind: str
    """take_off, parting, entry, branch_point, piercing, crossing, meeting, emergence, division or end."""

    mean_z_mm: float
    """Mean before the cut, mm."""

    sd_mm: float
    """SD before the cut, mm."""

    min_z_mm: float
    max_z_mm: float
    prevalence: float
    """Share of limbs that have it, above 0 and up to 1."""

    if_absent: str = "nothing"
    """What a limb without it means: "nothing" to catch, or that it lies "above" the elbow."""

    present_with: str | None = None
    beside_trunk_until: str | None = None
    muscles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """What a block of one nerve wants to catch and to spare: ids of events."""

    nerve: str
    wanted: tuple[str, ...]
    unwanted: tuple[str, ...] = ()
    decisive: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The assumption on the bathed length: normal, never below 0, centred on the level of the block. No study measures it."""

    base_mm: float
    per_ml_mm: float
    sd_mm: float

    def mean_length_mm(self, volume_ml: float) -> float:
        """Return the mean bathed length before the floor at 0, mm."""
        return self.base_mm + self.per_ml_mm * volume_ml


@dataclass(frozen=True, slots=True, kw_only=True)
class Decreasing:
    """The other assumption: each further mL wets less than the one before; see ``reach``. No study of the forearm measures it."""

    first_ml_mm: float
    """Mean length with 1 mL, mm."""

    exponent: float
    """The length grows with the volume to this power, 0 to 1."""

    limb_cv: float
    """How much limbs differ, as a share of the length; log-normal."""

    evenness: float
    """Both parameters of the beta distribution of the share above the needle: the larger, the more even."""

    placement_sd_mm: float
    least_mm: tuple[float, float]
    """A branch counts as caught from a wetted stretch on that lies evenly between these, mm."""

    barrier_mm: float
    """Height below which nothing runs, mm."""

    turned_back: float
    """Share of what the barrier stops that runs up instead, 0 to 1."""

    def mean_length_mm(self, volume_ml: float) -> float:
        """Return the mean length over limbs, mm."""
        return float(self.first_ml_mm * volume_ml**self.exponent)


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """How often a nerve that is caught is blocked: half as often as can be at ``half_ml``, log-logistic in the volume."""

    half_ml: float
    steepness: float

    def blocked(self, volume_ml: float) -> float:
        """Return the chance, 0 to 1."""
        grown = (volume_ml / self.half_ml) ** self.steepness
        return float(grown / (1 + grown))


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockModel:
    """Everything the chances are computed from."""

    events: dict[str, Event]
    chains: tuple[tuple[str, ...], ...]
    """Orders, the most proximal event first; an event stands in one at most."""

    alternatives: tuple[tuple[str, ...], ...]
    blocks: dict[str, Block]
    spread: Spread | Decreasing
    volumes_ml: tuple[float, ...]
    default_ml: float
    wanted_at_least: float
    spared_at_least: float
    decreasing: Decreasing | None = None
    """The other assumption on spread that the data has."""

    working: Working | None = None


READINGS = ("take_off", "parting")
"""How every branch is counted, wanted or not: by where it leaves its trunk, or by where it no longer runs beside it."""


def block_model(dataset: Dataset) -> BlockModel:
    """Build the model from a checked dataset that holds branches.yaml.

    Raises:
        DataError: If the data has no branches.
    """
    file = dataset.branches
    return BlockModel(
        events={
            id_: Event(
                id=id_,
                parent=record.parent,
                kind=record.event,
                mean_z_mm=record.mean_z_mm,
                sd_mm=record.sd_mm,
                min_z_mm=record.min_z_mm,
                max_z_mm=record.max_z_mm,
                prevalence=record.prevalence,
                if_absent=record.if_absent,
                present_with=record.present_with,
                beside_trunk_until=record.beside_trunk_until,
                muscles=record.muscles,
            )
            for id_, record in file.branches.items()
        },
        chains=tuple(order.chain for order in file.orders),
        alternatives=tuple(group.of for group in file.alternatives),
        blocks={
            nerve: Block(
                nerve=nerve,
                wanted=record.wanted,
                unwanted=record.unwanted,
                decisive=record.decisive,
                apart=record.apart,
                beside=record.beside,
            )
            for nerve, record in file.blocks.items()
        },
        spread=Spread(base_mm=file.spread.base_mm, per_ml_mm=file.spread.per_ml_mm, sd_mm=file.spread.sd_mm),
        decreasing=_decreasing(file.spread.decreasing),
        working=_working(file.spread.working),
        volumes_ml=file.spread.volumes_ml,
        default_ml=file.spread.default_ml,
        wanted_at_least=file.spread.wanted_at_least,
        spared_at_least=file.spread.spared_at_least,
    )


def _decreasing(record: DecreasingRecord | None) -> Decreasing | None:
    if record is None:
        return None
    return Decreasing(
        first_ml_mm=record.first_ml_mm.value,
        exponent=record.exponent.value,
        limb_cv=record.limb_cv.value,
        evenness=record.evenness,
        placement_sd_mm=record.placement_sd_mm,
        least_mm=record.least_mm,
        barrier_mm=record.barrier_mm,
        turned_back=record.turned_back,
    )


def _working(record: WorkingRecord | None) -> Working | None:
    if record is None:
        return None
    return Working(half_ml=record.half_ml.value, steepness=record.steepness.value)


def scaled(model: BlockModel, *, length_scale: float) -> BlockModel:
    """Return the model for an arm whose heights are those of the reference forearm times ``length_scale``.

    That every take-off moves with the length of the forearm is an assumption; the bathed length does not scale.
    """
    events = {
        id_: replace(
            event,
            mean_z_mm=event.mean_z_mm * length_scale,
            sd_mm=event.sd_mm * length_scale,
            min_z_mm=event.min_z_mm * length_scale,
            max_z_mm=event.max_z_mm * length_scale,
        )
        for id_, event in model.events.items()
    }
    return replace(model, events=events)


def line_of(model: BlockModel) -> Spread:
    """Return the straight line that the model assumes.

    Raises:
        ValueError: If it assumes another spread.
    """
    if not isinstance(model.spread, Spread):
        raise ValueError("the model assumes no straight line")
    return model.spread


def with_spread(
    model: BlockModel, *, base_mm: float | None = None, per_ml_mm: float | None = None, sd_mm: float | None = None
) -> BlockModel:
    """Return the model under another straight line of the bathed length; what is None stays.

    Raises:
        ValueError: If the model assumes another spread.
    """
    given = {"base_mm": base_mm, "per_ml_mm": per_ml_mm, "sd_mm": sd_mm}
    return replace(model, spread=replace(line_of(model), **{key: v for key, v in given.items() if v is not None}))


def counted_at(event: Event, reading: str) -> str:
    """Return the event whose height decides whether ``event`` is caught under a reading, wanted or not; itself where no
    parting is known.

    Raises:
        ValueError: If the reading is unknown.
    """
    if reading not in READINGS:
        raise ValueError(f"reading is {reading!r} (allowed: {', '.join(READINGS)})")
    if reading == "parting" and event.beside_trunk_until is not None:
        return event.beside_trunk_until
    return event.id
