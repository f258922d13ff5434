"""What all records share: strictness, sources, and names that must resolve.

A field typed ``StructureId`` or ``SourceKey`` is found by ``references`` wherever it stands, also in records
that other layers add, so that one check knows every name an author can mistype.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, Literal, TypeVar, get_args, get_origin
from unicodedata import category

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ValidationError,
    ValidationInfo,
    model_validator,
)
from pydantic_core import CoreSchema, ErrorDetails, InitErrorDetails, PydanticCustomError, PydanticKnownError
from pydantic_core.core_schema import with_info_after_validator_function

from wristward.errors import nearest, quoted, unknown

T = TypeVar("T")

Loc = tuple[str | int, ...]
"""Where a value stands in a record: keys and indexes."""


@dataclass(frozen=True, slots=True)
class Refers:
    """Marks a text field as the name of something defined elsewhere."""

    to: str
    """"structure", "source", "landmark", or a kind that a registered part defines."""

    besides: tuple[str, ...] = ()
    """Words that may stand there as well and name nothing."""

    such_as: str | None = None
    """Kind of structure that an example is taken from."""

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Leave word for ``wristward.data.schema``, which knows the names."""
        return {**handler(schema), REFERS: self}


@dataclass(frozen=True, slots=True)
class InRegion:
    """Marks a height that must lie in the region, between its ends; the reader says how high the region reaches."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Check the height as a bound of the field is checked, where the region could be read."""
        return with_info_after_validator_function(_in_region, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Leave word for ``wristward.data.schema``, which knows the ends."""
        return {**handler(schema), IN_REGION: True}


TOP_MM = "top_mm"
"""Under this key the reader says how high the region reaches, mm."""


def _in_region(height: float, info: ValidationInfo) -> float:
    top_mm = (info.context or {}).get(TOP_MM)
    if top_mm is not None and height < 0:
        raise PydanticKnownError("greater_than_equal", {"ge": 0})
    if top_mm is not None and height > top_mm:
        raise PydanticKnownError("less_than_equal", {"le": top_mm})
    return height


REFERS, IN_REGION = "x-refers", "x-in-region"
"""Keys under which the marks stand in a schema that is not finished."""


class Record(BaseModel):
    """A checked, frozen map of the data. Unknown keys are answered with the nearest known one."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False, defer_build=True)

    @classmethod
    def key_names(cls) -> list[str]:
        """Return the keys as authors write them."""
        return [info.alias or name for name, info in cls.model_fields.items()]

    @model_validator(mode="wrap")
    @classmethod
    def _answer_unknown_keys(cls, value: Any, handler: Any) -> Any:
        if not isinstance(value, dict):
            return handler(value)
        known = cls.key_names()
        strangers = [key for key in value if key not in known]
        if not strangers:
            return handler(value)
        faults = [
            InitErrorDetails(
                type=PydanticCustomError("unknown_key", "{text}", {"text": unknown("key", key, known)}),
                loc=(key,),
                input=value[key],
            )
            for key in strangers
        ]
        try:
            handler({key: entry for key, entry in value.items() if key in known})
        except ValidationError as error:
            meant = {(nearest(key, known),) for key in strangers}  # named as the guess already, not missing too
            for details in error.errors(include_url=False):
                if details["type"] != "missing" or details["loc"] not in meant:
                    faults.append(_again(details))
        raise ValidationError.from_exception_data(cls.__name__, faults)


def _again(details: ErrorDetails) -> InitErrorDetails:
    """Turn a reported error back into one that can be raised together with others."""
    kind: str | PydanticCustomError = details["type"]
    if kind == "unknown_key" or kind == "plain":
        kind = PydanticCustomError(kind, "{text}", details["ctx"])
    return InitErrorDetails(type=kind, loc=details["loc"], input=details["input"], ctx=details.get("ctx", {}))


def fault(text: str, *, key: str | None = None) -> PydanticCustomError:
    """Return the error a validator raises with words of its own.

    Args:
        text: What is wrong; text that begins with "must" gets the field's name before it.
        key: Key of the record's value that is to be pointed at; without it the record or field itself is.
    """
    return PydanticCustomError("plain", "{text}", {"text": text, "key": key})


def key(description: str, *, example: Any = None, default: Any = ...) -> Any:
    """Return a key of a record that another layer writes, without knowing what checks it.

    Args:
        description: What an author is told of it.
        example: One value; without one the schema takes examples from the data.
        default: What holds where it is left out; without one it must be there.
    """
    return Field(default, description=description, examples=None if example is None else [example])


def _pair(value: Any) -> Any:
    if not isinstance(value, list) or len(value) != 2:
        raise fault("must be a pair of numbers, [a, b]")
    return tuple(value)


def _tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


Pair = Annotated[tuple[float, float], BeforeValidator(_pair)]
"""Two numbers; for points x then y, mm, section frame."""

Many = Annotated[tuple[T, ...], BeforeValidator(_tuple)]
"""A list in the file, a tuple in the record."""


def _words(value: str) -> str:
    odd = next((sign for sign in value if sign not in "\n\t" and category(sign) in ("Cc", "Cs")), None)
    if odd is not None:
        raise fault(f"must not hold the control character U+{ord(odd):04X}")
    if value and not value.strip():
        raise fault("must be text, not blanks alone")
    return value


def _name(value: str) -> str:
    if "\n" in value or "\t" in value:
        raise fault("must be one line")
    if value != value.strip():
        raise fault("must neither begin nor end with a blank")
    return value


def _web_address(value: str) -> str:
    if _WEB_ADDRESS.fullmatch(value) is None:
        raise fault(f"must begin with https:// or http:// and hold neither a blank nor quotes, but is {quoted(value)}")
    return value


_WEB_ADDRESS = re.compile(r"https?://[^\s<>\"'`{}|\\^]+")

Id = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=80)]
Words = Annotated[str, Field(min_length=1), AfterValidator(_words)]
"""Text of any length for readers or contributors, without control characters."""

