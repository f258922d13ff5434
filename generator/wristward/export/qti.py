"""One question as a QTI item, in the words of QTI 2.1 or of QTI 3.0; both say the same things with other names.

Marks are given by ranges (gte, lte), never by a tolerance: players were seen to ignore it. Without feedback the
scoring is a published template, for systems that skip items with processing of their own.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

from wristward.export.picture import Picture
from wristward.export.question import Band, Choice, Question
from wristward.export.spoken import joined, other_language, pieces

HTML = frozenset(["p", "div", "img", "object", "br", "strong", "em", "ul", "li", "span"])
CAMEL = re.compile(r"(?<=[a-z0-9])([A-Z])")
NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
IMAGES = "../images"
XML_LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dialect:
    """A version of QTI: its names and addresses."""

    name: str
    namespace: str
    schema: str
    templates: str
    item_type: str
    test_type: str
    manifest_namespace: str
    schema_name: str
    schema_version: str
    dashed: bool
    """Whether names are written "qti-simple-choice" (3.0) or "simpleChoice" (2.1)."""

    def tag(self, name: str) -> str:
        """Return an element's name, given as in 2.1; HTML's own are the same in both."""
        return name if name in HTML or not self.dashed else "qti-" + dashed(name)

    def attribute(self, name: str) -> str:
        """Return an attribute's name, given as in 2.1."""
        return name if not self.dashed or ":" in name else dashed(name)


QTI_3 = Dialect(
    name="QTI 3.0",
    namespace="http://www.imsglobal.org/xsd/imsqtiasi_v3p0",
    schema="https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqti_asiv3p0_v1p0.xsd",
    templates="https://purl.imsglobal.org/spec/qti/v3p0/rptemplates/{}.xml",
    item_type="imsqti_item_xmlv3p0",
    test_type="imsqti_test_xmlv3p0",
    manifest_namespace="http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1",
    schema_name="QTI Package",
    schema_version="3.0.0",
    dashed=True,
)
QTI_21 = Dialect(
    name="QTI 2.1",
    namespace="http://www.imsglobal.org/xsd/imsqti_v2p1",
    schema="http://www.imsglobal.org/xsd/qti/qtiv2p1/imsqti_v2p1.xsd",
    templates="http://www.imsglobal.org/question/qti_v2p1/rptemplates/{}",
    item_type="imsqti_item_xmlv2p1",
    test_type="imsqti_test_xmlv2p1",
    manifest_namespace="http://www.imsglobal.org/xsd/imscp_v1p1",
    schema_name="QTIv2.1 Package",
    schema_version="1.0.0",
    dashed=False,
)


def dashed(name: str) -> str:
    """Return "simpleChoice" as "simple-choice"."""
    return CAMEL.sub(lambda found: "-" + found[1].lower(), name)


class Writer:
    """Makes elements in one dialect, for a document in one language."""

    def __init__(self, dialect: Dialect, *, language: str) -> None:
        self.dialect, self.language = dialect, language

    def make(self, name: str, *children: ET.Element | str, **attributes: object) -> ET.Element:
        """Return an element named as in 2.1; an underscore at an attribute's end is dropped, for Python's own words.

        What is known to be in another language than the document says so.
        """
        made = ET.Element(self.dialect.tag(name))
        for key, value in attributes.items():
            made.set(self.dialect.attribute(key.rstrip("_")), clean(_text(value)))
        alone = [attributes["alt"]] if "alt" in attributes else [*children]
        if len(alone) == 1 and isinstance(alone[0], str):
            other = other_language(alone[0], self.language)
            if other is not None:
                made.set(XML_LANGUAGE, other)
        for child in children:
            if not isinstance(child, str):
                made.append(child)
            elif len(children) > 1 and other_language(child, self.language) is not None:
                made.append(self.make("span", child))
            else:
                _append_text(made, clean(child))
        return made

    def root(self, name: str, *children: ET.Element, **attributes: object) -> ET.Element:
        """Return a document's element, with the dialect's namespace and schema."""
        made = self.make(name, *children, **attributes)
        own = dict(made.attrib)
        made.attrib.clear()
        made.set("xmlns", self.dialect.namespace)
        made.set("xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance")
        made.set("xsi:schemaLocation", f"{self.dialect.namespace} {self.dialect.schema}")
        made.attrib.update(own)
        return made


def document(root: ET.Element) -> bytes:
    """Return an element as a file, the same bytes for the same element."""
    content: bytes = ET.tostring(root, encoding="utf-8")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + content + b"\n"


def clean(text: str) -> str:
    """Return text without the signs that XML cannot hold."""
    return NOT_XML.sub("\ufffd", text)


