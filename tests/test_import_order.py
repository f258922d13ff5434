"""Who may import whom: layers one way and no circle, each library by its owner, the entry from the standard library."""

import ast
import sys
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PROGRAM = ROOT / "generator"
PACKAGE = "wristward"
LAYERS = (
    "errors", "locate", "data", "anatomy", "section", "measure", "block", "quiz", "figure", "bridge", "project",
    "export", "pages", "site", "cli",
)  # fmt: skip
OWNERS = {
    "yaml": {"data"},
    "pydantic": {"data"},
    "pydantic_core": {"data"},
    "shapely": {"measure", "section"},
    "contourpy": {"section"},
    "scipy": {"block"},
    "threadpoolctl": {"section"},
    "plotly": {"figure"},
    "mkdocs": {"site"},
    # The templates that mkdocs hands over.
    "jinja2": {"site"},
    "lxml": {"export"},
    # Below figure, and in bridge, which packs the outlines for the browser.
    "numpy": {"data", "anatomy", "section", "measure", "block", "quiz", "bridge"},
    # Markdown's own extensions are no host.
    "markdown": {"pages", "site"},
    "pymdownx": {"pages", "site"},
    # Only the tests' browser is started with it, and only when no browser was found.
    "playwright": {"cli"},
}
# What starts before anything is installed, outside the package; it hands over to the commands.
ENTRY = ("__main__.py", "bootstrap.py")
HANDED_TO = "wristward.cli.main"


def layer_of(path):
    """Return the layer of a file of the package, its path relative to it."""
    return path.parts[0].removesuffix(".py")


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
    """Return "packing.py:1: section imports wristward.figure" for each import that a file may not make."""
    layer = layer_of(path)
    found = []
    for line, name in imports(ast.parse(source)):
        top, *below = name.split(".")
        if top == PACKAGE:
            other = below[0] if below else ""
            # What is no layer would be under no rule.
            bad = other not in LAYERS or LAYERS.index(other) > LAYERS.index(layer)
        elif top in sys.stdlib_module_names:
            bad = False
        else:
            bad = layer not in OWNERS.get(top, set())
        if bad:
            found.append(f"{path.as_posix()}:{line}: {layer} imports {name}")
    return found


def private(source):
    """Return "line 2: a.b._name" for each name with an underscore that is imported from a module of ours."""
    return [
        f"line {line}: {name}"
        for line, name in imports(ast.parse(source))
        if name.split(".")[0] in (PACKAGE, "tests") and name.rpartition(".")[2].startswith("_")
    ]


def circle(sources):
    """Return the modules of a circle of imports, each imported by the one before it, or [].

    Args:
        sources: Source by dotted name of the module.
    """
    wanted = {}
    for module, source in sources.items():
        names = {name for _, name in imports(ast.parse(source))}
        # "from a.b import c" means the module a.b.c where there is one, else a name in a.b.
        wanted[module] = {name if name in sources else name.rpartition(".")[0] for name in names} & set(sources)
    try:
        TopologicalSorter(wanted).prepare()
    except CycleError as error:
        return error.args[1]
    return []


def modules():
    folder = PROGRAM / PACKAGE
    found = sorted(path.relative_to(folder) for path in folder.rglob("*.py") if "_anatomy_data" not in path.parts)
    assert len(found) > 150
    return found


def source_of(path):
    return (PROGRAM / PACKAGE / path).read_text("utf-8")


def test_imports_only_lower_layers():
    """A layer imports only itself, layers below it, and the libraries it owns."""
    found = [fault for path in modules() for fault in faults(path, source_of(path))]

    assert [] == found


def test_no_module_is_in_a_circle():
    """No module leads back to itself by what it imports, inside functions too."""
    sources = {".".join((PACKAGE, *path.with_suffix("").parts)): source_of(path) for path in modules()}

    assert [] == circle(sources)


