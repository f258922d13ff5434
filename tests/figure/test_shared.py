"""What Python and the scripts draw by is said once: in Python, for both."""

import re

from tests.shapes import WAYS
from wristward.figure.labels import NARROW_SCREEN, NARROW_SIZE
from wristward.figure.shared import shared
from wristward.figure.view import COLUMN, WIDTH
from wristward.locate import BROWSER

DRAWING = ("section/*.js", "travel/*.js", "charts/*.js", "blocks/*.js", "quiz/figure.js")
COMMENT = re.compile(r"/\*.*?\*/|//[^\n]*", re.DOTALL)
NUMBER = re.compile(r"(?<![\w.#%])\d+(?:\.\d+)?(?![\w.%])")
LIST = re.compile(r"\[(?:\s*\"[^\"]*\",?)+\s*\]")

# These mean something else wherever they stand: a decade, half of anything, a thin line.
EVERYWHERE = {"10", "0.5", "1.5"}
# The radius of a number's disc.
BY_CHANCE = {("quiz/figure.js", "17")}


def scripts():
    """Return the scripts that draw, without their comments, by file."""
    files = sorted(path for pattern in DRAWING for path in BROWSER.glob(pattern))
    return {path.relative_to(BROWSER).as_posix(): COMMENT.sub("", path.read_text("utf-8")) for path in files}


def leaves(values):
    """Return every single value in nested ones, and every list of texts as a set."""
    if isinstance(values, dict):
        return [leaf for value in values.values() for leaf in leaves(value)]
    if not isinstance(values, list | tuple):
        return [values]
    texts = [frozenset(values)] if all(isinstance(one, str) for one in values) else []
    return texts + [leaf for value in values for leaf in leaves(value)]


def respelled(text):
    """Return the numbers of two digits or more, and the lists, that a script spells although they are handed to it."""
    handed = leaves(shared(WAYS, top_mm=260))
    numbers = {str(one) for one in handed if isinstance(one, int | float)} - EVERYWHERE
    lists = [one for one in handed if isinstance(one, frozenset)]
    found = [number for number in NUMBER.findall(text) if len(number) > 1 and number in numbers]
    spelled = [frozenset(re.findall(r"\"([^\"]*)\"", one)) for one in LIST.findall(text)]
    return found + [sorted(one) for one in spelled if one in lists]


def test_no_script_spells_what_python_says():
    """No script that draws holds a number or a list of its own that Python hands to it."""
    read = scripts()
    found = [(file, one) for file, text in read.items() for one in respelled(text)]

    assert len(read) > 15
    assert sorted(BY_CHANCE) == sorted(found)


def test_a_number_that_is_spelled_is_found():
    """A number, alone or in an expression, and a list in whatever order are found; their like within others are not."""
    text = 'const a = 1040, b = x*0.72 + v1040 + 10.72; const c = ["V", "x"], d = ["nerve", "tendon", "vein"];'

    assert ["1040", "0.72", ["nerve", "tendon", "vein"]] == respelled(text)


def test_the_style_sheets_say_what_python_says():
    """A narrow screen, the type on it, and how far the columns are cropped away, are the same in style sheet and drawing."""
    share = WIDTH / (WIDTH - 2 * COLUMN)
    crop = f"width:{100 * share:.1f}%;max-width:none;margin-left:-{100 * share * COLUMN / WIDTH:.1f}%"
    type_size = f":is(.w-label,.w-compass,.w-scale-text){{font-size:{NARROW_SIZE}px}}"
    section, compact = ((BROWSER / name).read_text("utf-8") for name in ("section/section.css", "blocks/levels.css"))
    narrow = section.partition(f"@media screen and {NARROW_SCREEN.replace(': ', ':')}{{")[2].partition("\n}")[0]

    assert [True, True] == [f".w-box svg{{{crop}}}" in text for text in (narrow, compact)]
    assert [True, True] == [type_size.replace(":is(", "").replace(")", "") in narrow, type_size in compact]
