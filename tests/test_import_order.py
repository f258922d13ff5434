"""Who may import whom: layers one way, each library by its owner, and the entry from the standard library alone."""

import ast
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
LAYERS = (
    "errors", "data", "anatomy", "section", "measure", "block", "quiz", "figure", "client", "export", "pages", "cli",
)  # fmt: skip
OWNERS = {
    "yaml": {"data"},
    "pydantic": {"data"},
    "pydantic_core": {"data"},
    "shapely": {"section"},
    "contourpy": {"section"},
    "scipy": {"anatomy", "section", "block"},
    "threadpoolctl": {"section"},
    "plotly": {"figure"},
    "mkdocs": {"pages"},
    "lxml": {"export"},
    # Below figure, and in client, which packs the outlines for the browser.
    "numpy": {"data", "anatomy", "section", "measure", "block", "quiz", "client"},
    # Markdown and its extensions stand at mkdocs' side.
    "markdown": {"pages"},
    "pymdownx": {"pages"},
    # Only the tests' browser is started with it, and only when no browser was found.
    "playwright": {"cli"},
}
# One module that starts before anything is installed.
ENTRY = ("__main__.py", "bootstrap.py")


def layer_of(path):
    """Return the layer of a file below generator/; the entry and the commands are all ``cli``."""
    first = path.parts[0]
    if first == "cli.py" or first.startswith("cli_") or first in ENTRY:
        return "cli"
    return first.removesuffix(".py")


def imports(tree):
    """Yield (line, dotted name) of every import in a module, inside functions too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for name in node.names:
                yield node.lineno, name.name
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: a relative import hides its layer"
            yield from ((node.lineno, f"{node.module}.{name.name}") for name in node.names)


def faults(path, source):
    """Return "packing.py:1: section imports generator.figure" for each import that a file may not make."""
    layer = layer_of(path)
    found = []
    for line, name in imports(ast.parse(source)):
        top, *below = name.split(".")
        if top == "generator":
            other = layer_of(Path(below[0])) if below else "errors"
            bad = other in LAYERS and LAYERS.index(other) > LAYERS.index(layer)
        elif top in sys.stdlib_module_names:
            bad = False
        else:
            bad = layer not in OWNERS.get(top, set())
        if bad:
            found.append(f"{path.as_posix()}:{line}: {layer} imports {name}")
    return found


def modules():
    folder = ROOT / "generator"
    return sorted(path.relative_to(folder) for path in folder.rglob("*.py") if "_anatomy_data" not in path.parts)


def test_imports_only_lower_layers():
    """A layer imports only itself, layers below it, and the libraries it owns."""
    found = [fault for path in modules() for fault in faults(path, (ROOT / "generator" / path).read_text("utf-8"))]

    assert [] == found


def test_every_module_is_in_a_layer():
    """No file stands outside the layers, where no rule would reach it."""
    strays = [path.as_posix() for path in modules() if layer_of(path) not in (*LAYERS, "__init__")]

    assert [] == strays


@pytest.mark.parametrize(
    ("path", "source", "expected"),
    [
        ("section/x.py", "import generator.figure.view", "section/x.py:1: section imports generator.figure.view"),
        ("data/x.py", "def f():\n    from generator import cli", "data/x.py:2: data imports generator.cli"),
        ("measure/x.py", "import shapely", "measure/x.py:1: measure imports shapely"),
        ("figure/x.py", "import numpy as np", "figure/x.py:1: figure imports numpy"),
        ("pages/x.py", "from generator.cli_site import build", "pages/x.py:1: pages imports generator.cli_site.build"),
        ("cli_x.py", "from mkdocs.config import load_config", "cli_x.py:1: cli imports mkdocs.config.load_config"),
        ("section/x.py", "import unheard_of", "section/x.py:1: section imports unheard_of"),
    ],
)
def test_a_wrong_import_is_found(path, source, expected):
    """Each way to break the order is reported with its file, line and both sides."""
    assert [expected] == faults(Path(path), source)


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("figure/x.py", "from generator.measure.measures import depth_mm\nfrom generator.errors import Problem"),
        ("cli_x.py", "from generator.pages.build import build_site\nimport json"),
        ("section/x.py", "import numpy, shapely, scipy"),
    ],
)
def test_a_right_import_is_not_reported(path, source):
    """Lower layers, own libraries and the standard library are free."""
    assert [] == faults(Path(path), source)


def test_the_entry_needs_nothing_installed():
    """Before the environment exists, the entry imports the standard library and itself; the commands come later."""
    found = []
    for name in ENTRY:
        tree = ast.parse((ROOT / "generator" / name).read_text("utf-8"))
        for node in tree.body:
            if isinstance(node, ast.Import | ast.ImportFrom):
                module = node.module if isinstance(node, ast.ImportFrom) else node.names[0].name
                if module.split(".")[0] not in sys.stdlib_module_names and module != "generator.bootstrap":
                    found.append(f"{name}:{node.lineno}: {module}")

    assert [] == found
    assert "" == (ROOT / "generator" / "__init__.py").read_text("utf-8").split('"""')[-1].strip()