Name = Annotated[Words, AfterValidator(_name)]
"""What readers call something, in headings, menus and the middle of sentences: one line."""

WebAddress = Annotated[Words, AfterValidator(_web_address)]
StructureId = Annotated[str, Refers("structure")]
BoneId = Annotated[str, Refers("structure", such_as="bone")]
MuscleId = Annotated[str, Refers("structure", such_as="muscle")]
NerveId = Annotated[str, Refers("structure", such_as="nerve")]
ArteryId = Annotated[str, Refers("structure", such_as="artery")]
DirectionId = Annotated[str, Refers("direction")]
SheetId = Annotated[str, Refers("structure", such_as="sheet")]
SourceKey = Annotated[str, Refers("source")]
Height = Annotated[float, Field(ge=-200, le=600)]
WholeHeight = Annotated[int, Field(ge=0)]
"""Height of a section above the wrist crease, whole mm."""

Millilitres = Annotated[float, Field(gt=0)]
RegionHeight = Annotated[float, InRegion()]
Confidence = Annotated[int, Field(ge=1, le=3)]
Seen = Literal["table", "abstract", "memory"]


if TYPE_CHECKING:
    # In a file they may be left out; ``checks.sources`` settles them, and a dataset holds no fact without.
    SettledSource = str
    SettledConfidence = int
else:
    SettledSource = SourceKey | None
    SettledConfidence = Confidence | None


def _left_out(**described: Any) -> Any:
    return Field(default=None, **described)


class Sourced(Record):
    """A map that says where its content comes from; what it leaves out comes from the map or file around it."""

    source: SettledSource = _left_out(
        description="Key of sources.yaml. Without it the source of the record or file around it counts.",
        examples=["own_drawing"],
    )
    confidence: SettledConfidence = _left_out(
        description="1 rough or drawn, 2 fair, 3 sure; copied from the number sheet.", examples=[1]
    )
    seen: Seen | None = Field(
        default=None,
        description="What was read: a table, an abstract, or nothing (memory). Without it the source's own counts.",
        examples=["abstract"],
    )
    rows: Many[Words] = Field(
        default=(), description="Rows of the number sheets the value rests on.", examples=[["M15"]]
    )
    note: Words | None = Field(
        default=None, description="Anything a reader of the file should know.", examples=["n = 44"]
    )


