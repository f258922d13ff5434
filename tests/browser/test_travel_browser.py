"""The page "Elbow to wrist" in a real Chromium, opened from a folder with a space in its path."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest

from tests.waiting import frames, rest

pytestmark = pytest.mark.browser

PHONE = {"width": 390, "height": 844}
DESKTOP = {"width": 1280, "height": 900}
CASES = [("light", PHONE), ("dark", DESKTOP)]
"""The shipped site is slid through at both widths in both schemes; so are names under the pointer."""


def height(page) -> int:
    """Return the height in mm that the page says it shows, from its slider's words."""
    words = page.get_attribute("[data-part=slider]", "aria-valuetext")
    return 0 if "at the" in words else round(float(words.split(" ")[0]) * 10)


@pytest.mark.parametrize(("scheme", "viewport"), CASES)
def test_slides_by_keyboard(travel, scheme, viewport):
    """Arrows, PageUp, PageDown, Home and End of the slider move the cut, and the picture follows."""
    page = travel(scheme=scheme, viewport=viewport).page
    page.focus("[data-part=slider]")
    before = page.get_attribute(".w-skin", "d")
    seen = []
    for key in ("ArrowRight", "ArrowRight", "ArrowLeft", "PageUp", "PageDown", "End", "Home"):
        page.keyboard.press(key)
        frames(page)
        seen.append(height(page))
    rest(page)
    after = page.get_attribute(".w-skin", "d")

    assert [129, 128, 129, 103, 129, 0, 260] == seen
    assert before != after


@pytest.mark.parametrize(("scheme", "viewport"), CASES)
def test_slides_by_mouse(travel, scheme, viewport):
    """Dragging the slider's thumb moves the cut."""
    page = travel(scheme=scheme, viewport=viewport).page
    box = page.locator("[data-part=slider]").bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.9, box["y"] + box["height"] / 2, steps=6)
    page.mouse.up()
    rest(page)

    assert 15 <= height(page) <= 30
    assert f"z={height(page)}" in page.url


@pytest.mark.parametrize(("scheme", "viewport"), CASES)
def test_slides_by_touch(travel, scheme, viewport):
    """A finger drags the slider's thumb; a finger on a level button goes to the next level."""
    visited = travel(scheme=scheme, viewport=viewport, touch=True)
    page = visited.page
    box = page.locator("[data-part=slider]").bounding_box()
    y = box["y"] + box["height"] / 2
    client = page.context.new_cdp_session(page)
    client.send(
        "Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": box["x"] + box["width"] / 2, "y": y}]}
    )
    for share in (0.45, 0.4, 0.3, 0.25):
        client.send(
            "Input.dispatchTouchEvent",
            {"type": "touchMove", "touchPoints": [{"x": box["x"] + box["width"] * share, "y": y}]},
        )
    client.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    rest(page)
    dragged, said = height(page), page.get_attribute("[data-part=slider]", "aria-valuetext")
    page.tap("[data-part=distal-level]")
    page.wait_for_selector(f"[data-part=slider]:not([aria-valuetext='{said}'])")
    rest(page)

    assert 190 <= dragged <= 205
    assert max(z for z in (260, 227, 195, 162, 130) if z < dragged) == height(page)


def test_no_errors_and_no_outside_requests(travel):
    """Sliding, naming, zooming and switching cause no console error and ask no other host for anything."""
    visited = travel(viewport=DESKTOP)
    page = visited.page
    page.click("[data-part=proximal-level]")
    page.hover(".w-box svg", position={"x": 420, "y": 280})
    page.click("label:has-text('left')")
    page.select_option(".w-arm select", "large")
    page.click("[data-part=zoom-button]")
    page.wait_for_selector(".w-zoomed")
    page.click("[data-part=zoom-button]")
    page.wait_for_selector(".w-app:not(.w-zoomed)")

    assert [] == visited.errors
    assert {"file"} == {urlsplit(url).scheme for url in visited.requests if not url.startswith(("data:", "blob:"))}


def test_tap_names_a_small_nerve_beside_the_finger(travel):
    """A tap a few pixels beside a nerve names the nerve, not the fat around it."""
    page = travel(viewport=PHONE, touch=True, at="#z=195").page
    box = page.locator("path[data-id=lateral_antebrachial_cutaneous_nerve]").bounding_box()
    page.touchscreen.tap(box["x"] - 5, box["y"] + box["height"] / 2)
    page.wait_for_selector("[data-part=line] strong")

    assert "lateral antebrachial cutaneous nerve" == page.text_content("[data-part=line] strong")


def test_list_is_walked_by_keyboard_and_lights_the_structure(travel):
    """One tab stop; arrows, End and letters move in it; what has the focus is lit in the drawing; Enter keeps it."""
    page = travel(viewport=DESKTOP).page
    assert 1 == page.locator("[role=option][tabindex='0']").count()
    page.focus("[role=option][tabindex='0']")
    page.keyboard.press("ArrowDown")
    first = page.evaluate("document.activeElement.dataset.id")
    lit = page.get_attribute(".w-lit", "d")
    shape = page.get_attribute(f"path[data-id={first}]", "d")
    page.keyboard.press("u")
    page.keyboard.press("Enter")
    rest(page)

    assert shape == lit
    assert "ulnar_nerve" == page.get_attribute("[role=option][aria-selected=true]", "data-id")
    assert page.evaluate("document.activeElement.dataset.id") == "ulnar_nerve"
    assert ["ulnar_nerve"] == parse_qs(urlsplit(page.url).fragment)["show"]


