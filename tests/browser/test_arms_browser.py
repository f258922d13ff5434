"""The choice of the arm on "Elbow to wrist", in a real browser, from a folder on disk."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest
from bare_site import GONE, OTHER, SAID, SHIFT_MM, TWIN, other_sections
from synthetic import sections

from wristward.measure.measures import measure_section

DESKTOP = {"width": 1280, "height": 900}
PHONE = {"width": 390, "height": 844}
SELECT = ".w-arm select"
SCRIPT = f"wristward-arm-{OTHER}.js"


def wait_for(page, arm=OTHER):
    """Wait until an arm is shown and the page rests."""
    page.wait_for_function("(arm) => location.hash.includes(`arm=${arm}`)", arg=arm)
    page.wait_for_function("document.querySelector('.w-moving') === null")


def drawn(page):
    """Return the ids of the outlines that are seen."""
    return page.evaluate(
        "[...document.querySelectorAll('.w-shape')].filter(e => e.style.display !== 'none').map(e => e.dataset.id)"
    )


def listed(page):
    return page.evaluate("[...document.querySelectorAll('[role=option]')].map(e => e.dataset.id)")


def fragment(page):
    return {key: value[0] for key, value in parse_qs(urlsplit(page.url).fragment).items()}


def test_an_arm_comes_only_when_it_is_chosen(travel):
    """Before the choice nothing of it is loaded; by keyboard it is, its structures are drawn, listed and told."""
    visited = travel(at="#z=60", viewport=DESKTOP)
    page = visited.page
    assert [] == [address for address in visited.requests if "wristward-arm" in address]
    assert TWIN not in drawn(page) and GONE in drawn(page)

    page.focus(SELECT)
    page.keyboard.type("Bifid")
    wait_for(page)

    assert 1 == len([address for address in visited.requests if SCRIPT in address])
    assert TWIN in drawn(page) and GONE not in drawn(page)
    assert TWIN in listed(page) and GONE not in listed(page)
    assert "median nerve, ulnar part" in page.text_content("[data-part=table]")
    assert "arm with a bifid median nerve" in page.text_content("[data-part=paragraph]")
    assert page.text_content("[data-part=live]").startswith("Arm with a bifid median nerve")
    assert {"z": "60", "arm": OTHER} == fragment(page)
    assert [] == visited.errors


def test_the_page_says_what_differs(travel):
    """What is otherwise, where, how common with a link to the source, what is lifted and why; in the mean arm none."""
    page = travel(at=f"#z=60&arm={OTHER}", viewport=DESKTOP).page
    wait_for(page)
    note = page.locator("[data-part=arm-note]")

    assert note.is_visible()
    told = note.inner_text()
    assert [] == [
        text for text in (SAID["differs"], SAID["common"][0]["text"], SAID["lifted"][0]["because"]) if text not in told
    ]
    assert "from 8 to 4 cm" in told
    assert "sources.html#study_2020" == note.locator("a").get_attribute("href")
    page.select_option(SELECT, "mean")
    page.wait_for_function("!location.hash.includes('arm=')")
    assert not note.is_visible()


def test_outlines_are_those_of_the_sections(travel):
    """Inside its stretch every outline is the arm's own within 0.1 mm, outside it and back in the mean arm the drawn one's."""
    page = travel(at=f"#z=60&arm={OTHER}", viewport=DESKTOP).page
    wait_for(page)
    centres = """([name, z]) => wristward.arming.load("", name, null).then(({ arm }) =>
      Object.fromEntries(wristward.geometry.cut(arm, z).shapes.map((shape) => [shape.id, [shape.cx, shape.cy]])))"""
    for z_mm in (260, 81, 80, 60, 40, 39, 0):
        wanted = {one.id: one.centre_mm for one in {**sections(), **other_sections()}[z_mm].structures}
        found = page.evaluate(centres, [OTHER, z_mm])
        assert sorted(wanted) == sorted(found)
        assert [] == [
            key for key, at in wanted.items() if max(abs(a - b) for a, b in zip(at, found[key], strict=True)) > 0.1
        ]

    page.select_option(SELECT, "mean")
    page.wait_for_function("!location.hash.includes('arm=')")
    page.wait_for_function("document.querySelector('.w-moving') === null")
    assert sorted(one.id for one in sections()[60].structures) == sorted(drawn(page))


def test_depths_are_the_arms_own(travel):
    """The list tells the depth that was measured on the arm's own section."""
    page = travel(at=f"#z=60&arm={OTHER}", viewport=DESKTOP).page
    wait_for(page)
    shown = page.text_content(f"[role=option][data-id={TWIN}] .w-option-depth")

    twin = next(one for one in measure_section(other_sections()[60]) if one.id == TWIN)
    assert f"{round(twin.depth_mm)} mm deep" in shown


