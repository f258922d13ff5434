"""A quiz as exchange formats can carry it: five kinds of question, each with what was changed on the way.

Formats know choices, tables, orders, outlines to choose and numbers to type; a marker, a slider and marks by rank are
ours alone. What a question lost is said with it, never silently.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wristward.data.dataset import Dataset
from wristward.export.picture import Picture, Spot, draw_picture, spots_of
from wristward.figure.legend import legend_of
from wristward.measure.arm import MEAN, as_in_arm
from wristward.quiz.compose import Asked
from wristward.quiz.item import Item
from wristward.quiz.scoring import CREDIT_STEP_MM, FULL, HEIGHT_FULL_MM, HEIGHT_HALF_MM
from wristward.quiz.wording import Wording, source_name
from wristward.section.section import Section

HALF = 0.5
MM_IN_CM = 10
LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One answer on offer, or one line of a table."""

    id: str
    """Opaque: says nothing of the answer."""

    text: str
    right: bool
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A range of heights in cm above the crease, ends included, and the marks it earns."""

    low_cm: float
    high_cm: float
    marks: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question in the form that a format can carry."""

    id: str
    title: str
    kind: str
    """As the quiz has it: "tap", "name" …"""

    form: str
    """choice, many, match, order, hotspot or number."""

    stem: str
    task: str | None = None
    """What the export asks besides, in a sentence of its own behind the stem."""

    choices: tuple[Choice, ...] = ()
    """As shown."""

    right_order: tuple[str, ...] = ()
    columns: tuple[Choice, ...] = ()
    """Form "match": the two columns, the first for what is right of ``choices``."""

    spots: tuple[Spot, ...] = ()
    right_spot: str | None = None
    target_name: str | None = None
    """Form "hotspot": name of what is to be chosen."""

    bands: tuple[Band, ...] = ()
    """Form "number": best marks first."""

    key_cm: float | None = None
    picture: Picture | None = None
    why: str
    sources: tuple[str, ...]
    changes: tuple[str, ...]
    """What was left out or changed into another kind, one sentence each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A question that a format cannot carry at all, and why."""

    kind: str
    reason: str


def questions_of(
    quiz: Sequence[Asked], dataset: Dataset, sections: Mapping[int, Section]
) -> tuple[tuple[Question, ...], tuple[LeftOut, ...]]:
    """Return a composed quiz as questions that exchange formats can carry, and those that none can.

    Args:
        quiz: What ``wristward.quiz.compose`` drew.
        dataset: The checked data.
        sections: Right, mean-arm sections at every whole mm.
    """
    carried: list[Question] = []
    left: list[LeftOut] = []
    maker = _Maker(dataset, sections)
    for asked in quiz:
        if asked.item.form not in maker.forms:
            words = dataset.words["export.left_out.form"]
            left.append(LeftOut(kind=asked.item.kind, reason=words.format(form=asked.item.form)))
            continue
        carried.append(maker.make(asked, number=len(carried) + 1))
    return tuple(carried), tuple(left)


