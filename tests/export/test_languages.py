"""The language of exports: said in every attribute that says one, and what stays English in another is marked English."""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace

import pytest
from lxml import etree, html

from wristward.cli import export, pdf, quiz
from wristward.cli.main import main
from wristward.data.read import read_dataset
from wristward.data.words.phrase import Phrase
from wristward.export.about import Facts
from wristward.export.paper import quiz_paper
from wristward.export.print_page import Frame
from wristward.export.qti import QTI_3, QTI_21
from wristward.export.qti_package import qti_package
from wristward.export.question import questions_of
from wristward.export.scorm import scorm_package
from wristward.locate import where_is_data
from wristward.pages.atlas import Atlas
from wristward.pages.print_pages import print_sheets
from wristward.quiz.bank import all_items
from wristward.quiz.compose import compose
from wristward.quiz.written import WRITTEN

LANGUAGES = ("en", "de", "es")
XML_LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"
FALLEN = (("export.", "quiz.why."), ("print.", "quiz.stem."))
"""Beginnings of the words that a made-up German catalogue lacks."""


@pytest.fixture(scope="module")
def spoken(dataset, arm_sections, items):
    """The shipped data and its questions, by language."""
    found = {"en": (dataset, items)}
    for language in LANGUAGES[1:]:
        data = read_dataset(where_is_data(), language=language)
        found[language] = data, all_items(data, arm_sections)
    return found


def languages(text: bytes | str) -> list[str]:
    """Return every language that a document names, in order; of LOM's own attribute too."""
    data = text if isinstance(text, str) else text.decode("utf-8")
    return re.findall(r'\s(?:xml:lang|lang|language)="([^"]*)"', data)


def outermost(name: str, content: bytes) -> list[str]:
    """Return the languages that an item, a manifest or a page says of itself; a test and its like say none."""
    if name.endswith(".html"):
        return [html.fromstring(content).get("lang")]
    if name == "imsmanifest.xml":
        return languages(content)
    if name.startswith("items/"):
        return [etree.fromstring(content).get(XML_LANGUAGE)]
    return []


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("form", ["qti3", "qti21", "scorm", "print"])
def test_an_export_says_its_language(spoken, arm_sections, ready_packed, monkeypatch, tmp_path, form, language):
    """Items, manifests and pages of an export by command name the language that was asked for, each of them."""
    dataset, items = spoken[language]
    printed = []
    for module in (export, pdf):
        monkeypatch.setattr(module, "read_data", lambda options: dataset)
        monkeypatch.setattr(module, "solve_data", lambda data, options: arm_sections)
    monkeypatch.setattr(quiz, "all_items", lambda data, sections: items)
    monkeypatch.setattr(pdf, "installed_browser", lambda: "browser")
    monkeypatch.setattr(pdf, "pdf_of", lambda text, browser: printed.append(text) or b"")
    out = tmp_path / ("quiz.pdf" if form == "print" else "quiz.zip")
    asked = ["export", form, str(out), "--count", "8", "--seed", "7"]
    for sheet in ("cards", "quiz", "named") if form == "print" else (None,):
        assert 0 == main([*asked, "--sheet", sheet] if sheet else asked)
    if form == "print":
        found = {f"{number}.html": [html.fromstring(text).get("lang")] for number, text in enumerate(printed)}
    else:
        with zipfile.ZipFile(out) as archive:
            found = {name: outermost(name, archive.read(name)) for name in archive.namelist()}
    counts = {"print": 3, "scorm": 1 + 3}.get(form, 8 + 3)
    said = [one for each in found.values() for one in each]

    assert [language] * counts == said


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_print_pages_of_a_site_say_its_language(spoken, arm_sections, language):
    """Every document for paper that a site carries names the site's language."""
    dataset, _ = spoken[language]
    sheets = print_sheets(Atlas(dataset=dataset, sections=arm_sections, measures={}), version="0")
    groups = {sheet.group for sheet in sheets}

    assert {"sections", "cards", "paper"} == groups
    assert {language} == {html.fromstring(sheet.html).get("lang") for sheet in sheets}


