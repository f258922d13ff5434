"""The Markdown extension: a fence named ``wristward`` in any page becomes a figure with its words, ``quiz`` a quiz.

    ```wristward
    figure: section
    z_mm: 97
    show: superficial_radial_nerve
    ```

It works with any Python-Markdown, without mkdocs. A mistake inside a fence stops the page: superfences swallows
every exception but its own, and a page with a hole in it would be built.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pymdownx.superfences import SuperFencesCodeExtension, SuperFencesException

from generator.data.yaml_reader import Mark, Node, read_yaml
from generator.errors import Problem, one_of, quoted, unknown
from generator.pages import figures, quiz_fence
from generator.pages.atlas import Atlas

NAME = "wristward"
KEYS = {"section": ("figure", "z_mm", "show"), "charts": ("figure", "structure")}
"""The figures a fence can ask for, each with its keys."""

FIGURE_MISSING = "a figure is missing (allowed: lines such as 'figure: section')"


class FenceError(SuperFencesException):
    """A fence asks for something that is not there; the text holds every problem with its place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """The page that is being rendered."""

    file: str
    """Name shown in problems."""

    text: str
    """The whole file, front matter included, so that line numbers are the editor's."""

    here: str
    """Its ``src_uri``, from which links go."""


class Fences:
    """Renders the fences of one page after another."""

    def __init__(
        self,
        atlas: Callable[[], Atlas],
        *,
        keep: Callable[[str, Callable[[], str]], str] | None = None,
        error: type[Exception] = FenceError,
    ) -> None:
        """Prepare to render.

        Args:
            atlas: Returns the atlas; called when a fence needs it for the first time.
            keep: Returns the HTML kept under a key, or makes and keeps it; by default it is made each time.
            error: What to raise; it must be a ``SuperFencesException``, or superfences swallows it.
        """
        self._atlas = atlas
        self._keep = keep or (lambda key, make: make())
        self._error = error
        self.begin(Source(file="page", text="", here="index.md"))

    def begin(self, source: Source) -> None:
        """Say which page comes next."""
        self._source = source
        self._searched = 0
        self._count = 0

    def extension(self) -> SuperFencesCodeExtension:
        """Return superfences with our fences in it, to be given to Markdown in place of "pymdownx.superfences"."""
        fences = [
            {"name": name, "class": name, "format": self._format, "validator": self._validate}
            for name in (NAME, quiz_fence.NAME)
        ]
        return SuperFencesCodeExtension(custom_fences=fences)

    def _validate(self, language, inputs, options, attributes, md) -> bool:
        if inputs:
            first = sorted(inputs)[0]
            text = f"unknown option '{first}' behind the fence's name (allowed: none; write it as a line inside)"
            raise self._error(str(Problem(self._source.file, self._line_of(f"```{language}"), 1, text)))
        return True

    def _format(self, source, language, class_name, options, md, **kwargs) -> str:
        first_line = self._line_of(source)
        self._count += 1
        node, problems = read_yaml(source.encode(), file=self._source.file)
        quiz = language == quiz_fence.NAME
        if not problems and not isinstance(getattr(node, "value", None), dict):
            said = "topics are missing (allowed: lines such as 'topics: ulnar_nerve')" if quiz else FIGURE_MISSING
            problems = [Problem(self._source.file, 1, 1, said)]
        asked = {} if problems else node.plain()

        def draw() -> str:
            found = problems or (quiz_fence.check(node, self._atlas()) if quiz else self._check(node))
            if found:
                moved = [Problem(p.file, p.line + first_line - 1, p.col, p.text) for p in sorted(found)]
                raise self._error("\n".join(str(problem) for problem in moved))
            return quiz_fence.draw(asked, self._atlas(), here=self._source.here) if quiz else self._draw(asked)

        # What was kept was checked before it was drawn, against the same data: no need to read and solve it again.
        key = f"{language} fence {self._source.here} {self._count} {sorted(asked.items(), key=str)}"
        return draw() if problems else self._keep(key, draw)

    def _draw(self, asked: dict) -> str:
        atlas, here = self._atlas(), self._source.here
        if asked["figure"] == "section":
            return figures.section_figure(atlas, z_mm=asked["z_mm"], shown=asked.get("show"), here=here)
        return figures.structure_charts(atlas, asked["structure"], here=here)

    def _check(self, node: Node) -> list[Problem]:
        figure = node.value.get("figure")
        if figure is None:
            return [node.mark.problem(f"'figure' is missing (allowed: {one_of(KEYS)})")]
        if figure.value not in KEYS:
            return [figure.mark.problem(f"figure is {quoted(figure.plain())} (allowed: {one_of(KEYS)})")]
        keys = KEYS[figure.value]
        problems = [mark.problem(unknown("key", key, keys)) for key, mark in node.keys.items() if key not in keys]
        if figure.value == "section":
            problems += self._check_height(node)
        problems += self._check_structure(node, "show" if figure.value == "section" else "structure")
        return problems

    def _check_height(self, node: Node) -> list[Problem]:
        given, top_mm = node.value.get("z_mm"), max(self._atlas().sections)
        if given is None:
            return [node.mark.problem("'z_mm' is missing")]
        if not isinstance(given.value, int) or isinstance(given.value, bool) or not 0 <= given.value <= top_mm:
            return [given.mark.problem(f"z_mm is {quoted(given.plain())} (allowed: a whole number from 0 to {top_mm})")]
        return []

    def _check_structure(self, node: Node, key: str) -> list[Problem]:
        given = node.value.get(key)
        if given is None:
            return [node.mark.problem(f"'{key}' is missing")] if key == "structure" else []
        if given.value not in self._atlas().structures:
            return [given.mark.problem(unknown("structure", str(given.plain()), self._atlas().structures))]
        return self._check_cut(node, given.value, given.mark) if key == "show" else []

    def _check_cut(self, node: Node, structure_id: str, mark: Mark) -> list[Problem]:
        z_mm = node.value.get("z_mm")
        section = self._atlas().sections.get(z_mm.value) if z_mm is not None else None
        if section is None or section.z_mm in self._atlas().cut_at(structure_id):
            return []
        return [mark.problem(f"'{structure_id}' is not cut at z {section.z_mm:g} mm")]

    def _line_of(self, text: str) -> int:
        """Return the line on which a fence's body (or head) begins, searching on from the last one found."""
        at = self._source.text.find(text.rstrip("\n"), self._searched)
        if at < 0:
            return 1
        self._searched = at + len(text)
        return self._source.text.count("\n", 0, at) + 1