class _Maker:
    def __init__(self, dataset: Dataset, sections: Mapping[int, Section]) -> None:
        self._dataset, self._sections = dataset, sections
        self._words, self._wording = dataset.words, Wording(dataset)
        self._legend = legend_of(dataset)
        self.forms = {
            "choice": self._choice,
            "many": self._many,
            "order": self._order,
            "tap": self._tap,
            "height": self._height,
        }

    def make(self, asked: Asked, *, number: int) -> Question:
        item = asked.item
        plain = Question(
            id=f"q{number:03d}-{item.id}",
            title=self._say("title", number=number),
            kind=item.kind,
            form=item.form,
            stem=item.stem,
            choices=tuple(
                Choice(id=f"{LETTERS[place]}{place + 1}", text=option.text, right=option.right, why=option.why)
                for place, option in enumerate(item.options[k] for k in asked.order)
            ),
            picture=self._picture(asked),
            why=item.why,
            sources=tuple(self._source(key) for key in item.sources),
            changes=(),
        )
        return self.forms[item.form](plain, asked)

    def _choice(self, plain: Question, asked: Asked) -> Question:
        return plain

    def _many(self, plain: Question, asked: Asked) -> Question:
        heads = asked.item.row.columns
        if heads is None:
            return replace(plain, changes=(self._say("change.many"),))
        columns = tuple(
            Choice(id=f"x{place}", text=self._say(f"column.{word}"), right=place == 1, why="")
            for place, word in enumerate(heads, start=1)
        )
        return replace(plain, form="match", columns=columns, changes=(self._say("change.match"),))

    def _order(self, plain: Question, asked: Asked) -> Question:
        by_place = {place: choice.id for place, choice in zip(asked.order, plain.choices, strict=True)}
        right = tuple(by_place[place] for place in sorted(by_place))
        return replace(plain, right_order=right, changes=(self._say("change.order"),))

    def _tap(self, plain: Question, asked: Asked) -> Question:
        target, z_mm = asked.item.asked_target, asked.item.asked_z_mm
        spots, right = spots_of(self._section(asked), target=target)
        stem = self._say("stem.tap", name=self._wording.name(target), height=self._wording.height(z_mm))
        return replace(
            plain,
            form="hotspot",
            stem=stem,
            spots=spots,
            right_spot=right,
            target_name=self._wording.name(target),
            changes=(self._say("change.tap"),),
        )

    def _height(self, plain: Question, asked: Asked) -> Question:
        item = asked.item
        typed = replace(plain, form="number", key_cm=item.asked_z_mm / MM_IN_CM)
        if item.credit:
            change, task = self._say("change.level"), self._say("stem.level")
            return replace(typed, task=task, bands=level_bands(item), changes=(change,))
        change, stem = self._say("change.height"), self._say("stem.height")
        return replace(typed, stem=stem, bands=height_bands(item), changes=(change,))

    def _picture(self, asked: Asked) -> Picture | None:
        item = asked.item
        if not item.shows_section:
            return None
        return draw_picture(
            self._section(asked),
            self._legend,
            self._words,
            marks=item.marks,
            alike=item.row.drawn_alike,
        )

    def _section(self, asked: Asked) -> Section:
        return as_in_arm(self._sections[asked.item.asked_z_mm], arm=MEAN, side=asked.side)

    def _source(self, key: str) -> str:
        return source_name(self._dataset.sources[key])

    def _say(self, key: str, **values: object) -> str:
        return self._words[f"export.{key}"].format(**values)


def height_bands(item: Item) -> tuple[Band, ...]:
    """Return the ranges that earn full and half marks for the height of a section, as on the site."""
    z_mm = item.asked_z_mm
    return tuple(
        Band(low_cm=max(z_mm - reach, 0) / MM_IN_CM, high_cm=(z_mm + reach) / MM_IN_CM, marks=marks)
        for reach, marks in ((HEIGHT_FULL_MM, 1.0), (HEIGHT_HALF_MM, HALF))
    )


def level_bands(item: Item) -> tuple[Band, ...]:
    """Return the ranges of levels that earn full or half marks: where the share of the best chance reaches 0.9, 0.5."""
    bands = []
    for least, marks in ((FULL, 1.0), (HALF, HALF)):
        inside = [k for k, share in enumerate(item.credit) if share >= round(100 * least)]
        for first, last in _runs(inside):
            step_cm = CREDIT_STEP_MM / MM_IN_CM
            bands.append(Band(low_cm=first * step_cm, high_cm=last * step_cm, marks=marks))
    return tuple(bands)


def _runs(places: Sequence[int]) -> list[tuple[int, int]]:
    """Return the first and last of each run of whole numbers that follow one another."""
    runs: list[tuple[int, int]] = []
    for place in places:
        if runs and runs[-1][1] == place - 1:
            runs[-1] = (runs[-1][0], place)
        else:
            runs.append((place, place))
    return runs