def test_english_names_no_other_language(spoken, arm_sections, ready_packed):
    """An English export marks nothing: no attribute of it names any language but English, and no span is put in."""
    dataset, items = spoken["en"]
    texts = [text for _, text in made(dataset, items, arm_sections)]

    assert {"en"} == {one for text in texts for one in languages(text)}
    assert [] == [text for text in texts if '<span lang="' in text or "<span xml:lang" in text]


def made(dataset, items, sections):
    """Return (name, text) of every document of every format with a question of each kind, form and way of writing."""
    pairs = sorted({(one.kind, one.form, one.fact.startswith(WRITTEN)) for one in items})
    asked = [
        compose(
            [one for one in items if (one.kind, one.form, one.fact.startswith(WRITTEN)) == pair],
            topic=None, count=1, seed=7,
        )[0]
        for pair in pairs
    ]  # fmt: skip
    questions, _ = questions_of(asked, dataset, sections)
    facts = Facts(topic=None, seed=7, version="0", language=dataset.language)
    frame = Frame(words=dataset.words, version="0", language=dataset.language)
    packages = {
        name: package
        for dialect in (QTI_3, QTI_21)
        for name, package in qti_package(questions, (), dialect, dataset.words, facts).files.items()
        if name.endswith(".xml")
    }
    packages["index.html"] = scorm_package(asked, dataset, sections, facts).files["index.html"]
    found = [(name, content.decode("utf-8")) for name, content in packages.items()]
    return [*found, ("paper.html", quiz_paper(questions, facts, frame))]


def english_texts(name: str, text: str) -> tuple[list[str], list[str]]:
    """Return the texts of a document that stand under the mark of English, and those that do not."""
    root = html.fromstring(text) if name.endswith(".html") else etree.fromstring(text.encode("utf-8"))
    marked, others = [], []
    for element in root.iter(etree.Element):
        if element.tag in ("script", "style"):
            continue
        near = next((one for one in element.xpath("ancestor-or-self::*")[::-1] if tongue(one) is not None), None)
        inside = marked if near is not None and tongue(near) == "en" else others
        above = element.getparent()
        outer = (
            next((one for one in above.xpath("ancestor-or-self::*")[::-1] if tongue(one)), None)
            if above is not None
            else None
        )
        inside.append(element.text or "")
        inside += [element.get(key, "") for key in ("alt", "aria-label")]
        (marked if outer is not None and tongue(outer) == "en" else others).append(element.tail or "")
    return marked, others


def tongue(element) -> str | None:
    """Return the language that an element itself says."""
    return element.get(XML_LANGUAGE) or element.get("lang") or element.get("language")


@pytest.mark.parametrize("beginnings", FALLEN)
def test_what_stays_english_is_marked(spoken, dataset, arm_sections, ready_packed, beginnings):
    """Words that a German catalogue lacks stand in German exports under the mark of English, and never outside it."""
    german, _ = spoken["de"]
    fallen = {key: text for key, text in dataset.words.items() if key.startswith(beginnings)}
    words = german.words | {key: Phrase(str(text), language="en", decimal=",") for key, text in fallen.items()}
    data = replace(german, words=words)
    # Titles of documents and of items are attributes, which no mark reaches.
    said = (max(re.split(r"\{\w+\}", text), key=len).strip() for text in fallen.values())
    whole = [text for text in said if len(text.split()) > 3]
    found, missed = [], []
    for name, text in made(data, all_items(data, arm_sections), arm_sections):
        marked, others = english_texts(name, text)
        found += [one for one in whole if any(one in text for text in marked)]
        missed += [(name, one) for one in whole if any(one in text for text in others)]

    assert [] == missed
    assert [] != found


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_english_questions_and_sources_are_marked(spoken, dataset, arm_sections, ready_packed, language):
    """Questions written by hand and what sources are called stay English in every language, and say so."""
    data, items = spoken[language]
    texts = {one.stem for one in dataset.quiz_items.items.values()} | {one.what for one in dataset.sources.values()}
    found, missed = set(), []
    for name, text in made(data, items, arm_sections):
        marked, others = english_texts(name, text)
        found |= {one for one in texts if any(one in said for said in marked)}
        missed += [(name, one) for one in sorted(texts) if len(one.split()) > 3 and any(one in said for said in others)]

    assert [] == missed
    assert {True, False} == {one in {item.stem for item in dataset.quiz_items.items.values()} for one in found}
