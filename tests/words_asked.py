"""Which words a whole site, its scripts and the commands ask for: recorded while they are made, not read off the program."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace

import markdown
import pytest

from tests.projects import ROOT
from tests.script_reading import Token, tokens
from wristward.anatomy.forearm import Forearm
from wristward.bridge import assets
from wristward.cli import blocks, export, pdf, quiz, section
from wristward.cli.formats import FORMATS
from wristward.cli.main import main
from wristward.data.dataset import Dataset
from wristward.data.words.traced import AskedWords
from wristward.export import scorm
from wristward.locate import BROWSER
from wristward.pages.anatomy.other_arm import arm_words
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.branches import variants_page
from wristward.pages.fences.fences import Fences, Source
from wristward.pages.figures import travel
from wristward.pages.generate import generate_site
from wristward.project.solved import OtherArm

FRONT_MATTER = re.compile(r"\A---\n.*?\n---\n", re.DOTALL)


@contextmanager
def recorded() -> Iterator[set[str]]:
    """Give a set to which every key is added that is asked of words from files while the context lasts."""
    seen: set[str] = set()
    with pytest.MonkeyPatch.context() as patch:
        for name in ("__getitem__", "get"):
            patch.setattr(AskedWords, name, _noting(seen, getattr(AskedWords, name)))
        yield seen


def _noting(seen: set[str], ask: Callable[..., str]) -> Callable[..., str]:
    def noted(self, key, *default):
        seen.add(key)
        return ask(self, key, *default)

    return noted


def asked_by_site(atlas: Atlas) -> set[str]:
    """Return what every page, document, asset and fence of a site asks for while it is made."""
    with pytest.MonkeyPatch.context() as patch, recorded() as seen:
        patch.setattr(assets, "pack_sections", _packed)
        generate_site(atlas, version="0")
        text = (ROOT / "content" / "gallery.md").read_text("utf-8")
        fences = Fences(lambda: atlas)
        fences.begin(Source(file="content/gallery.md", text=text, here="gallery.md"))
        markdown.markdown(FRONT_MATTER.sub("", text), extensions=[fences.extension(), "admonition", "md_in_html"])
        fences.end()
        # What is said of the arms drawn otherwise rests on no section of theirs.
        others = {name: OtherArm(own={0: None}, measures={}) for name in atlas.dataset.arms}
        shown = Atlas(dataset=atlas.dataset, sections=atlas.sections, measures=atlas.measures, arms=others)
        variants_page(shown)
        travel(shown, here=shown.travel_page)
        for name in others:
            arm_words(shown, name)
    return seen


def _packed(sections, legend):
    """Pack nothing: outlines ask for no words, and take long."""
    return {}


def asked_by_commands(atlas: Atlas, folder: Path) -> set[str]:
    """Return what the commands ask for that speak in readers' words; what they write stays in a folder."""
    dataset, sections = atlas.dataset, atlas.sections
    asked = [["section", "--z-mm", "100"], ["quiz"]]
    asked += [["window", "--nerve", nerve, "--volume-ml", "5"] for nerve in dataset.branches.blocks]
    asked += [
        ["window", "--nerve", nerve, "--volume-ml", "5", "--spread", "decreasing"] for nerve in dataset.branches.blocks
    ]
    asked += [["coverage", "--operation", one] for one in dataset.operations.operations]
    asked += [["export", name, "quiz.zip", "--count", "2", "--plain"] for name in FORMATS if name != "print"]
    asked += [["export", "qti3", "quiz.zip", "--count", "40"]]
    asked += [["export", "print", "sheet.pdf", "--sheet", sheet] for sheet in ("cards", "named", "quiz")]
    with pytest.MonkeyPatch.context() as patch, recorded() as seen:
        patch.chdir(folder)
        patch.setattr(scorm, "pack_sections", _packed)
        patch.setattr(pdf, "installed_browser", lambda: "browser")
        patch.setattr(pdf, "pdf_of", lambda html, browser: b"")
        for module in (blocks, export, pdf, quiz, section):
            patch.setattr(module, "read_data", lambda options, **other: dataset)
        solved = SimpleNamespace(forearm=Forearm.from_dataset(dataset), section_at=lambda z_mm: sections[round(z_mm)])
        patch.setattr(section, "solved_data", lambda data, options: solved)
        for module in (export, pdf, quiz):
            patch.setattr(module, "solve_data", lambda data, options: sections)
        patch.setattr(quiz, "all_items", lambda data, sections: atlas.quiz_items)
        for command in asked:
            assert 0 == main(command), command
    return seen


@dataclass(frozen=True, slots=True)
class Template:
    """A key that a script puts together: what stands fixed, and between each two pieces what may be filled in."""

    fixed: tuple[str, ...]
    filled: tuple[frozenset[str], ...]
    """Texts named where it is filled in; none where a name alone stands there."""

    def may_be(self, key: str, known: Collection[str]) -> bool:
        """Say whether a key can come of it, where a name stands for what is known to the script."""
        found = re.fullmatch(r"([^.]+)".join(map(re.escape, self.fixed)), key)
        return found is not None and all(
            one in (named or known) for one, named in zip(found.groups(), self.filled, strict=True)
        )


def templates(script: list[Token]) -> list[Template]:
    """Return the templates of a script that hold no other, in order."""
    found, at = [], 0
    while at < len(script):
        if script[at].text != "`":
            at += 1
            continue
        fixed, filled = [script[at + 1].text], []
        at += 2
        while at < len(script) and script[at].text == "${":
            depth, named = 1, set()
            while depth:
                at += 1
                depth += {"${": 1, "{": 1, "}": -1}.get(script[at].text, 0) if script[at].kind == "mark" else 0
                if script[at].kind == "string":
                    named.add(script[at].text[1:-1])
            filled.append(frozenset(named))
            fixed.append(script[at + 1].text)
            at += 2
        found.append(Template(tuple(fixed), tuple(filled)))
    return found


def asked_by_scripts(dataset: Dataset, ids: Collection[str]) -> set[str]:
    """Return the keys of the catalogue that scripts name, whole or put together.

    Args:
        dataset: The catalogue.
        ids: What a script may fill in that comes from the data; all else stands in the script.
    """
    found: set[str] = set()
    for path in sorted(BROWSER.rglob("*.js")):
        script = tokens(path.read_text("utf-8"))
        strings = {token.text[1:-1] for token in script if token.kind == "string"}
        known = {*ids, *strings, *(token.text for token in script if token.kind == "name")}
        made = [one for one in templates(script) if "." in "".join(one.fixed)]
        found |= {key for key in dataset.words if key in strings or any(one.may_be(key, known) for one in made)}
    return found
