"""Languages: chosen, falling back to English, and refused where a translation says what English does not."""

import copy
import json
import re
import shutil
from pathlib import Path
from string import Formatter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wristward.data.read import read_dataset
from wristward.data.words.languages import languages_in
from wristward.data.words.phrase import Phrase, language_of
from wristward.data.words.told import told_words
from wristward.errors import DataError
from wristward.locate import where_is_data

SMALL = Path(__file__).parents[1] / "small"
SHIPPED = ("de", "es")
ENGLISH = """words:
  greeting: "Good day, {name}: {cm} cm"
  farewell: Goodbye
"""


@pytest.fixture
def small(tmp_path):
    """A made-up arm with two English words of its own."""
    folder = tmp_path / "small"
    shutil.copytree(SMALL, folder)
    shutil.rmtree(folder / "reader")
    say(folder, "en", ENGLISH)
    return folder


@pytest.fixture(scope="module")
def shipped():
    """The shipped data in each language, every language checked."""
    return {one: read_dataset(where_is_data(), language=one, every_language=one == "de") for one in SHIPPED}


def say(folder, language, text, file="words"):
    path = folder / "reader" / language / f"{file}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")
    return folder


def problems_of(folder, overlays=(), language="de"):
    with pytest.raises(DataError) as caught:
        read_dataset(folder, overlays, language=language)
    return [str(problem) for problem in caught.value.problems]


def test_a_language_is_spoken_and_the_rest_is_english(small):
    """Words of the language stand in the place of English ones, numbers have its sign, and what it lacks is known."""
    say(small, "de", 'language: {decimal: ","}\nwords: {greeting: "{name} grüsst: {cm} cm"}', "all")
    say(small, "en", 'language: {decimal: "."}', "language")
    data = read_dataset(small, language="de")
    greeting = data.words["words.greeting"].format(name="A. 1.5", cm="8.5")

    assert ("A. 1.5 grüsst: 8,5 cm", "Goodbye") == (greeting, data.words["words.farewell"])
    assert ["de", "de", "en"] == [
        language_of(x) for x in (greeting, data.words["words.greeting"], data.words["words.farewell"])
    ]
    assert {"de": ("words.farewell",)} == data.fallbacks
    assert "Good day, B: 8.5 cm" == read_dataset(small).words["words.greeting"].format(name="B", cm="8.5")


def test_a_translation_says_what_english_says(small):
    """A key that English lacks, other names in braces and a setting that is none are told at their places."""
    say(small, "de", 'words:\n  greting: "Tag"\n  greeting: "Tag, {nam}: {cm} cm"\n  farewell: "Ade {cm}"\n')
    say(small, "de", "language: {names: greek}", "language")
    say(small, "en", "language: {names: name}", "language")
    say(small, "deutsch", "words: {farewell: Ade}")

    assert [
        "small/reader/de/language.yaml:1:12: 'language.names' is 'greek' (allowed: 'latin' or 'name')",
        "small/reader/deutsch/words.yaml:1:1: 'deutsch' is no language (allowed: two or three small letters, as 'de', or more, as 'es-MX')",
    ] == problems_of(small)
    shutil.rmtree(small / "reader" / "deutsch")
    (small / "reader" / "de" / "language.yaml").unlink()
    assert [
        "small/reader/de/words.yaml:2:3: unknown key 'words.greting'; did you mean 'words.greeting'? (allowed: language.names, words.farewell, words.greeting)",
        "small/reader/de/words.yaml:3:13: 'words.greeting' asks for '{nam}', which is not filled in here (allowed: '{cm}' or '{name}')",
        "small/reader/de/words.yaml:3:13: 'words.greeting' leaves out '{name}' (allowed: '{cm}' or '{name}')",
        "small/reader/de/words.yaml:4:13: 'words.farewell' asks for '{cm}', which is not filled in here (allowed: none)",
    ] == problems_of(small)


def test_other_languages_are_left_alone_until_all_are_asked_for(small):
    """A mistake in Spanish does not stop a German site; asked for all languages, it is told."""
    say(small, "de", "words: {farewell: Ade}")
    say(small, "es", "words: {farwell: Adiós}")

    assert "Ade" == read_dataset(small, language="de").words["words.farewell"]
    with pytest.raises(DataError, match="reader/es/words.yaml:1:9: unknown key 'words.farwell'"):
        read_dataset(small, language="de", every_language=True)


