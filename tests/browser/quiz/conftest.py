"""The pages Practice and Progress, and one with a quiz of each kind, on the shipped data: a folder opened from disk."""

from __future__ import annotations

import html
from dataclasses import dataclass
from pathlib import Path

import pytest

from wristward.bridge.assets import asset_files
from wristward.bridge.hosts.quiz import practice_html, progress_html, quiz_asset_files, quiz_html
from wristward.bridge.scripts import DATA_NAME, QUIZ, RUNTIME
from wristward.bridge.setting import setting_of
from wristward.project.measured import measure_all
from wristward.project.store import FolderStore
from wristward.quiz.bank import all_items

ROOT = Path(__file__).resolve().parents[3]


@dataclass
class Quizzes:
    """The folder, the questions in it, and the words."""

    folder: Path
    items: tuple
    words: dict[str, str]
    names: dict[str, str]
    """Names of structures by id."""

    def url(self, name: str) -> str:
        return (self.folder / f"{name}.html").as_uri()


def page(body: str, title: str) -> str:
    """Return a page that loads the runtime like the site does, in the type size of the site's text."""
    styles = "".join(f'<link rel="stylesheet" href="assets/{name}">' for name in (RUNTIME.style.name, QUIZ.style.name))
    scripts = "".join(
        f'<script src="assets/{name}"></script>' for name in (DATA_NAME, RUNTIME.script.name, QUIZ.script.name)
    )
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{html.escape(title)}</title>'
        f'<meta name="viewport" content="width=device-width,initial-scale=1"><link rel="icon" href="data:,">{styles}'
        "<style>html{font-size:125%}body{margin:0 auto;max-width:61rem;padding:0 .8rem;background:var(--w-ground);"
        "color:var(--w-ink);font-family:system-ui,sans-serif}h1{font-size:1.4rem}h2{font-size:1.1rem}</style></head>"
        f"<body><main><h1>{html.escape(title)}</h1>{body}</main>{scripts}</body></html>"
    )


def write_quizzes(folder: Path, dataset, sections, measures) -> Quizzes:
    """Write the pages and everything they load into a folder that is there."""
    items, words = all_items(dataset, sections), dataset.words
    files = asset_files(sections, dataset, measures=measures)
    files |= quiz_asset_files(sections, dataset, items=items)
    (folder / "assets").mkdir()
    for name, content in files.items():
        (folder / "assets" / name).write_bytes(content)
    asked = {"assets_url": "assets/", "section_url": "elbow.html"}
    bodies = {
        "practice": practice_html(dataset, **asked),
        "progress": progress_html(dataset, assets_url="assets/"),
        **{kind: quiz_html(dataset, kinds=[kind], count=3, seed=5, **asked) for kind in {one.kind for one in items}},
    }
    for name, body in bodies.items():
        (folder / f"{name}.html").write_text(page(body, name), encoding="utf-8")
    names = {id_: record.name for id_, record in dataset.structures.items()}
    return Quizzes(folder=folder, items=items, words=words, names=names)


@pytest.fixture(scope="session")
def quizzes(dataset, arm_sections, tmp_path_factory):
    """The pages on the shipped data, written once."""
    store = FolderStore(ROOT / ".cache" / "measures")
    measures = measure_all(arm_sections, partners=setting_of(dataset).partners, store=store)
    return write_quizzes(tmp_path_factory.mktemp("practice"), dataset, arm_sections, measures)
