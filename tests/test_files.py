"""Rules about the files themselves: short enough to read, and nothing of a machine in them."""

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
MOST_LINES = 400
CODE = (".py", ".js", ".css", ".html")
# Written so that this file does not hold what it looks for.
FORBIDDEN = re.compile("/work" + "/(?:main|shared|.library)|" + "/opt/" + "pypi|" + r"/root/\.|/tmp/" + "team")


def tracked():
    """Files that git knows or would add, as a clone has them."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    names = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout.splitlines()
    found = [ROOT / name for name in names if (ROOT / name).is_file()]
    assert Path(__file__) in found
    return found


def test_no_program_file_is_too_long():
    """Every hand-written program file stays under 400 lines."""
    counts = {path: len(path.read_text("utf-8").splitlines()) for path in tracked() if path.suffix in CODE}

    assert set(CODE) == {path.suffix for path in counts}
    assert [] == [f"{path.relative_to(ROOT)}: {count}" for path, count in counts.items() if count >= MOST_LINES]


def test_no_file_names_a_machine():
    """No committed text holds a path of the machine it was written on, or the place of its packages."""
    found = []
    for path in tracked():
        content = path.read_bytes()
        if b"\0" not in content and FORBIDDEN.search(content.decode("utf-8", "replace")):
            found.append(str(path.relative_to(ROOT)))

    assert [] == found