def test_a_course_adds_and_changes_a_language(small, tmp_path):
    """An overlay may bring a language of its own, change a translation, and take an English word out of all of them."""
    course = tmp_path / "course"
    say(course, "fr", "words: {farewell: Au revoir}")
    say(course, "de", "words: {farewell: Tschüss}")
    say(course, "en", "words: {greeting: null}")
    say(small, "de", 'words: {farewell: Ade, greeting: "{name} {cm}"}')

    assert ["de", "en", "fr"] == languages_in([small, course])
    assert {"words.farewell": "Au revoir"} == read_dataset(small, [course], language="fr").words
    assert {"words.farewell": "Tschüss"} == read_dataset(small, [course], language="de").words
    with pytest.raises(ValueError, match=r"^language is 'it' \(allowed: 'de', 'en' or 'fr'\)$"):
        read_dataset(small, [course], language="it")


@given(st.sampled_from(SHIPPED), st.data())
def test_every_translated_word_takes_what_the_english_takes(shipped, dataset, language, data):
    """Each word of a shipped translation is one of English or of the data, and is filled in with the same names."""
    words, english = shipped[language].words, dataset.words
    key = data.draw(st.sampled_from(sorted(words)))
    told = told_words(dataset.region, dataset.relations, dataset.sources, dataset.parts)
    fields = {name for _, name, _, _ in Formatter().parse(words[key]) if name}

    assert key in english or key in told
    assert fields == {name for _, name, _, _ in Formatter().parse(english.get(key, "")) if name}
    assert "{" not in words[key].format(**dict.fromkeys(fields, "x"))


def test_told_words_are_of_the_shipped_data(shipped, dataset):
    """No shipped translation speaks of a level, finding or block that the shipped data does not have."""
    told = told_words(dataset.region, dataset.relations, dataset.sources, dataset.parts)
    said = {
        line.strip().split(":")[0]
        for language in SHIPPED
        for path in (where_is_data() / "reader" / language).glob("told*.yaml")
        for line in path.read_text("utf-8").splitlines()
        if line.startswith("    ") and ":" in line
    }

    assert said
    assert set() == said - {key.split(".")[2] for key in told}


@pytest.mark.parametrize("language", SHIPPED)
def test_every_told_word_is_translated(shipped, dataset, language):
    """Levels, relations, findings, signs, statements and drugs are said in each shipped language, an arm's own as well."""
    told = told_words(dataset.region, dataset.relations, dataset.sources, dataset.parts)

    assert [] == sorted(told.keys() - shipped[language].words.keys())
    for name, arm in shipped[language].arms.items():
        assert (name, []) == (name, [one.id for one in arm.relations if language_of(one.says) != language])


def test_each_statement_has_a_name_of_its_own(dataset):
    """Every statement of the pages about blocks has a name by which translations say it, and no two share one."""
    text = (where_is_data() / "teaching.yaml").read_text("utf-8")
    names = re.findall(r"\{told: (\w+), says:", text)
    told = told_words(dataset.region, dataset.relations, dataset.sources, dataset.parts)

    assert "{says:" not in text
    assert sorted(set(names)) == sorted(names)
    assert {f"told.statements.{name}" for name in names} == {key for key in told if key.startswith("told.statements.")}


def test_structures_are_called_by_their_latin_names(shipped, dataset):
    """In German and Spanish a structure's name is the Latin one, shortened as in print, and no two are called alike."""
    for data in shipped.values():
        names = {id_: record.name for id_, record in data.structures.items()}

        assert "N. medianus" == names["median_nerve"]
        assert "M. flexor digitorum superficialis, caput radiale" == names["flexor_digitorum_superficialis_radial_head"]
        assert "R. palmaris n. mediani" == names["median_palmar_cutaneous_branch"]
        assert len(set(names.values())) == len(names)
    assert "median nerve" == dataset.structures["median_nerve"].name


@given(st.from_regex(r"-?\d{1,3}\.\d( ?[–+] ?\d{1,3}(\.\d)?)?", fullmatch=True))
def test_numbers_have_the_sign_of_the_language(number):
    """A number, span or sum given for a name in braces is written with a comma; text with a point in it stays."""
    phrase = Phrase("{value}", language="de", decimal=",")

    assert number.replace(".", ",") == phrase.format(value=number)
    assert f"N. {number}" == phrase.format(value=f"N. {number}")
    assert number == Phrase("{value}", language="en", decimal=".").format(value=number)


def test_a_phrase_is_text():
    """A phrase is copied, compared and written as JSON like the text it is."""
    phrase = Phrase("Nerv", language="de", decimal=",")

    assert '["Nerv"]' == json.dumps([phrase])
    assert ("Nerv", "de") == (copy.deepcopy(phrase), copy.deepcopy(phrase).language)
