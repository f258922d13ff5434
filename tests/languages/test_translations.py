"""What translations say, what they do not, and how a site's language is chosen."""

import re
import shutil

import pytest

from tests.projects import ROOT
from wristward.cli import check
from wristward.cli.errors import CommandError
from wristward.cli.main import main
from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.site.settings import SettingsError, chosen_language

PROMISES = {
    "de": r"immer|nie|niemals|stets|sicher\w*|gefahrlos\w*|garantiert\w*|motorisch schonend\w*",
    "es": r"siempre|nunca|jamás|segur[oa]s?|seguramente|garantizad[oa]s?|sin riesgo",
}
NEEDED = (
    "figure.",
    "client.",
    "height.",
    "lint.",
    "block.",
    "block_levels.",
    "site.",
    "fence.",
    "quiz.",
    "arms.",
    "teach.",
    "print.",
    "export.",
    "reference.",
)
"""What is complete in every shipped language; sentences of data files may fall back."""


@pytest.mark.parametrize("language", sorted(PROMISES))
def test_no_translation_promises(language):
    """No sentence says "always", "never" or "safe" in its language, nor calls a hand spared that is not."""
    paths = sorted((where_is_data() / "reader" / language).glob("*.yaml"))
    said = {
        f"{path.name}:{number}": found[0]
        for path in paths
        # There stand the words that questions keep out.
        if path.name != "lint.yaml"
        for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1)
        if (found := re.search(rf"\b({PROMISES[language]})\b", line, re.IGNORECASE)) is not None
    }

    assert {path.name for path in paths} >= {"language.yaml", "teach.yaml", "quiz.yaml"}
    assert {} == said


@pytest.mark.parametrize("language", sorted(PROMISES))
def test_the_translated_pages_are_whole(language):
    """Figures, every generated page, quizzes, other arms, paper and exports have every word."""
    data = read_dataset(where_is_data(), language=language)

    assert [] == [start for start in NEEDED if not any(key.startswith(start) for key in data.words)]
    assert [] == [key for key in data.fallbacks[language] if key.startswith(NEEDED)]


APART = {
    "language.names": "a setting, not said",
    "quiz.kind.caught": "a kind of question, beside what becomes of a branch",
    "quiz.kind.name": "a kind of question, beside the setting",
    "teach.method.text": "a textbook, beside text in a file",
}
"""Words that are spelled like others in English and mean something else: key and what it means."""


@pytest.mark.parametrize("language", sorted(PROMISES))
def test_what_is_one_in_english_is_one_in_translation(dataset, language):
    """Words that stand under several keys in English are translated alike under each of them."""
    said = read_dataset(where_is_data(), language=language).words
    found: dict[str, dict[str, list[str]]] = {}
    for key, text in dataset.words.items():
        if key not in APART:
            found.setdefault(text.strip(), {}).setdefault(said[key].strip(), []).append(key)
    several = {english: ways for english, ways in found.items() if sum(map(len, ways.values())) > 1}

    assert [] != sorted(several)
    assert {} == {english: ways for english, ways in several.items() if len(ways) > 1}
    assert APART.keys() <= dataset.words.keys()


@pytest.fixture
def course(tmp_path, monkeypatch):
    """A made-up arm with a site's configuration and two words that only English has."""
    data = tmp_path / "anatomy_data"
    shutil.copytree(ROOT / "tests" / "data" / "small", data)
    (tmp_path / "docs").mkdir()
    for language, text in {
        "en": "language: {decimal: .}\nwords: {one: One, two: Two}\n", "de": "language: {decimal: ','}\nwords: {one: Eins}\n",
    }.items():  # fmt: skip
        (data / "reader" / language).mkdir(exist_ok=True)
        (data / "reader" / language / "words.yaml").write_text(text, "utf-8")
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: x\ntheme: {name: material, language: de}\nplugins: [{wristward: {data_dir: anatomy_data}}]\n",
        "utf-8",
    )
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_check_lists_what_falls_back(course, capsys, monkeypatch):
    """``check`` counts the words of each language and lists, by file, what the site's own or the one asked for lacks."""

    def stop(*given):
        raise CommandError("what follows is not asked here")

    monkeypatch.setattr(check, "solve_data", stop)
    assert 1 == main(["check"])
    told = capsys.readouterr().out.splitlines()
    at = next(k for k, line in enumerate(told) if line.startswith("language de"))
    english = re.findall(r"\d+", told[at])

    assert "two" == told[at + 1 + told[at + 1 :].index("    words.two")].strip().removeprefix("words.")
    assert "  anatomy_data/reader/en/words.yaml: 1" in told
    assert int(english[0]) + int(english[2]) == int(english[1])
    assert 1 == main(["check", "--data", "anatomy_data"])
    assert "    words.two" not in capsys.readouterr().out.splitlines()


def test_an_unknown_language_is_told(course, capsys):
    """A theme's language without words, an option without words and a command's are refused with what is allowed."""
    config = course / "mkdocs.yml"
    config.write_text(config.read_text("utf-8").replace("language: de", "language: it"), "utf-8")

    assert 1 == main(["check"])
    told = capsys.readouterr().err
    assert told.startswith(
        "mkdocs.yml: language of the theme is 'it', and there are no words in it (allowed: 'de' or 'en'; "
    )
    assert 1 == main(["build"])
    assert told == capsys.readouterr().err
    assert 1 == main(["check", "--language", "fr"])
    assert "--language is 'fr' (allowed: 'de' or 'en')\n" == capsys.readouterr().err


def test_the_option_comes_before_the_theme():
    """The plugin's option names the language of generated pages; without it they follow the theme, else English."""
    folders = [where_is_data()]

    assert ["es", "de", "en"] == [
        chosen_language(folders, option=option, theme=theme)
        for option, theme in (("es", "de"), (None, "de"), (None, None))
    ]
    with pytest.raises(
        SettingsError, match=r"^mkdocs.yml: language of wristward is 'fr' \(allowed: 'de', 'en' or 'es'\)$"
    ):
        chosen_language(folders, option="fr", theme="de")
