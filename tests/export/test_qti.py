"""QTI packages: whole, the same bytes each time, and nothing in them that gives an answer away."""

from __future__ import annotations

import os
import re
import zipfile
from pathlib import Path

import pytest
from lxml import etree
from qti_package_maker.common.package_integrity import check_package

from tests.export.conftest import FACTS
from tests.export.structure import SCHEMA_VARIABLE, faults, schema_faults
from wristward.export.archive import zip_bytes
from wristward.export.qti import QTI_3, QTI_21
from wristward.export.qti_package import qti_package
from wristward.export.question import LeftOut, questions_of

EVERY = [("3.0", False), ("3.0", True), ("2.1", False), ("2.1", True)]

TINY_SCHEMA = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" elementFormDefault="qualified"
 targetNamespace="{namespace}" xmlns="{namespace}"><xs:element name="qti-assessment-item"><xs:complexType><xs:sequence>
 <xs:any minOccurs="0" maxOccurs="unbounded" processContents="skip"/></xs:sequence>
 <xs:attribute name="identifier" type="xs:NCName" use="required"/>{more}
 <xs:anyAttribute processContents="skip"/></xs:complexType></xs:element></xs:schema>"""


@pytest.mark.parametrize(("version", "plain"), EVERY)
def test_a_package_has_no_fault(qti, version, plain):
    """Our own checker of the structure finds nothing in any version, with feedback or without."""
    assert [] == faults(qti[version, plain].files)


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("match", '<qti-value>a1 x', '<qti-value>a9 x', "'a9' is the right answer or earns marks, and no choice"),
        ("choice", 'response-identifier="RESPONSE"', 'response-identifier="OTHER"', "answers 'OTHER', which is not declared"),
        ("choice", '.svg"', '.png"', "is not there"),
        ("choice", 'adaptive="false" ', "", "assessmentItem has no adaptive"),
        ("hotspot", 'coords="', 'coords="9', "lies outside the picture"),
        ("hotspot", 'shape="circle"', 'shape="rect"', "is no rect"),
        ("order", 'cardinality="ordered"', 'cardinality="multiple"', "orderInteraction cannot answer multiple identifier"),
        ("number", "qti-gte", "qti-equal", "compares numbers by tolerance, which players ignore"),
        ("number", 'identifier="SCORE"', 'identifier="MARKS"', "no outcome SCORE"),
        ("many", 'identifier="a1"', 'identifier="b2"', "two choices have one identifier"),
        ("imsmanifest.xml", '<file href="about.txt" />', '<file href="other.txt" />', "'other.txt' is not in the package"),
        ("test.xml", "items/q001", "items/q002", "test.xml: asks"),
    ],
)  # fmt: skip
def test_the_checker_finds_a_fault(qti, questions, name, old, new, said):
    """Each kind of damage to a package is found and named."""
    files = dict(qti["3.0", False].files)
    if "." not in name:
        shown = old.startswith(".svg")
        name = f"items/{next(q.id for q in questions if q.form == name and (not shown or q.picture))}.xml"
    text = files[name].decode()

    assert old in text
    files[name] = text.replace(old, new).encode()
    assert any(said in fault for fault in faults(files)), faults(files)


@pytest.mark.parametrize("plain", [False, True])
def test_another_program_reads_qti_2_1(qti, tmp_path, plain):
    """An independent reader of packages resolves every identifier, picture and file of the QTI 2.1 package."""
    path = tmp_path / "quiz.zip"
    path.write_bytes(zip_bytes(qti["2.1", plain].files))

    assert [] == check_package(str(path))


def test_the_other_program_would_object(qti, tmp_path):
    """The independent reader does find an answer that no choice has."""
    files = {
        name: data.replace(b'identifier="b2"', b'identifier="z9"') for name, data in qti["2.1", False].files.items()
    }
    path = tmp_path / "quiz.zip"
    path.write_bytes(zip_bytes(files))

    assert [] != check_package(str(path))


def test_the_published_schema_where_it_is_given(qti, tmp_path):
    """Items fit 1EdTech's schema where a folder with it is named; without one, a small schema shows that misfits count."""
    files = qti["3.0", False].files
    given = os.environ.get(SCHEMA_VARIABLE)
    if given is not None:
        (top,) = sorted(Path(given).glob("*asi*.xsd"))

        assert [] == schema_faults(Path(given), files, top.name)
    for more, misfits in (("", False), ('<xs:attribute name="unheard-of" use="required"/>', True)):
        (tmp_path / "tiny.xsd").write_text(TINY_SCHEMA.format(namespace=QTI_3.namespace, more=more), "utf-8")

        assert misfits == bool(schema_faults(tmp_path, files, "tiny.xsd"))


