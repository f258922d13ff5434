"""The page "Block levels" as a folder on disk, and how a browser test reads it: real branches and words, made-up sections."""

from __future__ import annotations

import re

import bare_site
from synthetic import section

from tests.waiting import rest
from wristward.block.blocks import block_model
from wristward.bridge.assets import data_script
from wristward.bridge.hosts.blocks import block_asset_files, block_levels_html
from wristward.bridge.scripts import BLOCKS
from wristward.bridge.setting import setting_of
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.levels import block_views

START_MM = 55
NUMBER = re.compile(r"\d+(?:\.\d+)?")
FOLLOWED = ("sentence", "told", "card-take_off", "card-parting", "limits-take_off", "limits-parting", "setting")
READ = """() => {
  const panel = document.querySelector(".w-b-panel:not([hidden])");
  const text = (name) => panel.querySelector(`[data-part="${name}"]`)?.textContent ?? null;
  return {
    nerve: panel.dataset.nerve, shown: document.querySelectorAll(".w-b-panel:not([hidden])").length,
    caption: document.querySelector("[data-part=caption]").textContent, skin: document.querySelector(".w-skin").getAttribute("d"),
    lines: Object.fromEntries([...panel.querySelectorAll("[data-line]")].map((p) => [`${p.dataset.line}/${p.dataset.reading}`, p.getAttribute("d")])),
    bands: Object.fromEntries([...panel.querySelectorAll("[data-window]")].map((p) => [p.dataset.window, p.getAttribute("d")])),
    rows: [...panel.querySelectorAll("[data-event]")].map((row) => [row.dataset.event, ...[...row.querySelectorAll("td")].map((cell) => cell.textContent)]),
    texts: Object.fromEntries(FOLLOWED.map((name) => [name, text(name)])),
    assumed: document.querySelector("[data-part=assumed]").textContent,
  };
}""".replace("FOLLOWED", str(list(FOLLOWED)))


def write_block_site(folder, dataset):
    """Write the page in both schemes, and one of it whose tables are missing, and return the folder."""
    atlas = Atlas(dataset=dataset, sections={START_MM: section(START_MM)}, measures={})
    volumes = block_model(dataset).volumes_ml
    body = block_levels_html(
        block_views(atlas),
        atlas.sections[START_MM],
        dataset,
        volumes_ml=(volumes[0], volumes[-1]),
        assets_url="assets/",
        travel_url="elbow-to-wrist.html",
    )
    styles = "".join(f'<link rel="stylesheet" href="assets/{name}">' for name in [BLOCKS.style.name])
    scripts = "".join(f'<script src="assets/{name}"></script>' for name in [BLOCKS.script.name])
    pages = {}
    for name, scheme in (("light", "default"), ("dark", "slate")):
        page = bare_site.page(f'<div class="md-typeset">{body}</div>', scheme=scheme, title="Block levels")
        # The theme colours links; the bare page has none.
        page = page.replace("</head>", f"{styles}<style>a{{color:var(--w-accent)}}</style></head>")
        pages[f"{name}.html"] = page.replace("</body>", f"{scripts}</body>")
    pages["lost.html"] = pages["light.html"].replace("assets/", "lost/")
    bare_site.write_site(folder, pages)
    files = block_asset_files(dataset) | {"wristward-data.js": data_script(setting_of(dataset)).encode()}
    for name, content in files.items():
        (folder / "assets" / name).write_bytes(content)
    (folder / "lost").mkdir()
    for path in (folder / "assets").iterdir():
        if path.name != "wristward-blocks.js":
            (folder / "lost" / path.name).write_bytes(path.read_bytes())
    return folder


def settle(page):
    """Wait until the page shows what it was asked for last."""
    rest(page, ".w-blocks")


def go(page, at):
    """Ask for a state by the address, and wait until it stands."""
    page.evaluate("at => { location.hash = at; }", at)
    settle(page)
