"""Read the data, solve it, write the pages: what a build needs, kept in memory and on disk by content.

A site's pages depend on the data, the program and the libraries; their hash is the key under which the finished
pages are kept, so that a build that changes none of them neither solves nor writes them again.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Callable, Sequence
from dataclasses import asdict
from functools import cached_property
from importlib.metadata import version as installed_version
from pathlib import Path

from generator import client
from generator.anatomy.forearm import Forearm
from generator.data.languages import ENGLISH
from generator.data.read import read_dataset
from generator.pages.arms import OtherArm, solve_arm
from generator.pages.atlas import Atlas, GeneratedPage
from generator.pages.generate import GeneratedSite, generate_site
from generator.pages.measured import measure_all
from generator.pages.store import FolderStore
from generator.pages.version import SHOWN
from generator.section.sweep import solve_all

LIBRARIES = ("numpy", "scipy", "shapely", "contourpy", "plotly")
WORKERS = 2

Report = Callable[[int, int], None]

_last: Model | None = None
"""The model of the last call: in a preview, a change of prose alone needs none of it again."""


class Model:
    """One state of the data and everything made from it; each thing is made when first asked for."""

    def __init__(
        self,
        folder: Path,
        *,
        overlays: Sequence[Path] = (),
        cache: Path,
        version: str,
        language: str = ENGLISH,
        workers: int = WORKERS,
        progress: Report | None = None,
        arms: bool = False,
    ) -> None:
        """Prepare; nothing is read yet.

        Args:
            folder: Data folder.
            overlays: Folders laid over it, in order.
            cache: Folder of solved sections and finished pages; made when needed, may be removed at any time.
            version: Hash of program and data (``pages.version``).
            language: What the pages are written in.
            workers: Processes that solve sections.
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
        dataset = read_dataset(self._folder, self._overlays, language=self._language)
        store = FolderStore(self._cache / "sections")
        forearm = Forearm.from_dataset(dataset)
        sections = solve_all(forearm, store=store, workers=self._workers, progress=self._progress)
        arms = {name: self._arm(dataset, name, store) for name in (dataset.arms if self._arms else ())}
        store.prune()
        measures = self._measures(dataset, sections)
        FolderStore(self._cache / "measures").prune()
        return Atlas(dataset=dataset, sections=sections, measures=measures, arms=arms)

    def _arm(self, dataset, name: str, store: FolderStore) -> OtherArm:
        own = solve_arm(dataset, name, store=store, workers=self._workers, progress=self._progress)
        return OtherArm(own=own, measures=self._measures(dataset.arms[name], own))

    def _measures(self, dataset, sections):
        store = FolderStore(self._cache / "measures")
        return measure_all(sections, partners=client.setting_of(dataset).partners, store=store)

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


def model_of(folder: Path, **options) -> Model:
    """Return the model of a data folder, the last one again when neither data nor program has changed."""
    global _last
    model = Model(folder, **options)
    if _last is None or _last.key != model.key:
        _last = model
    return _last


def _bytes(site: GeneratedSite) -> bytes:
    plain = asdict(site)
    plain["assets"] = {path: base64.b64encode(content).decode() for path, content in site.assets.items()}
    return json.dumps(plain, ensure_ascii=False).encode()


def _read_kept(content: bytes | None) -> GeneratedSite | None:
    if content is None:
        return None
    try:
        plain = json.loads(content)
        plain["assets"] = {path: base64.b64decode(text) for path, text in plain["assets"].items()}
        plain["pages"] = tuple(GeneratedPage(**page) for page in plain["pages"])
        return GeneratedSite(**plain)
    except (ValueError, TypeError, KeyError):
        return None