def references(value: Any, annotation: Any = None, loc: Loc = ()) -> Iterator[tuple[Loc, str, str]]:
    """Yield (path, kind, name) of every field that refers to something, depth first in field order."""
    if isinstance(value, Record):
        for name, key, inner in _named_in(type(value)):
            yield from references(getattr(value, name), inner, (*loc, key))
    elif isinstance(value, str):
        mark = _refers_to(annotation)
        if mark is not None and value not in mark.besides:
            yield loc, mark.to, value
    elif isinstance(value, tuple) and not _numbers(value):
        for index, entry in enumerate(value):
            yield from references(entry, annotation, (*loc, index))
    elif isinstance(value, dict):
        for key, entry in value.items():
            yield from references(entry, annotation, (*loc, key))


def key_references(value: Any, loc: Loc = ()) -> Iterator[tuple[Loc, str, str]]:
    """Yield (path, kind, name) of every map key that refers to something."""
    if isinstance(value, Record):
        for name, key, mark in _keyed_in(type(value)):
            entry = getattr(value, name)
            where = (*loc, key)
            if isinstance(entry, dict) and mark is not None:
                yield from (((*where, inner), mark.to, inner) for inner in entry)
            yield from key_references(entry, where)
    elif isinstance(value, tuple):
        for index, entry in enumerate(value):
            yield from key_references(entry, (*loc, index))
    elif isinstance(value, dict):
        for key, entry in value.items():
            yield from key_references(entry, (*loc, key))


@cache
def _named_in(record: type[Record]) -> tuple[tuple[str, str, Any], ...]:
    """Return the fields in which a name may stand: each with its key and annotation. Most hold numbers and prose."""
    found = []
    for name, info in record.model_fields.items():
        marks = [mark for mark in info.metadata if isinstance(mark, Refers)]
        inner: Any = Annotated[info.annotation, marks[0]] if marks else info.annotation
        if _holds_records(inner) or _refers_to(inner) is not None:
            found.append((name, info.alias or name, inner))
    return tuple(found)


@cache
def _keyed_in(record: type[Record]) -> tuple[tuple[str, str, Refers | None], ...]:
    """Return the fields in which a map may go by names: each with its key and what its own keys refer to, if anything."""
    fields = ((name, info, _key_refers_to(info.annotation)) for name, info in record.model_fields.items())
    return tuple(
        (name, info.alias or name, mark)
        for name, info, mark in fields
        if mark is not None or _holds_records(info.annotation)
    )


def _holds_records(annotation: Any) -> bool:
    """Say whether a value of an annotation may be or hold a record; what is not known may."""
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Literal or annotation in (None, ...):
        return False
    if inner:
        return any(map(_holds_records, inner[:1] if origin is Annotated else inner))
    return not isinstance(annotation, type) or issubclass(annotation, Record)


def _numbers(value: tuple[Any, ...]) -> bool:
    """Tell points, of which there are thousands, from lists that may hold names."""
    first = value[0] if value else 0.0
    return isinstance(first, float) or (isinstance(first, tuple) and first != () and isinstance(first[0], float))


@cache
def _refers_to(annotation: Any) -> Refers | None:
    """Find what a text refers to in an annotation such as ``tuple[Annotated[str, Refers(...)], ...] | None``."""
    if get_origin(annotation) is Annotated:
        inner, *marks = get_args(annotation)
        for mark in marks:
            if isinstance(mark, Refers):
                return mark
        return _refers_to(inner)
    arguments = get_args(annotation)
    if get_origin(annotation) is dict:
        arguments = arguments[1:]
    for argument in arguments:
        found = _refers_to(argument)
        if found is not None:
            return found
    return None


def _key_refers_to(annotation: Any) -> Refers | None:
    """Find what the keys of a map refer to."""
    if get_origin(annotation) is dict:
        return _refers_to(get_args(annotation)[0])
    return next((found for part in get_args(annotation) if (found := _key_refers_to(part)) is not None), None)
