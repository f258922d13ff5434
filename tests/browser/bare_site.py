"""A bare page around a host, as a folder on disk: what the browser tests open."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import yaml
from synthetic import legend, sections

from wristward.bridge.assets import asset_files
from wristward.bridge.hosts.figures import chart_html, section_figure_html, travel_html
from wristward.bridge.pack.arms import arm_name, arm_script
from wristward.bridge.scripts import DATA_NAME, RUNTIME
from wristward.bridge.setting import Setting
from wristward.figure.legend import Entry, Legend
from wristward.measure.measures import measure_section

ROOT = Path(__file__).resolve().parents[2]
LEVELS = (260, 227, 195, 162, 130, 97, 65, 32, 0)


def flat(tree: dict, before: str = "") -> dict[str, str]:
    """Return nested words as dotted keys."""
    out = {}
    for key, value in tree.items():
        out |= flat(value, f"{before}{key}.") if isinstance(value, dict) else {before + key: value}
    return out


@cache
def words() -> dict[str, str]:
    """Return the catalogue's words of figures."""
    files = [ROOT / "anatomy_data/reader/en" / name for name in ("figure.yaml", "height.yaml", "arms.yaml")]
    return {key: text for path in files for key, text in flat(yaml.safe_load(path.read_text(encoding="utf-8"))).items()}


@cache
def setting() -> Setting:
    """Return the made-up arm's setting."""
    entries = legend()
    return Setting(
        legend=entries,
        words=words(),
        arms={"small": (0.95, 0.92), "mean": (1.0, 1.0), "large": (1.05, 1.08)},
        levels=tuple((float(z), {260: "elbow crease", 0: "wrist crease"}.get(z, f"level {z}")) for z in LEVELS),
        top_mm=260,
        strip=("radius", "ulna"),
        partners={key: entry.partner for key, entry in entries.items() if entry.partner},
        others={OTHER: (1.0, 1.0)},
    )


OTHER, TWIN, GONE, SHIFT_MM = "bifid_median_nerve", "median_nerve_ulnar_part", "flexor_carpi_radialis", 3.0
"""An arm drawn otherwise, what it alone has, what it lacks, and how far the first lies from the nerve that it copies."""

SAID = {
    "differs": "The nerve has a twin.",
    "common": [{"text": "Twins: 8.6 %", "source": "A made-up study", "key": "study_2020"}],
    "lifted": [{"says": "The nerve is alone.", "because": "It has a twin."}],
}


@cache
def other_sections() -> dict:
    """Return the other arm's own sections: from 80 to 40 mm the median nerve has a twin, and one muscle is gone."""
    found = {}
    for z_mm in range(80, 39, -1):
        cut = sections()[z_mm]
        nerve = cut.find("median_nerve")
        twin = replace(
            nerve,
            id=TWIN,
            ring_mm=tuple((x + SHIFT_MM, y) for x, y in nerve.ring_mm),
            centre_mm=(nerve.centre_mm[0] + SHIFT_MM, nerve.centre_mm[1]),
        )
        kept = tuple(one for one in cut.structures if one.id != GONE)
        found[z_mm] = replace(cut, structures=(*kept, twin))
    return found


@cache
def other_script() -> bytes:
    """Return the other arm's script."""
    twin = Entry(id=TWIN, name="median nerve, ulnar part", short="MNu", kind="nerve")
    entries = Legend(legend() | {TWIN: twin}, legend().directions)
    every = {**sections(), **other_sections()}
    measures = {z: measure_section(section, partners=setting().partners) for z, section in every.items()}
    return arm_script(
        OTHER, every, measures, replace(setting(), legend=entries), setting(), own=list(other_sections()), said=SAID
    ).encode()


@cache
def assets() -> dict[str, bytes]:
    """Return the runtime's files for the made-up arm, and the other arm's script."""
    return asset_files(sections(), setting()) | {arm_name(OTHER): other_script()}


def page(body: str, *, scheme: str = "default", title: str = "Elbow to wrist") -> str:
    """Return a page that loads the runtime like the site does."""
    styles = "".join(f'<link rel="stylesheet" href="assets/{name}">' for name in [RUNTIME.style.name])
    scripts = "".join(f'<script src="assets/{name}"></script>' for name in [DATA_NAME, RUNTIME.script.name])
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
        f'<meta name="viewport" content="width=device-width,initial-scale=1"><link rel="icon" href="data:,">{styles}'
        "<style>html{font-size:125%}body{margin:0 auto;max-width:61rem;padding:0 .8rem;background:var(--w-ground);"
        "color:var(--w-ink);font-family:system-ui,sans-serif}h1{font-size:1.4rem;margin:.5rem 0}</style></head>"
        f'<body data-md-color-scheme="{scheme}"><main><h1>{title}</h1>{body}</main>{scripts}</body></html>'
    )


def write_site(folder: Path, pages: dict[str, str]) -> Path:
    """Write pages and the runtime into a folder and return it."""
    for name, text in pages.items():
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "assets").mkdir(exist_ok=True)
    for name, data in assets().items():
        (folder / "assets" / name).write_bytes(data)
    return folder


def travel_page(*, scheme: str = "default", z_mm: int = 130, shown: str | None = None) -> str:
    """Return the page "Elbow to wrist" of the made-up arm."""
    body = travel_html(
        sections(),
        setting(),
        assets_url="assets/",
        z_mm=z_mm,
        shown=shown,
        pages={"median_nerve": "median.html"},
        others=[OTHER],
        sources_url="sources.html",
    )
    return page(body, scheme=scheme)


def linked_page() -> str:
    """Return a page with a section and a chart that follow each other, and a plain numbered section."""
    from wristward.figure.charts import Chart, Line

    cuts = sections()
    depths = {z: one.depth_mm for z, s in cuts.items() for one in measure_section(s) if one.id == "median_nerve"}
    chart = Chart(
        title="Depth of the median nerve",
        axis="depth, mm",
        top_mm=260,
        downward=True,
        lines=[Line(name="median nerve", values=depths)],
    )
    body = (
        section_figure_html(
            cuts[130], setting(), figure_id="s", assets_url="assets/", shown="median_nerve", link="median"
        )
        + chart_html(chart, setting(), chart_id="c", assets_url="assets/", link="median", z_mm=130)
        + section_figure_html(
            cuts[130],
            setting(),
            figure_id="n",
            assets_url="assets/",
            mode="numbered",
            numbers={"median_nerve": 1, "ulnar_nerve": 2, "flexor_carpi_radialis": 3},
        )
    )
    return page(body, title="Median nerve")
