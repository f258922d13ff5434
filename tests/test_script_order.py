"""Which script may use which: rooms one way and no circle, each name of the one global in one file, nothing left over."""

import re
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

from tests.script_reading import Script, read, tokens
from wristward.bridge.scripts import ARMS, BUNDLES, QUIZ, RUNTIME, browser_text
from wristward.export.scorm import WITHOUT
from wristward.locate import BROWSER, PACKAGE
from wristward.site.offline import WORKER
from wristward.site.plugin import own_assets

# Rooms of figures that bring scripts of their own: a page may hold one without the others.
OWN = {file.split("/")[0] for bundle in BUNDLES if bundle.hosts for file in bundle.script.parts}
SHARED = {"core", "section"}
# Room → the rooms that its scripts use.
ROOMS = {
    "core": set(),
    "section": {"core"},
    "travel": {"core", "section"},
    "charts": {"core", "section"},
    **dict.fromkeys(sorted(OWN), SHARED),
    "export": {"core", "quiz"},
    "site": set(),
}
# What Python puts onto the global, and the file that writes it; the first ones before any script runs.
GIVEN = {
    **dict.fromkeys(("arms", "drawingStyle", "legend", "others", "plotlyBase", "shared", "words"), "bridge/assets.py"),
    "packedArm": "bridge/pack/outlines.py",
    "packedArms": "bridge/pack/arms.py",
    "packedBlocks": "bridge/pack/blocks.py",
    "packedMeasures": "bridge/pack/measures.py",
    "quizData": "bridge/hosts/quiz.py",
    "searchIndex": "site/search.py",
}
FIRST = {name for name, file in GIVEN.items() if file == "bridge/assets.py"}
# Pure functions of a script that no other needs; tests call them in a browser.
TESTED = {"scorm", "search"}
# What is in no bundle, and the file of the program that reads it. The rest of site/ is taken by pattern.
ELSEWHERE = {
    "export/print.css": "export/print_page.py",
    "export/print.js": "export/print_page.py",
    "export/scorm.css": "export/scorm.py",
    "export/scorm.js": "export/scorm.py",
    f"site/{WORKER}": "site/offline.py",
}
# Scripts as they follow each other on a page: a page leaves out what none of its figures needs.
PLAYER = tuple(part for part in QUIZ.script.parts if part not in WITHOUT)
PAGES = {
    "figures": RUNTIME.script.parts,
    **{bundle.script.name: (*RUNTIME.script.parts, *bundle.script.parts) for bundle in BUNDLES if bundle.hosts},
    "arms": (*RUNTIME.script.parts, *ARMS.parts),
    "scorm": (*RUNTIME.script.parts, *PLAYER, "export/scorm.js"),
    "search": ("site/search.js",),
}


def room_of(file):
    return file.split("/")[0]


def files(pattern):
    return sorted(path.relative_to(BROWSER).as_posix() for path in BROWSER.rglob(pattern))


@cache
def scripts():
    return {file: read((BROWSER / file).read_text("utf-8")) for file in files("*.js")}


def faults(read_scripts):
    """Return "core/x.js:3: …" for each name that is defined or used where it may not be.

    Args:
        read_scripts: ``Script`` by file relative to ``browser/``.
    """
    found, where = [], {}
    for file, script in read_scripts.items():
        for name, places in script.defined.items():
            whole, line = name.split(".")[0], places[0][0]
            owner = where.setdefault(name if name.startswith("mounters.") else whole, file)
            if owner != file:
                found.append(f"{file}:{line}: wristward.{name} is defined by {owner} too")
            if name in GIVEN:
                found.append(f"{file}:{line}: wristward.{name} is defined by {GIVEN[name]} too")
            found.extend(
                f"{file}:{line}: wristward.{name} is defined by a function, not by the script"
                for line, late in places
                if late
            )
    defined = {name for script in read_scripts.values() for name in script.defined}
    objects = {name.split(".")[0] for name in defined if "." in name}
    used = {name for script in read_scripts.values() for name in script.used}
    for file, script in read_scripts.items():
        for name, places in script.used.items():
            whole, line = name.split(".")[0], places[0][0]
            if whole not in {*where, *GIVEN} or ("." in name and whole in objects and name not in defined):
                found.append(f"{file}:{line}: wristward.{name} is defined by nobody")
            elif whole in where and room_of(where[whole]) not in {room_of(file), *ROOMS.get(room_of(file), ())}:
                found.append(f"{file}:{line}: {room_of(file)} uses wristward.{name} of {where[whole]}")
        for name, places in script.defined.items():
            if name not in used and not name.startswith("mounters.") and name.split(".")[0] not in TESTED:
                found.append(f"{file}:{places[0][0]}: wristward.{name} is used by nobody")
    found.extend(f"{GIVEN[name]}: wristward.{name} is used by nobody" for name in sorted(set(GIVEN) - used))
    return sorted(found)


