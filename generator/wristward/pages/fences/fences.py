"""The Markdown extension: a fence named ``wristward`` in any page becomes a figure with its words, ``quiz`` a quiz.

    ```wristward
    figure: section
    z_mm: 97
    show: a_structure
    ```

It works with any Python-Markdown, without mkdocs. A mistake inside a fence stops the page: superfences swallows
every exception but its own, and a page with a hole in it would be built.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from markdown import Markdown
from pymdownx.superfences import SuperFencesCodeExtension, SuperFencesException

from wristward.data.reading.faults import read_record
from wristward.data.reading.tree import Mark, Node, read_yaml
from wristward.errors import Problem, nearest, one_of, quoted
from wristward.pages.atlas import Atlas
from wristward.pages.fences import quiz as quiz_fence
from wristward.pages.fences.figure_kind import Asked, FigureKind, faults
from wristward.pages.fences.figure_kinds import FIGURE_KINDS, TRAVEL, figure_kinds
from wristward.pages.fences.places import FencePlaces, Place

NAME = "wristward"
EMPTY = {
    NAME: "a figure is missing (allowed: lines such as 'figure: section')",
    quiz_fence.NAME: "topics are missing (allowed: lines such as 'topics: heights')",
}
FIRST_LINE = re.compile(r"(first at line )(\d+)")


class FenceError(SuperFencesException):  # type: ignore[misc]  # the library brings no types
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
        self._places = FencePlaces(source.text, EMPTY)
        self._count = 0
        self._once: set[str] = set()

    def end(self) -> None:
        """Say that the page is whole: a fence that was not come to, because it is not closed, is a mistake."""
        if self._count < self._places.count:
            place = self._places.of_opening()
            text = "this figure is not closed (allowed: a last line of as many signs), or its first line says more than its name"
            raise self._error(str(Problem(self._source.file, place.line, place.col, text)))

    def extension(self) -> SuperFencesCodeExtension:
        """Return superfences with our fences in it, to be given to Markdown in place of "pymdownx.superfences"."""
        fences = [{"name": name, "class": name, "format": self._format, "validator": self._validate} for name in EMPTY]
        return SuperFencesCodeExtension(custom_fences=fences)

    def _validate(
        self,
        language: str,
        inputs: Mapping[str, str],
        options: Mapping[str, object],
        attributes: Mapping[str, object],
        md: Markdown,
    ) -> bool:
        if inputs:
            first = sorted(inputs)[0]
            text = f"unknown option '{first}' behind the fence's name (allowed: none; write it as a line inside)"
            place = self._places.of_opening()
            raise self._error(str(Problem(self._source.file, place.line, place.col, text)))
        return True

    def _format(
        self,
        source: str,
        language: str,
        class_name: str,
        options: Mapping[str, object],
        md: Markdown,
        **kwargs: object,
    ) -> str:
        place = self._places.of_body(source)
        try:
            return self._html(source, place, language)
        except SuperFencesException:
            raise
        except Exception as error:
            # Superfences would swallow it, and the page would be built without its figure.
            text = f"this figure cannot be drawn: {type(error).__name__}: {error}"
            raise self._error(str(Problem(self._source.file, place.line, place.col, text))) from error

    def _html(self, source: str, place: Place, language: str) -> str:
        self._count += 1
        root, problems = read_yaml(source.encode(), file=self._source.file)
        node = root if root is not None else Node({}, Mark(self._source.file, 1, 1))
        if source.strip() == "" or (not problems and not isinstance(node.value, dict)):
            problems = [Problem(self._source.file, 1, 1, EMPTY[language])]
        quiz = language == quiz_fence.NAME
        if not problems and not quiz:
            problems = self._twice(node)

        def draw() -> str:
            found, asked = (problems, None) if problems else self._check(node, quiz=quiz)
            if found:
                moved = [_moved(problem, place) for problem in sorted(set(found))]
                raise self._error("\n".join(str(problem) for problem in moved))
            if asked is None:
                return quiz_fence.draw(node, self._atlas(), here=self._source.here)
            return self._kinds()[asked.record.figure].draw(asked, self._atlas())

        if problems:
            return draw()
        # What was kept was checked before it was drawn, against the same data: no need to read and solve it again.
        said = sorted(_plain(node).items(), key=str)
        return self._keep(f"{language} fence {self._source.here} {self._count} {said}", draw)

    def _check(self, node: Node, *, quiz: bool) -> tuple[list[Problem], Asked | None]:
        if quiz:
            return quiz_fence.check(node, self._atlas()), None
        figure, kinds = node.entries.get("figure"), self._kinds()
        if figure is None:
            return [node.mark.problem(f"'figure' is missing (allowed: {one_of(kinds)})")], None
        if not isinstance(figure.value, str) or figure.value not in kinds:
            near = nearest(str(figure.plain()), kinds)
            guess = f"; did you mean '{near}'?" if near is not None else ""
            text = f"figure is {quoted(figure.plain())}{guess} (allowed: {one_of(kinds)})"
            return [figure.mark.problem(text)], None
        kind = kinds[figure.value]
        record, problems = read_record(kind.record, node)
        if record is None:
            return problems, None
        asked = Asked(record=record, number=self._count, here=self._source.here)
        found = faults(kind, asked, self._atlas())
        return [node.at(path).mark.problem(text) for path, text in found], asked

    def _kinds(self) -> dict[str, FigureKind]:
        return figure_kinds(self._atlas().dataset.region)

    def _twice(self, node: Node) -> list[Problem]:
        """A figure whose parts have fixed ids stands on a page once."""
        asked = _plain(node)
        # Not to read the data for it: what has no name of its own here is the region's, or will be refused.
        keys = FIGURE_KINDS.get(str(asked.get("figure")), FIGURE_KINDS[TRAVEL]).once
        which = str([asked.get("figure"), *(asked.get(key) for key in keys or ())])
        if keys is None or which not in self._once:
            self._once.add(which)
            return []
        return [node.entries["figure"].mark.problem(f"this page has the figure '{asked['figure']}' already")]


def _plain(node: Node) -> dict[str, object]:
    return {key: entry.plain() for key, entry in node.entries.items()}


def _moved(problem: Problem, place: Place) -> Problem:
    """Return a problem of a fence's text as one of the page."""
    text = FIRST_LINE.sub(lambda found: f"{found[1]}{int(found[2]) + place.line - 1}", problem.text)
    return Problem(problem.file, problem.line + place.line - 1, problem.col + place.indent, text)