def item_xml(question: Question, dialect: Dialect, words: Mapping[str, str], *, language: str, plain: bool) -> bytes:
    """Return one question as a QTI item.

    Args:
        question: What to write.
        dialect: ``QTI_3`` or ``QTI_21``.
        words: Readers' words; ``export.*`` is used.
        language: Of the words, such as "en".
        plain: Whether to leave feedback out and score by a published template where there is one.
    """
    write = Writer(dialect, language=language)
    feedback = () if plain else _feedback(write, question, words)
    root = write.root(
        "assessmentItem",
        _response(write, question),
        *_outcomes(write, with_feedback=not plain),
        write.make("itemBody", *_body(write, question, words)),
        _processing(write, question, plain=plain),
        *feedback,
        identifier=question.id,
        title=question.title,
        adaptive=False,
        timeDependent=False,
    )
    root.set(XML_LANGUAGE, language)
    return document(root)


def _response(write: Writer, question: Question) -> ET.Element:
    make = write.make
    kinds = {
        "choice": ("single", "identifier"),
        "hotspot": ("single", "identifier"),
        "many": ("multiple", "identifier"),
        "match": ("multiple", "directedPair"),
        "order": ("ordered", "identifier"),
        "number": ("single", "float"),
    }
    cardinality, base = kinds[question.form]
    values = [make("value", one) for one in right_values(question)]
    parts = [make("correctResponse", *values)]
    if question.form in ("many", "match"):
        entries = [make("mapEntry", mapKey=key, mappedValue=_number(marks)) for key, marks in mapping(question)]
        parts.append(make("mapping", *entries, lowerBound=0, upperBound=1, defaultValue=0))
    return make("responseDeclaration", *parts, identifier="RESPONSE", cardinality=cardinality, baseType=base)


def right_values(question: Question) -> list[str]:
    """Return the right response as QTI writes it: identifiers, pairs, or the number shown as the key."""
    if question.form == "order":
        return list(question.right_order)
    if question.right_spot is not None:
        return [question.right_spot]
    if question.key_cm is not None:
        return [_number(question.key_cm)]
    if question.form == "match":
        yes, no = question.columns
        return [f"{one.id} {(yes if one.right else no).id}" for one in question.choices]
    return [one.id for one in question.choices if one.right]


def mapping(question: Question) -> list[tuple[str, float]]:
    """Return the marks of each choice or pair: all right ones together make 1, all wrong ones together take 1 off."""
    if question.form == "match":
        return [(pair, 1 / len(question.choices)) for pair in right_values(question)]
    count = {right: sum(one.right == right for one in question.choices) for right in (True, False)}
    return [(one.id, (1 if one.right else -1) / count[one.right]) for one in question.choices]


def _outcomes(write: Writer, *, with_feedback: bool) -> list[ET.Element]:
    make = write.make

    def number(identifier: str, value: int, **more: object) -> ET.Element:
        default = make("defaultValue", make("value", str(value)))
        return make(
            "outcomeDeclaration", default, identifier=identifier, cardinality="single", baseType="float", **more
        )

    declared = [number("SCORE", 0, normalMaximum=1, normalMinimum=0), number("MAXSCORE", 1)]
    if with_feedback:
        declared.append(make("outcomeDeclaration", identifier="FEEDBACK", cardinality="single", baseType="identifier"))
    return declared


def _body(write: Writer, question: Question, words: Mapping[str, str]) -> list[ET.Element]:
    make, picture = write.make, question.picture
    asked = (question.stem,) if question.task is None else (question.stem, " ", question.task)
    prompt = make("prompt", *asked)
    body = []
    if picture is not None and question.form != "hotspot":
        image = make(
            "img", src=f"{IMAGES}/{question.id}.svg", alt=picture.alt, width=picture.width, height=picture.height
        )
        body.append(make("div", image))
    common = {"responseIdentifier": "RESPONSE"}
    if question.form in ("choice", "many"):
        choices = [make("simpleChoice", one.text, identifier=one.id) for one in question.choices]
        most = 1 if question.form == "choice" else 0
        body.append(make("choiceInteraction", prompt, *choices, **common, shuffle=False, maxChoices=most))
    elif question.form == "order":
        choices = [make("simpleChoice", one.text, identifier=one.id) for one in question.choices]
        body.append(make("orderInteraction", prompt, *choices, **common, shuffle=False))
    elif question.form == "match":
        count = len(question.choices)

        def column(ones: Sequence[Choice], most: int) -> ET.Element:
            made = [make("simpleAssociableChoice", one.text, identifier=one.id, matchMax=most) for one in ones]
            return make("simpleMatchSet", *made)

        sets = (column(question.choices, 1), column(question.columns, count))
        # Rows and columns with a mark in each row: nothing has to be dragged.
        table = {"class_": "qti-match-tabular"} if write.dialect.dashed else {}
        body.append(make("matchInteraction", prompt, *sets, **common, **table, shuffle=False, maxAssociations=count))
    elif question.form == "hotspot" and picture is not None:
        body.append(_hotspot(write, question, picture, prompt))
    else:
        body.append(make("div", *asked))
        entry = make("textEntryInteraction", **common, expectedLength=6)
        body.append(make("p", entry, f" {words['export.unit']}"))
    return body


