"""No field of the data acts in a page: a text is a text, whatever signs it holds, or is told where it stands."""

from __future__ import annotations

import dataclasses
import itertools
import re

import markdown
import pytest

from tests.conftest import STORE
from tests.hostile_strings import MARK, STRINGS, acting, takes, with_text
from wristward.bridge import assets
from wristward.bridge.setting import setting_of
from wristward.data.records.record import Name, WebAddress, Words
from wristward.pages.atlas import Atlas
from wristward.pages.generate import generate_site
from wristward.project.measured import measure_all
from wristward.project.store import FolderStore

EXTENSIONS = [
    "abbr", "admonition", "attr_list", "def_list", "footnotes", "md_in_html", "tables", "toc", "pymdownx.superfences",
]  # fmt: skip
FRONT = re.compile(r"\A---\n.*?\n---\n", re.DOTALL)
NOT_QUIZZED = "quiz_items"
"""Questions keep rules of their own; what is written by hand has its own test."""


@pytest.fixture(scope="module")
def hostile(dataset):
    """Return the shipped data with a hostile text in every field that takes one, beginning with the given text."""

    def made(first):
        texts = itertools.cycle((*STRINGS[first:], *STRINGS[:first]))

        def one(value):
            return with_text(value, texts)

        return dataclasses.replace(
            dataset,
            region=one(dataset.region),
            structures={id_: one(record) for id_, record in dataset.structures.items()},
            relations=tuple(one(record) for record in dataset.relations),
            sources={key: one(record) for key, record in dataset.sources.items()},
            levels=tuple(one(record) for record in dataset.levels),
            knots=tuple(one(record) for record in dataset.knots),
            parts={name: file if name == NOT_QUIZZED else one(file) for name, file in dataset.parts.items()},
        )

    return made


@pytest.fixture(scope="module")
def measures(arm_sections, dataset):
    return measure_all(
        arm_sections, partners=setting_of(dataset).partners, store=FolderStore(STORE.parent / "measures")
    )


def check_pages(dataset, sections, measures):
    """Hold every page and document of a site to its texts, and return how many of them show one."""
    with pytest.MonkeyPatch.context() as patch:
        # Outlines hold no text, and take long.
        patch.setattr(assets, "pack_sections", lambda sections, legend: {})
        site = generate_site(Atlas(dataset=dataset, sections=sections, measures=measures), version="0")
    pages = {
        page.src_uri: markdown.markdown(FRONT.sub("", page.markdown), extensions=EXTENSIONS) for page in site.pages
    }
    documents = {
        path: content.decode("utf-8") for path, content in site.assets.items() if path.endswith((".html", ".svg"))
    }
    found = {path: acts for path, html in (pages | documents).items() if (acts := acting(html))}

    assert {} == found
    return sum(MARK in html for html in (pages | documents).values())


def test_no_text_of_the_data_acts(hostile, arm_sections, measures):
    """With a hostile text in every field of every record, no page holds a tag, an attribute or an address made by one."""
    shown = check_pages(hostile(0), arm_sections, measures)

    assert 50 <= shown


@pytest.mark.long
@pytest.mark.parametrize("first", range(1, len(STRINGS)))
def test_no_text_acts_in_any_field(first, hostile, arm_sections, measures):
    """Each of the hostile texts comes to stand in each field, and acts in none."""
    assert 50 <= check_pages(hostile(first), arm_sections, measures)


@pytest.mark.parametrize(
    ("kind", "text", "expected"),
    [
        (Words, "beside <b>", True),
        (Words, "two\nlines", True),
        (Words, "bell \a", False),
        (Words, "half a pair \ud800", False),
        (Words, " \t ", False),
        (Name, "flexor's belly (deep), 2nd & last", True),
        (Name, "one\ntwo", False),
        (Name, " begins with a blank", False),
        (Name, 'a <b>, a [link], a "quote" and { #id }', True),
        (WebAddress, "https://example.org/a?b=c#d", True),
        (WebAddress, "javascript:alert(1)", False),
        (WebAddress, "script src=//evil.example/x.js", False),
        (WebAddress, "https://example.org/ x", False),
        (WebAddress, "https://example.org/<", False),
    ],
)
def test_what_a_field_takes(kind, text, expected):
    """Names are one line without signs that act, addresses are of the web, and no text holds what cannot be shown."""
    assert expected == takes(kind, text)


@pytest.mark.parametrize(
    ("html", "expected"),
    [
        ("<p>evilmark &lt;script&gt;</p>", []),
        ('<p aria-label="evilmark">x</p>', []),
        ('<p onclick="evilmark()">x</p>', ["<p onclick='evilmark()'>"]),
        ('<a href="//evilmark.example">x</a>', ["<a href='//evilmark.example'>"]),
        ("<evilmark>", ["<evilmark>"]),
        ("<!-- evilmark -->", ["<!-- evilmark -->"]),
        ("<script>evilmark()</script>", ["<script>evilmark()"]),
        ('<script type="application/json">"evilmark"</script>', []),
        ('<h2 id="evilmark">x</h2>', ["<h2 id='evilmark'>"]),
        ('<h2 id="the-nerve-evilmark">x</h2>', []),
    ],
)
def test_what_acts_is_found(html, expected):
    """A text that has become a tag, an attribute, an address, a remark or a script is found; one that is only told is not."""
    assert expected == acting(html)
