"""The zoomed chart of "Block levels": patched while a slider moves, redrawn when it rests."""

from __future__ import annotations

import pytest
from block_page import NUMBER, settle

pytestmark = pytest.mark.browser

DESKTOP = {"width": 1280, "height": 900}


def test_the_zoomed_chart_is_patched_and_then_settled(blocks):
    """On a processor slowed down four times a moved slider patches plotly's paths, at p95 four times faster than the
    redraw that follows when it rests, and to the same picture."""
    visited = blocks(viewport=DESKTOP)
    page = visited.page
    # Waiting for a frame says more of a busy machine than of the work; what is timed is the work itself.
    page.evaluate(
        """() => {
          const open = wristward.blockChart.zoom;
          wristward.patches = [];
          wristward.blockChart.zoom = async (...given) => {
            const made = await open(...given), { patch } = made;
            made.patch = (seen) => {
              const begun = performance.now();
              patch(seen);
              wristward.patches.push(performance.now() - begun);
            };
            return made;
          };
        }"""
    )
    page.click(".w-b-panel:not([hidden]) [data-part=zoom-button]")
    page.wait_for_selector(".w-b-panel:not([hidden]) .scatterlayer .js-line")
    settle(page)
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 4})
    timed = page.evaluate(
        """async () => {
          const host = document.querySelector("[data-wristward]");
          const slider = host.querySelector("[data-part=ml]");
          const box = host.querySelector(".w-b-panel:not([hidden]) [data-part=zoom]");
          const line = () => {
            const drawn = [...box.querySelectorAll(".trace")].find((one) => one.classList[2] === "traceboth-take_off");
            return drawn.querySelector(".js-line").getAttribute("d");
          };
          const frame = () => new Promise((done) => requestAnimationFrame(done));
          const seen = [];
          wristward.patches.length = 0;
          for (let k = 0; k < 30; k++) {
            slider.value = 2 + (k % 15) / 2;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
            await frame();
            seen.push(line());
          }
          const patched = line(), patches = [...wristward.patches];
          const redraws = [], react = Plotly.react;
          Plotly.react = (...given) => {
            const begun = performance.now();
            const done = react(...given);
            redraws.push(performance.now() - begun);
            return done;
          };
          for (let k = 0; k < 4; k++) {
            slider.value = k === 3 ? 9 : 3 + k;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
            while (redraws.length <= k || document.querySelector(".w-moving") !== null) await frame();
          }
          slider.value = 9;
          return { patches, redraws, different: new Set(seen).size, patched, settled: line() };
        }"""
    )
    numbers = [list(map(float, NUMBER.findall(timed[name]))) for name in ("patched", "settled")]
    patches = sorted(timed["patches"])
    p95, redraw = patches[int(0.95 * len(patches))], sorted(timed["redraws"])[len(timed["redraws"]) // 2]
    print(f"patched p95 {p95:.1f} ms, redraw {redraw:.1f} ms")

    assert 15 == timed["different"]
    assert 4 == len(timed["redraws"])
    assert len(numbers[0]) > 200
    # The slider ended where the last patch left it, at 9 mL, so a redraw has to draw the same line.
    assert max(abs(a - b) for a, b in zip(*_ends(numbers), strict=True)) < 1.5
    assert 30 <= len(patches)
    assert p95 < redraw / 4
    assert [] == visited.errors


def _ends(numbers):
    """Return the first and last points of two paths; plotly leaves out points between that lie on a line."""
    return [path[:2] + path[-2:] for path in numbers]
