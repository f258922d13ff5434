"""The types of the scripts: every script is checked, strictly, and nothing is let off."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from wristward.cli.checks.players import type_check
from wristward.cli.checks.test import TYPED_SCRIPTS
from wristward.locate import BROWSER

CACHE = Path(__file__).resolve().parents[1] / ".cache"
# What a script may not say, or not without a reason behind it.
LET_OFF = re.compile(r"@ts-nocheck|@ts-ignore|@ts-expect-error(?! \w+)")


def tsc(project, *options):
    """Return what the type checker prints, a line each."""
    done = subprocess.run([*type_check(CACHE, project), "--pretty", "false", *options], capture_output=True, text=True)
    return done.stdout.splitlines()


@pytest.fixture
def copy(tmp_path):
    """The scripts and their types in a folder of their own."""
    return Path(shutil.copytree(BROWSER, tmp_path / "browser"))


def test_every_script_is_checked_strictly():
    """The projects name every script once, with nothing of strictness taken back."""
    listed = [
        Path(line).resolve()
        for project in TYPED_SCRIPTS
        for line in tsc(BROWSER / project, "--listFilesOnly")
        if line.endswith(".js")
    ]
    shown = [
        json.loads("\n".join(tsc(BROWSER / project, "--showConfig")))["compilerOptions"] for project in TYPED_SCRIPTS
    ]

    assert sorted(BROWSER.rglob("*.js")) == sorted(listed)
    assert [{"checkJs": True, "strict": True}] * 2 == [
        {name: options[name] for name in options if name in ("checkJs", "strict") or options[name] is False}
        for options in shown
    ]


def test_no_script_lets_itself_off():
    """No script and no type switches the checker off for a file or, without a reason, for a line."""
    files = [path for pattern in ("*.js", "*.ts") for path in BROWSER.rglob(pattern)]

    assert len(files) > 40
    assert [] == [path.name for path in files if LET_OFF.search(path.read_text("utf-8"))]


def test_wrong_scripts_are_found(copy):
    """A use that does not fit what a script offers is reported with its file and line, and so is a value of no type."""
    wrong = {
        "charts/wrong.js": ("const wrong = (it) => it;", "Parameter 'it' implicitly has an 'any' type."),
        "core/wrong.js": ("window.wristward.say(1);", "Argument of type 'number' is not assignable to parameter of type 'string'."),
        "quiz/wrong.js": ("window.wristward.nothing();", "Property 'nothing' does not exist on type 'Wristward'."),
    }  # fmt: skip
    for file, (line, _) in wrong.items():
        (copy / file).write_text(f"\n{line}\n")
    found = [
        re.fullmatch(r".*/(\w+/\w+\.js\(2),\d+\): error TS\d+: (.*)", line) for line in tsc(copy / TYPED_SCRIPTS[0])
    ]

    assert [(f"{file}(2", said) for file, (_, said) in wrong.items()] == sorted(one.groups() for one in found)


def test_a_wrong_worker_is_found(copy):
    """The worker is held to what a worker has: no document."""
    with (copy / "site" / "worker.js").open("a") as script:
        script.write("document.title;\n")
    found = tsc(copy / TYPED_SCRIPTS[1])

    assert ["error TS2584: Cannot find name 'document'."] == [
        line[line.index("error") :].split(" Do you")[0] for line in found
    ]