def load_faults(order, read_scripts):
    """Return "quiz/x.js:3: …" for each name that a page's scripts miss, or need before it is there.

    Args:
        order: Files as they follow each other.
        read_scripts: ``Script`` by file.
    """
    # Arms come when they are wanted.
    coming = [file for file in ARMS.parts if file in read_scripts]
    ever = {name for file in (*order, *coming) for name in read_scripts[file].defined} | set(GIVEN)
    found, there = [], set(FIRST)
    for file in order:
        for name, places in sorted(read_scripts[file].used.items()):
            whole = name.split(".")[0]
            if whole not in ever:
                found.append(f"{file}:{places[0][0]}: wristward.{whole} is not on this page")
                continue
            own = [line for line, late in read_scripts[file].defined.get(whole, []) if not late]
            found.extend(
                f"{file}:{line}: wristward.{name} is used before it is there"
                for line, late in places
                if not late and whole not in there and not any(one <= line for one in own)
            )
        there |= {name for name, places in read_scripts[file].defined.items() if not all(late for _, late in places)}
    return found


def test_scripts_use_only_what_they_may():
    """Each name of the global is defined once, as its script loads, used by the rooms that may, and used at all."""
    assert [] == faults(scripts())


def test_the_table_of_rooms_allows_no_more_than_is_used():
    """The rooms are those of the folder, none leads back to itself, and no use is allowed that is not made."""
    read_scripts = scripts()
    where = {name: room_of(file) for file, script in read_scripts.items() for name in script.defined}
    uses = {room_of(file): set() for file in read_scripts}
    for file, script in read_scripts.items():
        uses[room_of(file)] |= {where[name] for name in script.used if name in where} - {room_of(file)}

    own = {room: uses[room] for room in OWN}

    assert {"blocks", "quiz"} <= OWN
    assert ROOMS == uses | {room: SHARED for room, used in own.items() if used <= SHARED}
    assert SHARED == set().union(*own.values())
    assert set(ROOMS) == set(TopologicalSorter(ROOMS).static_order())


@pytest.mark.parametrize("page", PAGES)
def test_what_a_script_needs_is_there(page):
    """In the order in which a page loads its scripts each finds what it needs, at once or later."""
    order, read_scripts = PAGES[page], scripts()

    assert set() == set(order) - set(read_scripts)
    assert [] == load_faults(order, read_scripts)


def test_what_python_gives_is_written_there():
    """Each name that Python puts onto the global stands in the file that is said to write it."""
    missing = [name for name, file in GIVEN.items() if name not in (PACKAGE / file).read_text("utf-8")]

    assert [] == missing


def test_every_figure_kind_has_its_host():
    """Each kind of figure that a script mounts is a kind that Python makes a host for, and the bundles know no other."""
    kinds = {
        name.removeprefix("mounters.") for one in scripts().values() for name in one.defined if "mounters." in name
    }
    hosts = "".join(path.read_text("utf-8") for path in sorted((PACKAGE / "bridge").rglob("*.py")))

    assert kinds
    assert set() == {kind for kind in kinds if f'"{kind}"' not in hosts}
    assert set() == {kind for bundle in BUNDLES for kind in bundle.hosts} - kinds


def test_every_script_and_style_reaches_readers_once():
    """A file of ``browser/`` is in one bundle, or else among what ``site/`` takes by pattern or one module reads by name."""
    bundled = [*ARMS.parts, *(part for one in BUNDLES for part in (*one.script.parts, *one.style.parts))]
    taken = [path.relative_to(BROWSER).as_posix() for path in own_assets("*.js", "*.css")]

    assert sorted([*files("*.js"), *files("*.css")]) == sorted([*bundled, *taken, *ELSEWHERE])


def test_comments_stay_behind():
    """What reaches readers says the same, without the lines that hold nothing but a comment."""
    told = {file: (BROWSER / file).read_text("utf-8") for file in files("*.js")}
    meant = {file: [token.text for token in tokens(text)] for file, text in told.items()}
    sent = {file: browser_text([file]) for file in told}

    assert meant == {file: [token.text for token in tokens(text)] for file, text in sent.items()}
    assert 0.9 * len("".join(told.values())) > len("".join(sent.values()))
    assert [] == [
        line for text in sent.values() for line in text.splitlines() if re.match(r"\s*(//|/\*[^/]*\*/$)", line)
    ]


def test_what_is_read_by_name_is_read():
    """What is in no bundle is named by the module that is said to read it."""
    assert [] == [
        file
        for file, reader in ELSEWHERE.items()
        if re.search(rf"\b{Path(file).name}\"", (PACKAGE / reader).read_text()) is None
    ]


def script(body):
    return f'/* wristward.not.this */\n(function (wristward) {{\n  "use strict";\n{body}\n}})((window.wristward ??= {{}}));\n'


GOOD = {
    "core/a.js": script("  wristward.say = (key) => `${key} wristward.none`;\n  wristward.mounters ??= {};"),
    "section/b.js": script(
        '  const view = (wristward.view = { SIZE: 1, of() {} });\n  view.at = () => wristward.say("x");'
    ),
    "quiz/c.js": script(
        "  const { view, say: tell } = wristward;\n"
        "  wristward.mounters.quiz = () => tell(view.at() + view.of() + wristward.view.SIZE / 2 + wristward.legend.x / 2);"
    ),
}