def _hotspot(write: Writer, question: Question, picture: Picture, prompt: ET.Element) -> ET.Element:
    make = write.make
    address = f"{IMAGES}/{question.id}.svg"
    size = {"width": picture.width, "height": picture.height}
    if write.dialect.dashed:
        image = make("img", src=address, alt=picture.alt, **size)
    else:
        image = make("object", picture.alt, data=address, type="image/svg+xml", **size)
    spots = [
        make("hotspotChoice", identifier=one.id, shape=one.shape, coords=",".join(map(str, one.coords)))
        for one in question.spots
    ]
    return make("hotspotInteraction", prompt, image, *spots, responseIdentifier="RESPONSE", maxChoices=1)


def _processing(write: Writer, question: Question, *, plain: bool) -> ET.Element:
    make = write.make
    mapped = question.form in ("many", "match")
    if plain and question.form != "number":
        name = "map_response" if mapped else "match_correct"
        return make("responseProcessing", template=write.dialect.templates.format(name))

    def response() -> ET.Element:
        return make("variable", identifier="RESPONSE")

    def score(value: ET.Element) -> ET.Element:
        return make("setOutcomeValue", value, identifier="SCORE")

    def marks(value: float) -> ET.Element:
        return score(make("baseValue", _number(value), baseType="float"))

    if question.form == "number":
        # The best marks first: the first condition that holds decides.
        rules = [
            make(
                "responseElseIf" if place else "responseIf",
                make("and", *_within(make, band, response)),
                marks(band.marks),
            )
            for place, band in enumerate(question.bands)
        ]
        rules.append(make("responseElse", marks(0)))
    elif mapped:
        rules = [
            make("responseIf", make("isNull", response()), marks(0)),
            make("responseElse", score(make("mapResponse", identifier="RESPONSE"))),
        ]
    else:
        right = make("match", response(), make("correct", identifier="RESPONSE"))
        rules = [make("responseIf", right, marks(1)), make("responseElse", marks(0))]
    steps = [make("responseCondition", *rules)]
    if not plain:
        shown = response() if question.form == "choice" else make("baseValue", "reason", baseType="identifier")
        answered = make("responseIf", make("not", make("isNull", response())),
                        make("setOutcomeValue", shown, identifier="FEEDBACK"))  # fmt: skip
        steps.append(make("responseCondition", answered))
    return make("responseProcessing", *steps)


def _within(
    make: Callable[..., ET.Element], band: Band, response: Callable[[], ET.Element]
) -> tuple[ET.Element, ET.Element]:
    def base(value: float) -> ET.Element:
        return make("baseValue", _number(value), baseType="float")

    return make("gte", response(), base(band.low_cm)), make("lte", response(), base(band.high_cm))


def _feedback(write: Writer, question: Question, words: Mapping[str, str]) -> list[ET.Element]:
    """Return what is shown after the answer: the reason of the choice taken, or of the whole."""
    make, title = write.make, words["export.feedback.heading"]
    source = pieces(words["export.source"], names=joined("; ", question.sources))

    def shown(identifier: str, texts: list[tuple[str, ...]]) -> ET.Element:
        inside = [make("p", *text) for text in (*dict.fromkeys(texts), source)]
        if write.dialect.dashed:
            inside = [make("contentBody", *inside)]
        return make(
            "modalFeedback", *inside, outcomeIdentifier="FEEDBACK", identifier=identifier, showHide="show", title=title
        )

    if question.form == "choice":
        return [shown(one.id, [(one.why,), (question.why,)]) for one in question.choices]
    reasons = [(one.text, ": ", one.why) for one in question.choices if one.why and question.form != "order"]
    return [shown("reason", [*reasons, (question.why,)])]


def _append_text(element: ET.Element, text: str) -> None:
    if len(element):
        element[-1].tail = (element[-1].tail or "") + text
    else:
        element.text = (element.text or "") + text


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def _number(value: float) -> str:
    """Return a number as short as it can be said exactly enough: a third as 0.333333, 12.0 as 12."""
    return f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".")