def test_address_is_read_and_written(travel):
    """An address with z, side, arm and structure opens just that, and the page writes the same address."""
    page = travel(viewport=DESKTOP, at="#z=201&side=left&arm=large&show=radial_artery").page
    rest(page)

    assert 201 == height(page)
    assert {"z": ["201"], "side": ["left"], "arm": ["large"], "show": ["radial_artery"]} == parse_qs(
        urlsplit(page.url).fragment
    )
    assert page.is_checked("input[value=left]") and "large" == page.input_value(".w-arm select")


def test_left_arm_is_the_mirror_image(travel):
    """Switching to the left arm mirrors every outline and swaps radial and ulnar."""
    page = travel(viewport=DESKTOP).page
    middle = "() => { const b = document.querySelector('path[data-id=ulna]').getBBox(); return b.x + b.width / 2 }"
    right = page.evaluate(middle)
    page.click("label:has-text('left')")
    rest(page)
    left = page.evaluate(middle)
    ways = page.evaluate(
        "[...document.querySelectorAll('.w-compass')].sort((a,b)=>a.x.baseVal[0].value-b.x.baseVal[0].value).map(t=>t.dataset.way)"
    )

    assert abs(right + left - 10400) < 20
    assert ("ulnar", "radial") == (ways[0], ways[-1])


def test_no_two_names_overlap_and_none_leaves_the_box(travel):
    """Measured in the browser's own font, at every level: names keep apart, inside the box and off nerves and vessels."""
    page = travel(viewport=DESKTOP).page
    faults = []
    for z_mm in (260, 227, 195, 162, 130, 97, 65, 32, 0):
        page.evaluate(f"location.hash = 'z={z_mm}'")
        rest(page)
        assert z_mm == height(page)
        faults += page.evaluate(
            """() => {
              const frame = document.querySelector(".w-box").getBoundingClientRect();
              const shown = (e) => e.style.display !== "none";
              const boxes = [...document.querySelectorAll(".w-label")].filter(shown).map((e) => [e.textContent, e.getBoundingClientRect()]);
              const discs = [...document.querySelectorAll(".w-discs path")].filter(shown).map((e) => [e.dataset.id, e.getBoundingClientRect()]);
              const meet = (a, b, slack) => a.left < b.right - slack && b.left < a.right - slack && a.top < b.bottom - slack && b.top < a.bottom - slack;
              const faults = [];
              boxes.forEach(([name, box], k) => {
                if (box.left < frame.left || box.right > frame.right || box.top < frame.top || box.bottom > frame.bottom) faults.push(`${name} leaves the box`);
                for (const [other, its] of boxes.slice(k + 1)) if (meet(box, its, 1.5)) faults.push(`${name} meets ${other}`);
                for (const [disc, its] of discs) if (meet(box, its, 4)) faults.push(`${name} lies on ${disc}`);
              });
              return faults;
            }"""
        )

    assert [] == faults


def test_switching_tissue_off_hides_it(travel):
    """Veins switched off are neither drawn nor named."""
    page = travel(viewport=DESKTOP).page
    page.click("label:has-text('Veins')")
    page.wait_for_selector(".w-app:not(.w-moving)")
    shown = page.evaluate("[...document.querySelectorAll('.w-vein')].filter(e => e.style.display !== 'none').length")
    names = page.evaluate(
        "[...document.querySelectorAll('.w-label')].filter(e => e.style.display !== 'none').map(e => e.textContent)"
    )

    assert 0 == shown
    assert [] == [name for name in names if "vein" in name]


def test_reduced_motion_jumps_between_levels(visit, arm_site):
    """With less motion asked for, a level button shows the level at once, without the heights between."""
    page = visit((arm_site / "light.html").as_uri(), reduced_motion="reduce").page
    page.wait_for_selector(".w-ready")
    page.evaluate(
        """() => { window.seen = []; new MutationObserver(() => seen.push(document.querySelector('[data-part=readout]').textContent))
           .observe(document.querySelector('[data-part=readout]'), {childList: true, characterData: true, subtree: true}); }"""
    )
    page.click("[data-part=proximal-level]")
    rest(page)

    assert {"16.2 cm"} == set(page.evaluate("window.seen"))


def test_unmount_leaves_the_figure_and_takes_the_controls(travel):
    """``mount`` returns its undo: controls that would do nothing are hidden again, the picture stays."""
    visited = travel(viewport=DESKTOP)
    page = visited.page
    undone = page.evaluate(
        """() => {
          const host = document.querySelector("[data-wristward]");
          const data = JSON.parse(host.querySelector("script[type='application/json']").textContent);
          const undo = wristward.mounters.travel(host, data);
          undo();
          return [host.querySelector(".w-travel").hidden, host.querySelectorAll(".w-shape").length > 0];
        }"""
    )

    assert [True, True] == undone
    assert [] == visited.errors


def test_without_script_nothing_is_empty(visit, arm_site):
    """Without JavaScript the page still shows a section, its paragraph and its table, and no dead control."""
    page = visit((arm_site / "light.html").as_uri(), java_script_enabled=False).page

    assert page.locator(".w-shape").count() > 20
    assert "median nerve" in page.text_content("[data-part=paragraph]")
    assert page.locator("[data-part=table] tbody tr").count() > 20
    assert not page.is_visible("[data-part=slider]")
    assert page.is_visible("noscript p")


def test_the_zoomed_figure_fits_a_phone(travel):
    """Opened to zoom and measure, the figure is as wide as its column, and nothing is wider than the screen."""
    page = travel(viewport=PHONE).page
    page.click("[data-part=zoom-button]")
    page.wait_for_selector(".w-zoomed")
    widths = page.evaluate(
        "['.w-zoom', '.w-travel'].map(part => document.querySelector(part).getBoundingClientRect().width)"
    )

    assert widths[0] == widths[1]
    assert PHONE["width"] == page.evaluate("document.documentElement.scrollWidth")