def test_the_same_quiz_is_the_same_bytes(quiz, dataset, arm_sections, qti):
    """Made again from the same quiz, the archive is the same byte for byte."""
    questions, left = questions_of(quiz, dataset, arm_sections)
    again = qti_package(questions, left, QTI_21, dataset.words, FACTS)

    assert zip_bytes(qti["2.1", False].files) == zip_bytes(again.files)


def test_every_time_in_the_archive_is_the_same(qti, tmp_path):
    """No entry of the archive carries the time at which it was made."""
    path = tmp_path / "quiz.zip"
    path.write_bytes(zip_bytes(qti["3.0", False].files))
    with zipfile.ZipFile(path) as archive:
        entries = archive.infolist()

    assert "imsmanifest.xml" == entries[0].filename
    assert {(1980, 1, 1, 0, 0, 0)} == {entry.date_time for entry in entries}


@pytest.mark.parametrize("name", ["../out.xml", "/etc/x", "a\\b", "c:/x", "a//b", "a/./b"])
def test_a_name_that_leads_outside_is_refused(name):
    """An archive takes no name that would be unpacked elsewhere."""
    with pytest.raises(ValueError, match="is no name for a file"):
        zip_bytes({name: b""})


def test_a_picture_gives_nothing_away(questions, dataset):
    """No picture holds a structure's name or id, a height, or a colour left to a style sheet of ours."""
    told = {one.name for one in dataset.structures.values()} | set(dataset.structures)
    names = {name for name in told if len(name) > 6}
    drawn = [one for one in questions if one.picture is not None]
    assert drawn and names
    for question in drawn:
        text = question.picture.svg.decode()
        labels = re.sub(r"<metadata>.*?</metadata>|<style>.*?</style>", "", text)

        assert [] == sorted(name for name in names if name in labels)
        assert "above the wrist crease" not in text
        assert "var(" not in text


def test_identifiers_are_opaque(qti, dataset):
    """No identifier or file name of a package is or holds the id of a structure."""
    ids = [id_ for id_ in dataset.structures if len(id_) > 5]
    files = qti["3.0", False].files
    names = set(files)
    for name in (one for one in files if one.endswith(".xml")):
        for element in etree.fromstring(files[name]).iter(etree.Element):
            names |= {element.get(key, "") for key in ("identifier", "href", "src", "map-key")}

    assert "median_nerve" in ids and len(names) > len(files)
    assert [] == sorted(name for name in names if any(id_ in name for id_ in ids))


@pytest.mark.parametrize(("version", "plain"), EVERY)
def test_licence_and_cautions_are_inside(qti, dataset, version, plain):
    """The licence and the cautions stand in the manifest, before the questions, and in a file of their own."""
    files = qti[version, plain].files
    for key in ("licence", "cautions"):
        words = dataset.words[f"export.{key}"].strip()
        for name in ("imsmanifest.xml", "test.xml", "about.txt"):
            assert words in files[name].decode(), (key, name)
    assert all(line in files["about.txt"].decode() for line in qti[version, plain].report[:3])


def test_the_report_has_a_line_for_every_question(qti, questions, dataset):
    """Each question has a line that says its kind, the form it took, and every change."""
    report = qti["2.1", False].report
    for number, (line, question) in enumerate(zip(report, questions, strict=False), start=1):
        assert line.startswith(f"{number}. {dataset.words[f'quiz.kind.{question.kind}']} → ")
        assert all(change in line for change in question.changes)
    assert {"tap", "height", "level", "order", "caught", "operation"} <= {q.kind for q in questions if q.changes}


def test_what_cannot_be_carried_is_reported(quiz, dataset, arm_sections):
    """A form that no format knows is left out, and the report says so."""
    from dataclasses import replace

    strange = replace(quiz[0], item=replace(quiz[0].item, form="sculpture"))
    questions, left = questions_of([strange, quiz[1]], dataset, arm_sections)
    package = qti_package(questions, left, QTI_21, dataset.words, FACTS)

    assert 1 == len(questions)
    assert (
        LeftOut(kind=quiz[0].item.kind, reason="left out: a question of the form 'sculpture' has no equivalent"),
    ) == left
    assert any("sculpture" in line for line in package.report)


def test_plain_items_score_by_published_templates(qti, questions):
    """Without feedback every item but a number is scored by a template, and none shows feedback."""
    files = qti["2.1", True].files
    texts = {question.id: files[f"items/{question.id}.xml"].decode() for question in questions}
    expected = {question.id: (question.form != "number", False) for question in questions}

    assert {True, False} == {by_template for by_template, _ in expected.values()}
    assert expected == {id_: ("rptemplates/" in text, "modalFeedback" in text) for id_, text in texts.items()}
