"""The pages made from one state of the data, kept by content: in memory for a preview, on disk for the next build.

Pages depend on the data, the program and the libraries; their hash is the key under which the finished pages are kept,
so that a build that changes none of them neither solves nor writes them again.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import asdict, fields
from functools import cached_property
from importlib.metadata import version as installed_version
from pathlib import Path
from typing import Any

from wristward.data.words.languages import ENGLISH
from wristward.pages.atlas import Atlas, GeneratedPage
from wristward.pages.generate import GeneratedSite, generate_site
from wristward.project.reading import read_kept
from wristward.project.solved import Report, Solved
from wristward.project.store import FolderStore
from wristward.project.version import SHOWN

LIBRARIES = ("numpy", "scipy", "shapely", "contourpy", "plotly")

_last: MadePages | None = None
"""Those of the last call: in a preview, a change of prose alone needs none of it again."""


class MadePages:
    """One state of the data and the pages made from it; each thing is made when first asked for."""

    def __init__(
        self,
        folder: Path,
        *,
        overlays: Sequence[Path] = (),
        cache: Path,
        version: str,
        language: str = ENGLISH,
        workers: int | None = None,
        progress: Report | None = None,
        arms: bool = False,
    ) -> None:
        """Prepare; nothing is read yet.

        Args:
            folder: Data folder.
            overlays: Folders laid over it, in order.
            cache: Folder of solved sections and finished pages; made when needed, may be removed at any time.
            version: Hash of program and data (``project.version``).
            language: What the pages are written in.
            workers: Processes that solve sections; by default one for each processor.
            progress: Called with (done, total) while sections are solved.
            arms: Whether to solve the arms that are drawn otherwise; together they take longer than the drawn one.
        """
        self._folder, self._overlays, self._cache = folder, tuple(overlays), cache
        self._workers, self._progress, self._language = workers, progress, language
        self._kept = FolderStore(cache / "pages")
        libraries = " ".join(f"{name}={installed_version(name)}" for name in LIBRARIES)
        self._arms = arms
        self.key = f"{version} {language} {libraries}{' and other arms' if arms else ''}"
        self._version = version

    @cached_property
    def atlas(self) -> Atlas:
        """The data read and every section solved.

        Raises:
            DataError: If the data is wrong, with every problem found.
        """
        dataset = read_kept(
            self._folder,
            self._overlays,
            cache=self._cache,
            language=self._language,
            arms=None if self._arms else (),
        )
        solved = Solved(dataset, cache=self._cache, workers=self._workers, progress=lambda arms: self._progress)
        sections = solved.sections
        arms = solved.other_arms(list(dataset.arms) if self._arms else [])
        return Atlas(dataset=dataset, sections=sections, measures=solved.measures, arms=arms)

    @cached_property
    def site(self) -> GeneratedSite:
        """Every generated page and file.

        Raises:
            DataError: As ``atlas``.
        """
        site = _read_kept(self._kept.get(f"site {self.key}"))
        if site is None:
            site = generate_site(self.atlas, version=self._version[:SHOWN])
            self._kept.put(f"site {self.key}", _bytes(site))
            self._kept.prune()
        return site

    def keep(self, key: str, make: Callable[[], str]) -> str:
        """Return the text kept under a key for this state of the data, or make and keep it."""
        kept = self._kept.get(f"{key} {self.key}")
        if kept is not None:
            return kept.decode()
        text = make()
        self._kept.put(f"{key} {self.key}", text.encode())
        return text


def pages_of(folder: Path, **options: Any) -> MadePages:
    """Return the pages of a data folder, the last ones again when neither data nor program has changed."""
    global _last
    made = MadePages(folder, **options)
    if _last is None or _last.key != made.key:
        _last = made
    return _last


HEAD_BYTES = 8
"""In front: how long the JSON is that everything but the assets stands in. Those follow as they are."""


def _bytes(site: GeneratedSite) -> bytes:
    plain: dict[str, Any] = {one.name: getattr(site, one.name) for one in fields(site)}
    plain["pages"] = [asdict(page) for page in site.pages]
    plain["assets"] = {path: len(content) for path, content in site.assets.items()}
    head = json.dumps(plain, ensure_ascii=False).encode()
    return b"".join([len(head).to_bytes(HEAD_BYTES, "big"), head, *site.assets.values()])


def _read_kept(content: bytes | None) -> GeneratedSite | None:
    if content is None:
        return None
    try:
        at = HEAD_BYTES + int.from_bytes(content[:HEAD_BYTES], "big")
        plain = json.loads(content[HEAD_BYTES:at])
        for path, length in plain["assets"].items():
            plain["assets"][path] = content[at : at + length]
            at += length
        plain["pages"] = tuple(GeneratedPage(**page) for page in plain["pages"])
        return GeneratedSite(**plain)
    except (ValueError, TypeError, KeyError, AttributeError):
        return None
