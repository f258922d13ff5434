"""Documents for paper: legible without colour, whole on A4 and Letter, silent where they must not tell the answer."""

from __future__ import annotations

import re

import pytest

from tests.export.conftest import FACTS
from wristward.block.blocks import block_model
from wristward.cli import pdf
from wristward.cli.main import main
from wristward.export.cards import block_cards
from wristward.export.paper import quiz_paper, right_words
from wristward.export.print_page import Frame
from wristward.export.sheets import numbers_of, section_sheets
from wristward.figure.legend import legend_of

LEVELS = [(195, "a quarter"), (65, ""), (20, "")]
DOCUMENTS = {"named", "numbered", "unlabelled", "cards", "quiz"}
PX_IN_MM = 96 / 25.4
INNER_MM = {"a4": (186, 273), "letter": (191.9, 255.4)}


def frame(dataset, **more):
    return Frame(words=dataset.words, version="0123456789", language=dataset.language, **more)


@pytest.fixture(scope="module")
def documents(dataset, arm_sections, questions):
    """Every kind of document by name."""
    legend = legend_of(dataset)
    made = {
        mode: section_sheets(arm_sections, legend, frame(dataset), levels=LEVELS, mode=mode)
        for mode in ("named", "numbered", "unlabelled")
    }
    made["cards"] = block_cards(dataset, arm_sections, legend, frame(dataset))
    made["quiz"] = quiz_paper(questions, FACTS, frame(dataset))
    return made


