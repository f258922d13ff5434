"""A quiz as a QTI package: items, pictures, a test that holds them in order, a manifest, and what it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from xml.etree import ElementTree as ET

from wristward.data.dataset import Dataset
from wristward.export.about import Facts, Package, about_text, report_of, title_of
from wristward.export.qti import XML_LANGUAGE, Dialect, Writer, clean, document, item_xml
from wristward.export.question import LeftOut, Question, questions_of
from wristward.export.spoken import like, other_language, stripped
from wristward.quiz.compose import Asked
from wristward.section.section import Section

LOM = "http://ltsc.ieee.org/xsd/LOM"


def qti_quiz(
    quiz: Sequence[Asked],
    dataset: Dataset,
    sections: Mapping[int, Section],
    facts: Facts,
    *,
    dialect: Dialect,
    plain: bool,
) -> Package:
    """Return a composed quiz as a package; the arguments are those of ``questions_of`` and ``qti_package``."""
    questions, left = questions_of(quiz, dataset, sections)
    return qti_package(questions, left, dialect, dataset.words, facts, plain=plain)


def qti_package(
    questions: Sequence[Question],
    left: Sequence[LeftOut],
    dialect: Dialect,
    words: Mapping[str, str],
    facts: Facts,
    *,
    plain: bool = False,
) -> Package:
    """Return the files of a package and the report on it.

    Args:
        questions: In the order in which they are asked.
        left: What could not be carried.
        dialect: ``QTI_3`` or ``QTI_21``.
        words: Readers' words; ``export.*`` is used.
        facts: Topic, seed and version.
        plain: Whether to leave feedback out and score by published templates where there is one.
    """
    report = report_of(words, questions, left)
    report += [words["export.common.link"]]
    if plain:
        report.append(words["export.common.feedback_left_out"])
    if any(one.picture is not None for one in questions):
        report.append(words["export.common.picture"])
    files: dict[str, bytes] = {}
    for one in questions:
        files[f"items/{one.id}.xml"] = item_xml(one, dialect, words, language=facts.language, plain=plain)
        if one.picture is not None:
            files[f"images/{one.id}.svg"] = one.picture.svg
    sources = [source for one in questions for source in one.sources]
    files["about.txt"] = about_text(words, facts, report, sources)
    files["test.xml"] = _test(questions, dialect, words, facts)
    files["imsmanifest.xml"] = _manifest(questions, dialect, words, facts)
    return Package(files=files, report=tuple(report))


def _test(questions: Sequence[Question], dialect: Dialect, words: Mapping[str, str], facts: Facts) -> bytes:
    write = Writer(dialect, language=facts.language)
    make = write.make
    said = [make("p", stripped(words[f"export.{key}"])) for key in ("cautions", "licence")]
    if dialect.dashed:
        said = [make("contentBody", *said)]
    section = make(
        "assessmentSection",
        make("rubricBlock", *said, view="candidate"),
        *(make("assessmentItemRef", identifier=one.id, href=f"items/{one.id}.xml") for one in questions),
        identifier="section1",
        title=title_of(words, facts),
        visible=True,
    )
    part = make("testPart", section, identifier="part1", navigationMode="nonlinear", submissionMode="individual")
    score = make(
        "outcomeDeclaration",
        make("defaultValue", make("value", "0")),
        identifier="SCORE",
        cardinality="single",
        baseType="float",
    )
    total = make("sum", make("testVariables", variableIdentifier="SCORE"))
    processing = make("outcomeProcessing", make("setOutcomeValue", total, identifier="SCORE"))
    root = write.root("assessmentTest", score, part, processing, identifier="test1", title=title_of(words, facts))
    return document(root)


def _manifest(questions: Sequence[Question], dialect: Dialect, words: Mapping[str, str], facts: Facts) -> bytes:
    root = ET.Element("manifest", {"xmlns": dialect.manifest_namespace, "xmlns:lom": LOM, "identifier": "wristward"})
    metadata = _child(root, "metadata")
    _child(metadata, "schema", dialect.schema_name)
    _child(metadata, "schemaversion", dialect.schema_version)
    add_lom(metadata, words, facts, prefix="lom:", text="string")
    _child(root, "organizations")
    resources = _child(root, "resources")
    test = _resource(resources, "test1-resource", dialect.test_type, "test.xml")
    for one in questions:
        _child(test, "dependency", identifierref=f"{one.id}-resource")
    _child(test, "dependency", identifierref="about-resource")
    for one in questions:
        item = _resource(resources, f"{one.id}-resource", dialect.item_type, f"items/{one.id}.xml")
        if one.picture is not None:
            _child(item, "file", href=f"images/{one.id}.svg")
    _resource(resources, "about-resource", "webcontent", "about.txt")
    return document(root)


def add_lom(metadata: ET.Element, words: Mapping[str, str], facts: Facts, *, prefix: str, text: str) -> None:
    """Add title, description and rights to a manifest's metadata.

    Args:
        metadata: Where it goes.
        words: Readers' words.
        facts: Topic, seed and version.
        prefix: Of the element names, with its colon.
        text: Name of the element that holds a text in a language: "string", or "langstring" in older manifests.
    """

    def said(parent: ET.Element, name: str, content: str) -> None:
        holder = _child(parent, f"{prefix}{name}")
        one = _child(holder, f"{prefix}{text}", content)
        language = other_language(content, facts.language) or facts.language
        one.set("language" if text == "string" else XML_LANGUAGE, language)

    lom = _child(metadata, f"{prefix}lom")
    general = _child(lom, f"{prefix}general")
    said(general, "title", title_of(words, facts))
    version = words["export.version"].format(version=facts.version, seed=facts.seed)
    cautions = words["export.cautions"]
    said(general, "description", like(cautions, f"{cautions.strip()} {version}"))
    rights = _child(lom, f"{prefix}rights")
    said(rights, "description", stripped(words["export.licence"]))


def _resource(resources: ET.Element, identifier: str, type_: str, href: str) -> ET.Element:
    made = _child(resources, "resource", identifier=identifier, type=type_, href=href)
    _child(made, "file", href=href)
    return made


def _child(parent: ET.Element, name: str, text: str | None = None, **attributes: str) -> ET.Element:
    made = ET.SubElement(parent, name, attributes)
    if text is not None:
        made.text = clean(text)
    return made
