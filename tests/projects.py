"""A whole tiny site: the prose of tests/sites/minimal on the made-up arm of tests/data/small."""

import contextlib
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

from wristward.site.swap import replacing

ROOT = Path(__file__).resolve().parents[1]
# Quizzes name this source whatever the data; the made-up arm does not.
SOURCE = "  project_assumption: {type: personal_communication, title: Assumption, what: what no study measures}\n"

# The made-up arm is cut short: a fifth of the sections to solve, and as much to test.
SHORTER = 5
HEIGHTS = re.compile(r"((?:z_mm|reference_length_mm): )(\[?)(\d+)(?:, (\d+))?")


def command_line(*words, seed="0", program=ROOT / "generator"):
    """Return the words that run a command, and the environment for them; ``program`` is the folder of the package."""
    start = "import sys; from wristward.cli.main import main; sys.exit(main(sys.argv[1:]))"
    return [sys.executable, "-c", start, *words], {
        **os.environ,
        "PYTHONPATH": str(program),
        "PYTHONHASHSEED": seed,
    }


def make_project(folder):
    """Write the tiny project with the readers' real words, and return its folder."""
    shutil.copytree(ROOT / "tests" / "sites" / "minimal", folder)
    data = folder / "anatomy_data"
    shutil.copytree(ROOT / "tests" / "data" / "small", data)
    shutil.rmtree(data / "reader")
    shutil.copytree(ROOT / "anatomy_data" / "reader", data / "reader")
    for path in [data / "region.yaml", data / "relations.yaml", *data.glob("*/*.yaml")]:
        path.write_text(HEIGHTS.sub(_shorter, path.read_text("utf-8")), "utf-8")
    for path in sorted(data.glob("*/z*.yaml")):
        path.rename(path.with_name(f"z{int(path.stem[1:]) // SHORTER:03}.yaml"))
    with (data / "sources.yaml").open("a", encoding="utf-8") as file:
        file.write(SOURCE)
    return folder


def _shorter(found):
    key, bracket, *heights = found.groups()
    return key + bracket + ", ".join(str(int(height) // SHORTER) for height in heights if height is not None)


def run(folder, *words, **how):
    """Run a command in a process of its own, as a person would in that folder."""
    command, environment = command_line(*words, **how)
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True)


def begin_build(site: Path) -> None:
    """Begin to build a site and give up before anything is written: what a killed build left is cleared up by then."""
    with contextlib.suppress(GivenUp), replacing(site):
        raise GivenUp


class GivenUp(Exception):
    """A build was only begun."""