def text_of(html):
    plain = re.sub(r"<(script|style).*?</\1>", " ", html, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", plain))


def test_every_document_says_what_it_is(documents, dataset):
    """Licence, cautions and version stand in every document, and nothing is asked of another host."""
    assert DOCUMENTS == set(documents)
    for name, html in documents.items():
        for words in (dataset.words["export.licence"], dataset.words["export.cautions"], "0123456789"):
            assert words.strip() in text_of(html), name
        assert [] == re.findall(r'(?:src|href)="(?!#|data:|\.\./)[^"]*"', html), name


def test_sheets_without_names_have_none(documents, dataset, arm_sections):
    """Unlabelled sheets and the pages before the key of numbered ones hold no structure's name or id."""
    cut = {solved.id for z_mm, _ in LEVELS for solved in arm_sections[z_mm].structures}
    names = {dataset.structures[id_].name for id_ in cut} | cut
    names = {name for name in names if len(name) > 6}
    before_key = documents["numbered"].split("<body>")[1].split("p-new", 1)[0]

    assert {"median_nerve", "Median nerve"} & {*names, *(name.capitalize() for name in names)}
    assert 3 == before_key.count("<svg")
    assert [] == sorted(name for name in names if name in text_of(before_key) or f'"{name}"' in before_key)
    assert [] == sorted(name for name in names if name in documents["unlabelled"].split("<body>")[1])


def test_the_key_names_every_number(documents, dataset, arm_sections):
    """Each number on a sheet is in the key once, with the name of the structure that carries it."""
    legend = legend_of(dataset)
    numbers = numbers_of([arm_sections[z_mm] for z_mm, _ in LEVELS], legend)
    key = re.findall(r"<li><b>(\d+)</b><span>(.*?)</span>", documents["numbered"])

    assert {str(number): legend[id_].name for id_, number in numbers.items()} == dict(key)
    assert list(range(1, len(numbers) + 1)) == [int(number) for number, _ in key]
    nerves = [id_ for id_ in numbers if legend[id_].kind == "nerve"]
    shown = re.findall(r"<tspan[^>]*>(\d+)</tspan>", documents["numbered"])
    assert {str(numbers[id_]) for id_ in nerves} <= set(shown)


def test_signs_need_no_colour(documents):
    """Arteries, veins and nerves carry letters; veins, nerves and tendons a hatch of their own in every figure."""
    for mode in ("named", "numbered", "unlabelled"):
        for letter in ("artery", "vein", "nerve"):
            assert f"w-{letter}-letter" in documents[mode]
        for z_mm, _ in LEVELS:
            # No tendon is cut at the first of them.
            for hatch in ("vein", "nerve", "tendon")[: 2 if z_mm > 190 else 3]:
                assert f'fill="url(#s{z_mm}-{hatch})"' in documents[mode], (mode, hatch)
        assert "var(--w-" not in documents[mode]


def test_there_is_a_card_for_every_block(documents, dataset):
    """Each block of the model has its card with both readings, and speaks of the grip where it calls muscles spared."""
    model = block_model(dataset)
    cards = re.findall(r'<section class="p-card[^>]*data-part="(\w+)">(.*?)</section>', documents["cards"], re.DOTALL)

    assert list(model.blocks) == [nerve for nerve, _ in cards]
    for nerve, card in cards:
        assert (nerve in dataset.structures) and dataset.structures[nerve].name in card.lower()
        if model.blocks[nerve].unwanted:
            assert dataset.words["print.cards.spared"] in card
            assert "grip" in card


def test_answers_are_on_a_page_of_their_own(documents, questions, dataset):
    """No reason stands before the answer sheet, and the sheet answers every question."""
    asked, answers = documents["quiz"].split('data-part="answers"', 1)[0], documents["quiz"]
    answers = text_of(answers[len(asked) :])
    asked = text_of(asked.split("<main>")[1])
    assert questions
    for number, one in enumerate(questions, start=1):
        assert one.stem in asked.replace("&#x27;", "'")
        right = "".join(right_words(frame(dataset), one))
        assert f"{number}. {right}" in answers.replace("&#x27;", "'")
        assert one.why not in asked


def test_a_level_that_is_not_there_is_refused(dataset, arm_sections):
    """A height outside the arm is answered with what is allowed."""
    with pytest.raises(ValueError, match=r"level is 400 mm \(allowed: a whole number from 0 to 260\)"):
        section_sheets(arm_sections, legend_of(dataset), frame(dataset), levels=[(400, "")], mode="named")


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_documents_fit_the_paper(visit, documents, tmp_path, paper):
    """At the width that both papers leave, nothing is wider than the sheet and no figure or card higher than a page."""
    width_mm, height_mm = INNER_MM[paper]
    assert DOCUMENTS == set(documents)
    for name, html in documents.items():
        path = tmp_path / f"{name}.html"
        path.write_text(html, "utf-8")
        visited = visit(path.as_uri(), viewport={"width": int(width_mm * PX_IN_MM), "height": 900})
        visited.page.emulate_media(media="print")
        size = visited.page.evaluate(
            """() => ({ wide: document.documentElement.scrollWidth,
              high: Math.max(...[...document.querySelectorAll('figure,.p-card,.p-question,.p-answer')]
                .map((one) => one.getBoundingClientRect().height)) })"""
        )

        assert size["wide"] <= width_mm * PX_IN_MM, name
        assert size["high"] <= height_mm * PX_IN_MM, name
        assert [] == visited.errors


@pytest.mark.browser
def test_levels_are_chosen_on_the_page(visit, documents, tmp_path):
    """A level whose box is empty is not printed, and comes back with its box."""
    path = tmp_path / "named.html"
    path.write_text(documents["named"], "utf-8")
    page = visit(path.as_uri()).page
    page.locator('[data-shows="z65"]').uncheck()

    assert [True, False, True] == [page.locator(f'figure[data-part="z{z}"]').is_visible() for z, _ in LEVELS]
    page.locator('[data-shows="z65"]').check()
    assert page.locator('figure[data-part="z65"]').is_visible()


@pytest.mark.browser
def test_the_command_prints_a_pdf(tmp_path, monkeypatch, capsys, dataset, arm_sections):
    """The command writes a PDF of the chosen paper, the same bytes twice, with the key on its last page."""
    monkeypatch.setattr(pdf, "read_data", lambda options: dataset)
    monkeypatch.setattr(pdf, "solve_data", lambda data, options: arm_sections)
    made = []
    for name in ("one.pdf", "two.pdf"):
        asked = ["export", "print", str(tmp_path / name), "--sheet", "numbered", "--levels", "65", "--paper", "letter"]

        assert 0 == main(asked), capsys.readouterr().err
        made.append((tmp_path / name).read_bytes())
    assert made[0].startswith(b"%PDF-")
    assert b"/MediaBox [0 0 612 792]" in made[0]
    assert 2 == len(re.findall(rb"/Type /Page\b", made[0]))
    assert made[0] == made[1]


def test_without_a_browser_the_command_says_so(tmp_path, monkeypatch, capsys):
    """Where no Chromium is found the command ends with words and writes nothing."""
    monkeypatch.setattr(pdf, "installed_browser", lambda: None)

    assert 1 == main(["export", "print", str(tmp_path / "x.pdf")])
    assert "none was found" in capsys.readouterr().err
    assert [] == list(tmp_path.iterdir())


@pytest.mark.parametrize("levels", ["x", "261", "10,,20", "-5"])
def test_a_level_in_the_command_is_checked(tmp_path, monkeypatch, capsys, dataset, arm_sections, levels):
    """A height that is none, or not in the arm, is answered with what is allowed."""
    monkeypatch.setattr(pdf, "read_data", lambda options: dataset)
    monkeypatch.setattr(pdf, "solve_data", lambda data, options: arm_sections)
    monkeypatch.setattr(pdf, "installed_browser", lambda: "browser")

    assert 1 == main(["export", "print", str(tmp_path / "x.pdf"), f"--levels={levels}"])
    assert "(allowed: whole numbers from 0 to 260, with commas between them)" in capsys.readouterr().err
