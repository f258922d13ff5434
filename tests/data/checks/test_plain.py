"""Text of the data stays text; names in braces are those that are filled in."""

import pytest

from wristward.data.checks.plain import check_plain
from wristward.data.read import read_dataset
from wristward.data.reading.tree import read_yaml
from wristward.errors import DataError
from wristward.locate import where_is_data


def said(text, *, words=False):
    root, problems = read_yaml(text.encode(), file="f")
    assert [] == problems
    return [str(problem).split(": ", 1)[1] for problem in check_plain(root, words=words)]


@pytest.mark.parametrize(
    ("value", "what"),
    [
        ("'<script>run()</script>'", "a tag (allowed: text without '<' before a letter)"),
        ("'</p>'", "a tag (allowed: text without '<' before a letter)"),
        ("'<!-- x'", "a tag (allowed: text without '<' before a letter)"),
        ("'[x](JavaScript :run)'", "an address that would run as a script (allowed: text)"),
        ("'&#106;avascript'", "a coded letter (allowed: the letter itself)"),
        ("'a onerror = run'", "what would run as a script (allowed: text)"),
        ("'a { .b }'", "a brace (allowed: text without '{' and '}')"),
    ],
)
def test_text_that_could_run_is_refused(value, what):
    """Tags, coded letters, script addresses and attributes are told, wherever in the tree they stand."""
    plain = value.strip("'")

    assert [f"'{plain}' holds {what}"] == said(f"a: [{{b: {value}}}]\n")


@pytest.mark.parametrize("value", ["p < 0.05 & more", "5 > 4", "named on = a street", "ميديان 🦴 {no}"])
def test_ordinary_text_is_not(value):
    """Signs of ordinary text, other scripts and filled-in names pass, the last among words alone."""
    assert [] == said(f"a: '{value.replace('named on =', 'named upon')}'\n", words=True)


@pytest.mark.parametrize(
    ("value", "what"),
    [
        ("{a.b}", "'{a.b}' (allowed: a name in braces, as '{name}')"),
        ("{a!r}", "'{a}' (allowed: a name in braces, as '{name}')"),
        ("{0}", "'{0}' (allowed: a name in braces, as '{name}')"),
        ("a { b", "a brace without its other half (allowed: '{name}')"),
    ],
)
def test_words_fill_in_names_alone(value, what):
    """A word cannot reach into what is filled in, and its braces are closed."""
    assert [f"'{value}' holds {what}"] == said(f"a: '{value}'\n", words=True)


def test_a_name_of_two_thousand_letters_is_refused():
    """A name that no label could show is told with its length."""
    assert ["name has 2000 letters, must have at most 300"] == said(f"a: {{name: {'n' * 2000}}}\n")


def test_an_overlay_word_asks_for_what_is_filled_in(tmp_path):
    """A changed word may ask for the names of the packaged one, a new one for those of its siblings."""
    words = tmp_path / "reader" / "en"
    words.mkdir(parents=True)
    (words / "height.yaml").write_text("height: {above: '{inches} in'}\n", "utf-8")
    (words / "own.yaml").write_text("teach:\n  case: {own: 'A {kg} and {years} person'}\n", "utf-8")
    with pytest.raises(DataError) as caught:
        read_dataset(where_is_data(), [tmp_path])

    assert [
        "height.yaml:1:17: 'above' asks for '{inches}', which is not filled in here (allowed: '{cm}')",
        "own.yaml:2:15: 'own' asks for '{years}', which is not filled in here (allowed: '{kg}' or '{minutes}')",
    ] == [str(problem).split("/en/")[1] for problem in caught.value.problems]