@pytest.mark.parametrize("at", [f"?arm={OTHER}&z=70&side=left&show={TWIN}", f"#arm={OTHER}&z=70&side=left&show={TWIN}"])
def test_an_address_opens_an_arm(at, travel):
    """A link's query and the page's own address open the arm at a height, from a side, with what it alone has lit up."""
    page = travel(at=at, viewport=DESKTOP).page
    wait_for(page)

    assert {"z": "70", "side": "left", "arm": OTHER, "show": TWIN} == fragment(page)
    assert OTHER == page.input_value(SELECT)
    assert "true" == page.get_attribute(f"[role=option][data-id={TWIN}]", "aria-selected")
    # On a left arm the twin, ulnar to the nerve, is on the nerve's left side of the picture.
    middle = "(id) => { const b = document.querySelector(`path[data-id=${id}]`).getBBox(); return b.x + b.width / 2 }"
    apart = page.evaluate(middle, "median_nerve") - page.evaluate(middle, TWIN)
    assert SHIFT_MM * 10 * 4 < apart


def test_side_and_size_compose_with_an_arm(travel):
    """The side stays when an arm is chosen, and a size after it is the drawn arm at the same share of its length."""
    page = travel(at="#z=60&side=left", viewport=DESKTOP).page
    page.select_option(SELECT, OTHER)
    wait_for(page)
    assert {"z": "60", "side": "left", "arm": OTHER} == fragment(page)
    page.select_option(SELECT, "large")
    wait_for(page, "large")

    assert {"z": "63", "side": "left", "arm": "large"} == fragment(page)
    assert TWIN not in drawn(page)


def test_what_an_arm_alone_has_is_let_go_with_it(travel):
    """Back in the mean arm nothing stays lit that is not there."""
    page = travel(at=f"#z=60&arm={OTHER}&show={TWIN}", viewport=DESKTOP).page
    wait_for(page)
    page.select_option(SELECT, "mean")
    page.wait_for_function("!location.hash.includes('arm=')")

    assert {"z": "60"} == fragment(page)


def test_an_arm_that_does_not_come_leaves_the_one_before(travel, arm_site):
    """Where the script is missing the page says so, keeps the arm that it shows, and lets the reader try again."""
    visited = travel(at="#z=60", viewport=DESKTOP)
    page = visited.page
    script, aside = arm_site / "assets" / SCRIPT, arm_site / "assets" / "aside.js"
    script.rename(aside)
    try:
        page.select_option(SELECT, OTHER)
        page.wait_for_function("document.querySelector('[data-part=note]').textContent.includes('did not load')")
    finally:
        aside.rename(script)

    assert "mean" == page.input_value(SELECT)
    assert TWIN not in drawn(page)
    page.select_option(SELECT, OTHER)
    wait_for(page)
    assert "" == page.text_content("[data-part=note]")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_on_a_phone_the_choice_fits_and_is_worked_by_touch(scheme, travel):
    """At 390 px nothing is wider than the screen, the choice is tall enough for a finger and opens by a tap."""
    visited = travel(scheme=scheme, at="#z=60", viewport=PHONE, touch=True)
    page = visited.page
    page.tap(SELECT)
    page.select_option(SELECT, OTHER)
    wait_for(page)
    box = page.locator(SELECT).bounding_box()

    assert 390 >= page.evaluate("document.documentElement.scrollWidth")
    assert 32 <= box["height"] and box["x"] >= 0 and box["x"] + box["width"] <= 390
    assert "Arm" == page.text_content(f"label[for={page.get_attribute(SELECT, 'id')}]")
    assert [] == visited.errors