def check(sources, monkeypatch, order=None):
    monkeypatch.setitem(globals(), "GIVEN", {"legend": "bridge/assets.py"})
    read_scripts = {file: read(source) for file, source in sources.items()}
    return faults(read_scripts) if order is None else load_faults(order, read_scripts)


def test_right_scripts_are_not_reported(monkeypatch):
    """Texts, comments, divisions, other names for a thing and what a function needs later are no fault."""
    assert [] == check(GOOD, monkeypatch)
    assert [] == check(GOOD, monkeypatch, ["core/a.js", "section/b.js", "quiz/c.js"])


@pytest.mark.parametrize(
    ("file", "body", "expected"),
    [
        ("core/x.js", "  wristward.view.of();", "core/x.js:4: core uses wristward.view of section/b.js"),
        ("travel/x.js", "\n  const { view } = wristward;\n  wristward.mounters.t = () => view.no();",
         "travel/x.js:6: wristward.view.no is defined by nobody"),
        ("quiz/x.js", "  const { none, say } = wristward;", "quiz/x.js:4: wristward.none is defined by nobody"),
        ("quiz/x.js", "\n  wristward.left = 1;", "quiz/x.js:5: wristward.left is used by nobody"),
        ("section/x.js", "  const { view } = wristward;\n  view.more = 1;\n  view.more();",
         "section/x.js:5: wristward.view.more is defined by section/b.js too"),
        ("core/x.js", "  wristward.say ??= null;", "core/x.js:4: wristward.say is defined by core/a.js too"),
        ("core/x.js", '  wristward.mounters["quiz"] = 1;', "quiz/c.js:5: wristward.mounters.quiz is defined by core/x.js too"),
        ("core/x.js", "  wristward.legend = {};", "core/x.js:4: wristward.legend is defined by bridge/assets.py too"),
        ("core/x.js", "  const f = () => {\n    wristward.late = 1;\n  };\n  wristward.late();",
         "core/x.js:5: wristward.late is defined by a function, not by the script"),
        ("blocks/x.js", "  wristward.mounters.b = () => wristward.score();\n  wristward.played = 1;\n  wristward.played();",
         "blocks/x.js:4: wristward.score is defined by nobody"),
    ],
)  # fmt: skip
def test_a_wrong_script_is_found(file, body, expected, monkeypatch):
    """Each way to break the rules is reported with its file, its line and the name."""
    found = check(dict(sorted({**GOOD, file: script(body)}.items())), monkeypatch)

    assert expected in found


def test_a_room_may_not_use_another_of_its_height(monkeypatch):
    """Blocks and quizzes, which pages hold one without the other, may not use each other."""
    sources = {**GOOD, "blocks/x.js": script("  wristward.chart = 1;"), "quiz/y.js": script("  wristward.chart();")}

    assert ["quiz/y.js:4: quiz uses wristward.chart of blocks/x.js"] == check(sources, monkeypatch)


@pytest.mark.parametrize(
    ("order", "body", "expected"),
    [
        (["core/a.js", "quiz/c.js", "section/b.js"], "", ["quiz/c.js:4: wristward.view is used before it is there"]),
        (["core/a.js", "quiz/c.js"], "", ["quiz/c.js:4: wristward.view is not on this page",
                                          "quiz/c.js:5: wristward.view is not on this page",
                                          "quiz/c.js:5: wristward.view is not on this page",
                                          "quiz/c.js:5: wristward.view is not on this page"]),
        (["quiz/x.js", "core/a.js"], "  if (wristward.say(1)) {\n    const all = { one: wristward.say };\n  }",
         ["quiz/x.js:4: wristward.say is used before it is there", "quiz/x.js:5: wristward.say is used before it is there"]),
        (["quiz/x.js", "core/a.js"], "  const f = (a) => wristward.say(a), g = { h() { wristward.say(); } };\n"
                                     "  function k() {\n    for (const l of m) wristward.say();\n  }", []),
    ],
)  # fmt: skip
def test_a_wrong_order_is_found(order, body, expected, monkeypatch):
    """What a script needs as it loads must be there before; what its functions need may come later."""
    assert expected == check({**GOOD, "quiz/x.js": script(body)}, monkeypatch, order)


def test_a_script_that_does_not_close_is_refused():
    """A script whose brackets do not match is not read as one that says nothing."""
    with pytest.raises(ValueError, match="^line 1: '\\)' closes nothing$"):
        read("const a = {)")
    with pytest.raises(ValueError, match="^'}' is missing at the end$"):
        read("const a = {")


def test_every_script_is_read():
    """Each script that stands on the global says something of it."""
    named = [file for file in files("*.js") if "(function (wristward)" in (BROWSER / file).read_text("utf-8")]

    assert len(named) > 25
    assert [] == [file for file in named if read((BROWSER / file).read_text("utf-8")) == Script()]
