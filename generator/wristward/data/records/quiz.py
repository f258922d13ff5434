"""Records of quiz_items.yaml: questions written by hand, for what no model computes. A course brings its own file."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from wristward.data.records.record import Id, InRegion, Many, NerveId, Record, Refers, Sourced, StructureId, Words

KindName = Annotated[str, Refers("kind of question")]


class WrittenOptionRecord(Record):
    """One answer on offer."""

    text: Words = Field(description="What is offered.", examples=["palm, middle part"])
    right: bool = Field(default=False, description="Whether it is right.", examples=[True])
    why: Words = Field(description="What a reader who chose it is told.", examples=["It has a branch of its own."])


class WrittenItemRecord(Sourced):
    """One question written by hand. It keeps the same rules as those that are computed."""

    kind: KindName = Field(description="The kind it is practised with.")
    form: Literal["choice", "many", "order", "tap", "height"] = Field(
        default="choice",
        description=(
            "How it is answered: one right of several, several right, a list put in order (written in the right "
            "order), a marker on the section, or a height on the slider."
        ),
        examples=["choice"],
    )
    topics: Annotated[Many[Id], Field(min_length=1, max_length=12)] = Field(
        description="Structures and operations it belongs to, a stretch of region.yaml, or 'heights'.",
        examples=[["heights"]],
    )
    stem: Words = Field(description="The question.", examples=["Which patch keeps its feeling?"])
    options: Many[WrittenOptionRecord] = Field(
        default=(), description="Answers on offer; none for a marker or a height."
    )
    z_mm: Annotated[int, InRegion()] | None = Field(
        default=None,
        description="Height of the section it shows or links to, or the height that is right, mm.",
        examples=[60],
    )
    shows_section: bool = Field(default=False, description="Whether the section stands with it.", examples=[True])
    target: NerveId | None = Field(
        default=None, description="What is lit after the answer, and what a marker must hit."
    )
    marks: Many[StructureId] = Field(
        default=(), description="Structures that carry a number on the section, the first numbered 1."
    )
    why: Words = Field(description="What every reader is told.", examples=["The branch leaves above the block."])


class QuizItemsFile(Record):
    """Questions written by hand, by id."""

    items: dict[Id, WrittenItemRecord] = Field(description="Questions by id.")