def test_private_names_stay_at_home():
    """No module, of the program or its tests, imports a name that another keeps to itself."""
    tests = sorted((ROOT / "tests").rglob("*.py"))
    sources = {path.as_posix(): path.read_text("utf-8") for path in tests}
    sources |= {path.as_posix(): source_of(path) for path in modules()}

    assert len(modules()) < len(sources)
    assert {} == {name: found for name, source in sources.items() if (found := private(source))}


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("from wristward.figure.view import _scale", ["line 1: wristward.figure.view._scale"]),
        ("def f():\n  from tests.hands import every, _hand as hand", ["line 2: tests.hands._hand"]),
        ("from wristward.figure.view import scale as _scale\nimport _thread\nfrom os import _exit", []),
    ],
)
def test_a_private_name_is_found(source, expected):
    """What is imported counts, not what it is called where it is used; other libraries are their own affair."""
    assert expected == private(source)


def test_every_module_is_in_a_layer():
    """No file stands outside the layers, where no rule would reach it, and every layer has files."""
    layers = {layer_of(path) for path in modules()} - {"__init__"}

    assert set(LAYERS) == layers


def test_packages_define_nothing():
    """No ``__init__.py`` holds more than a docstring: what a name means is said where it stands."""
    inits = [path for path in modules() if path.name == "__init__.py"]

    assert set(LAYERS) >= {layer_of(path) for path in inits[1:]} >= {"data", "section", "site"}
    assert [] == [path for path in inits if ast.parse(source_of(path)).body[1:]]


def test_the_checkout_has_one_package():
    """Beside the package stands only what starts it, so that an installed program brings one name of its own."""
    assert {*ENTRY, "__init__.py", PACKAGE} == {
        path.name for path in PROGRAM.iterdir() if path.name != "__pycache__" and not path.name.startswith(".")
    }


@pytest.mark.parametrize(
    ("path", "source", "expected"),
    [
        ("section/x.py", "import wristward.figure.view", "section/x.py:1: section imports wristward.figure.view"),
        ("data/x.py", "def f():\n    from wristward import cli", "data/x.py:2: data imports wristward.cli"),
        ("block/x.py", "import shapely", "block/x.py:1: block imports shapely"),
        ("figure/x.py", "import numpy as np", "figure/x.py:1: figure imports numpy"),
        ("site/x.py", "from wristward.cli.site import b", "site/x.py:1: site imports wristward.cli.site.b"),
        (
            "pages/x.py",
            "from mkdocs.config import load_config",
            "pages/x.py:1: pages imports mkdocs.config.load_config",
        ),
        ("section/x.py", "import unheard_of", "section/x.py:1: section imports unheard_of"),
        ("cli/x.py", "from wristward.unheard import of", "cli/x.py:1: cli imports wristward.unheard.of"),
        ("cli/x.py", "from generator.bootstrap import ROOT", "cli/x.py:1: cli imports generator.bootstrap.ROOT"),
    ],
)
def test_a_wrong_import_is_found(path, source, expected):
    """Each way to break the order is reported with its file, line and both sides."""
    assert [expected] == faults(Path(path), source)


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("figure/x.py", "from wristward.measure.measures import gap_mm\nfrom wristward.errors import Problem"),
        ("cli/checks/x.py", "from wristward.site.build import build_site\nimport json"),
        ("section/x.py", "import numpy, shapely, contourpy"),
    ],
)
def test_a_right_import_is_not_reported(path, source):
    """Lower layers, own libraries and the standard library are free."""
    assert [] == faults(Path(path), source)


@pytest.mark.parametrize(
    "sources",
    [
        {"a.b": "import a.c", "a.c": "def f():\n    from a.b import g"},
        {"a.b": "from a import c", "a.c": "from a import d", "a.d": "from a.b import e"},
    ],
)
def test_a_circle_is_found(sources):
    """Modules that import one another in a ring are named, also where an import waits inside a function."""
    assert set(sources) == set(circle(sources))


def test_the_entry_needs_nothing_installed():
    """The entry imports the standard library and itself, and inside functions the command line it hands over to."""
    found = []
    for name in ENTRY:
        for _, module in imports(ast.parse((PROGRAM / name).read_text("utf-8"))):
            if module.split(".")[0] not in sys.stdlib_module_names:
                found.append((name, module.rpartition(".")[0]))

    assert [("__main__.py", "generator.bootstrap"), ("bootstrap.py", HANDED_TO)] == found
    assert "" == (PROGRAM / "__init__.py").read_text("utf-8").split('"""')[-1].strip()
