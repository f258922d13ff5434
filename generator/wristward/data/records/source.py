"""Records of sources.yaml (bibliography with CSL's names)."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from wristward.data.records.record import Id, Many, Name, Record, Seen, WebAddress, Words, fault

UNPUBLISHED = ("graphic", "personal_communication")
"""Types behind which no publication stands; facts that rest on them need not say what was read."""

Number = Annotated[
    str, BeforeValidator(lambda value: str(value) if type(value) is int else value, json_schema_input_type=str | int)
]


class Author(Record):
    """A name, as CSL splits it."""

    family: Name | None = Field(default=None, description="Family name.", examples=["Bae"])
    given: Name | None = Field(default=None, description="Given names or initials.", examples=["J."])
    literal: Name | None = Field(default=None, description="A name that is not split.", examples=["others"])

    @model_validator(mode="after")
    def _named(self) -> Author:
        if (self.family is None) == (self.literal is None):
            raise fault("an author needs one of 'family' or 'literal'")
        return self

    @property
    def shown(self) -> str:
        """The family name, or the whole of a name that is not split."""
        return self.family or self.literal or ""


class SourceRecord(Record):
    """Where facts come from. Only what was read is given; nothing is filled in from elsewhere."""

    type: Literal[
        "article",
        "article-journal",
        "book",
        "chapter",
        "dataset",
        "document",
        "graphic",
        "legislation",
        "paper-conference",
        "personal_communication",
        "report",
        "software",
        "standard",
        "thesis",
        "webpage",
    ] = Field(
        description="CSL type; graphic and personal_communication stand for no publication.",
        examples=["article-journal"],
    )
    what: Words = Field(description="What it is good for, in our own words.", examples=["take-off levels in 44 limbs"])
    title: Words | None = Field(default=None, description="Title as published.", examples=["A title"])
    author: Many[Author] = Field(
        default=(), description="Authors.", examples=[[{"family": "Bae"}, {"literal": "others"}]]
    )
    issued: Annotated[int, Field(ge=1500, le=2100)] | None = Field(default=None, description="Year.", examples=[2021])
    container_title: Name | None = Field(
        default=None, alias="container-title", description="Journal or book.", examples=["Clin Orthop"]
    )
    publisher: Words | None = Field(default=None, description="Publisher.", examples=["A publisher"])
    edition: Number | None = Field(default=None, description="Edition.", examples=["2"])
    volume: Number | None = Field(default=None, description="Volume.", examples=["40"])
    issue: Number | None = Field(default=None, description="Issue.", examples=["5"])
    number: Number | None = Field(default=None, description="Article number.", examples=["a2021.0078"])
    page: Number | None = Field(default=None, description="Pages.", examples=["367"])
    DOI: Words | None = Field(default=None, description="DOI, where it was read.", examples=["10.1000/example"])
    PMID: Number | None = Field(default=None, description="PubMed number, where it was read.", examples=["12345678"])
    URL: WebAddress | None = Field(
        default=None, description="Address, where it was read.", examples=["https://example.org"]
    )
    seen: Seen | None = Field(
        default=None, description="What was read; facts may say it themselves.", examples=["abstract"]
    )
    rows: Many[Words] = Field(default=(), description="Rows of the number sheets that rest on it.", examples=[["M15"]])
    note: Words | None = Field(
        default=None, description="What was not read, or came from memory.", examples=["author recalled"]
    )

    @property
    def published(self) -> bool:
        """Say whether a publication stands behind it."""
        return self.type not in UNPUBLISHED


class SourcesFile(Record):
    """The bibliography."""

    sources: dict[Id, SourceRecord] = Field(description="Sources by key.")
