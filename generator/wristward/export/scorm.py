"""A quiz as a SCORM 1.2 package: one page with our own figure and player, one score, one manifest.

One SCO that turns its own pages: systems differ in how they lead from one SCO to the next. SCORM 1.2 keeps 4,096
characters of state and identifiers without spaces; both are held to here and again in the browser.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from html import escape
from xml.etree import ElementTree as ET

from wristward.bridge.assets import data_script, figure_style
from wristward.bridge.hosts.quiz import items_script
from wristward.bridge.inline import data_element
from wristward.bridge.pack.outlines import geometry_script, pack_sections
from wristward.bridge.scripts import QUIZ, RUNTIME, browser_text
from wristward.bridge.setting import setting_of
from wristward.data.dataset import Dataset
from wristward.export.about import Facts, Package, about_text, kind_words, title_of
from wristward.export.qti import document
from wristward.export.qti_package import add_lom
from wristward.export.spoken import lang_attribute, other_language, spoken_html, stripped
from wristward.quiz.compose import Asked
from wristward.quiz.wording import source_name
from wristward.section.section import Section

MOST_STATE = 4096
MOST_IDENTIFIER = 255
IDENTIFIER = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")
STATE_HEAD, STATE_EACH = len("1;"), len("100,")
WITHOUT = ("quiz/store.js", "quiz/schedule.js", "quiz/practice.js", "quiz/progress.js")
"""What the player does without here: the learning-management system keeps the marks."""

SCRIPTS = ("data.js", "geometry.js", "figure.js", "items.js", "player.js", "scorm.js")
WORDS = ("alone", "review", "finished", "resumed", "reported", "again")


def scorm_package(quiz: Sequence[Asked], dataset: Dataset, sections: Mapping[int, Section], facts: Facts) -> Package:
    """Return the files of a package and the report on it.

    Args:
        quiz: What ``wristward.quiz.compose`` drew.
        dataset: The checked data.
        sections: Right, mean-arm sections at every whole mm.
        facts: Topic, seed and version.

    Raises:
        ValueError: If the quiz is too long for the state that SCORM 1.2 keeps, or an identifier is none of its.
    """
    check_limits([one.item.id for one in quiz])
    words, setting = dataset.words, setting_of(dataset)
    report = [
        words["export.report.question"].format(
            number=number,
            kind=kind_words(words, one.item.kind),
            form=words["export.scorm.own"],
            change=words["export.scorm.change"],
        )
        for number, one in enumerate(quiz, start=1)
    ]
    files = {
        "index.html": _page(quiz, words, facts),
        "data.js": data_script(setting).encode("utf-8"),
        "geometry.js": geometry_script(pack_sections(sections, setting.legend)).encode("ascii"),
        "figure.js": RUNTIME.script.text().encode("utf-8"),
        "items.js": items_script([one.item for one in quiz], dataset).encode("utf-8"),
        "player.js": browser_text(part for part in QUIZ.script.parts if part not in WITHOUT).encode("utf-8"),
        "scorm.js": browser_text(["export/scorm.js"]).encode("utf-8"),
        "style.css": (figure_style() + QUIZ.style.text() + browser_text(["export/scorm.css"])).encode("utf-8"),
    }
    sources = [source_name(dataset.sources[key]) for one in quiz for key in one.item.sources]
    files["about.txt"] = about_text(words, facts, report, sources)
    files["imsmanifest.xml"] = _manifest(sorted(files), words, facts)
    return Package(files=files, report=tuple(report))


def check_limits(item_ids: Sequence[str]) -> None:
    """Hold a quiz to what SCORM 1.2 can keep.

    Raises:
        ValueError: If the state could outgrow 4,096 characters, or an identifier has a space or is too long.
    """
    most = (MOST_STATE - STATE_HEAD + 1) // STATE_EACH
    if len(item_ids) > most:
        raise ValueError(f"{len(item_ids)} questions are more than SCORM 1.2 can keep (allowed: {most})")
    for one in item_ids:
        if len(one) >= MOST_IDENTIFIER or not IDENTIFIER.fullmatch(f"i{one}"):
            raise ValueError(f"'i{one}' is no identifier of SCORM 1.2 (allowed: letters, digits, '_', '.', '-')")


def _page(quiz: Sequence[Asked], words: Mapping[str, str], facts: Facts) -> bytes:
    spoken = {key: words[f"export.scorm.{key}"] for key in WORDS}
    data: dict[str, object] = {
        "asked": [{"id": one.item.id, "side": one.side, "order": list(one.order)} for one in quiz],
        "words": spoken,
    }
    others = {key: other_language(text, facts.language) for key, text in spoken.items()}
    if any(others.values()):
        data["languages"] = {key: other for key, other in others.items() if other is not None}

    def said(text: str) -> str:
        return spoken_html(text, facts.language)

    title, noscript = title_of(words, facts), words["export.scorm.noscript"]
    foot = (
        stripped(words["export.cautions"]),
        stripped(words["export.licence"]),
        words["export.version"].format(version=facts.version, seed=facts.seed),
    )
    lines = [
        "<!doctype html>",
        f'<html lang="{escape(facts.language, quote=True)}"><head><meta charset="utf-8">'
        f"<title{lang_attribute(title, facts.language)}>{escape(title)}</title>",
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        '<link rel="stylesheet" href="style.css"></head>',
        f'<body><main><h1>{said(title)}</h1><p id="notice" role="status" hidden></p>',
        f'<div class="w-quiz" id="quiz"></div><noscript><p>{said(noscript)}</p></noscript></main>',
        f"<footer>{''.join(f'<p>{said(one)}</p>' for one in foot)}</footer>",
        data_element(data, id_="data"),
        *(f'<script src="{name}"></script>' for name in SCRIPTS),
        "</body></html>",
    ]
    return ("\n".join(lines) + "\n").encode("utf-8")


def _manifest(names: Sequence[str], words: Mapping[str, str], facts: Facts) -> bytes:
    root = ET.Element(
        "manifest",
        {
            "identifier": "wristward",
            "version": "1",
            "xmlns": "http://www.imsproject.org/xsd/imscp_rootv1p1p2",
            "xmlns:adlcp": "http://www.adlnet.org/xsd/adlcp_rootv1p2",
            "xmlns:imsmd": "http://www.imsglobal.org/xsd/imsmd_rootv1p2p1",
        },
    )
    metadata = ET.SubElement(root, "metadata")
    ET.SubElement(metadata, "schema").text = "ADL SCORM"
    ET.SubElement(metadata, "schemaversion").text = "1.2"
    add_lom(metadata, words, facts, prefix="imsmd:", text="langstring")
    organizations = ET.SubElement(root, "organizations", {"default": "organization1"})
    organization = ET.SubElement(organizations, "organization", {"identifier": "organization1"})
    ET.SubElement(organization, "title").text = title_of(words, facts)
    item = ET.SubElement(organization, "item", {"identifier": "item1", "identifierref": "resource1"})
    ET.SubElement(item, "title").text = title_of(words, facts)
    resources = ET.SubElement(root, "resources")
    resource = ET.SubElement(
        resources,
        "resource",
        {"identifier": "resource1", "type": "webcontent", "adlcp:scormtype": "sco", "href": "index.html"},
    )
    for name in names:
        ET.SubElement(resource, "file", {"href": name})
    return document(root)
