"""The page "Block levels" in a real Chromium, opened from a folder: real branches and words, the made-up arm's sections."""

from __future__ import annotations

import random
import re
from urllib.parse import parse_qs, urlsplit

import pytest
from block_page import FOLLOWED, NUMBER, READ, go, settle

from tests.conftest import DESKTOP, PHONE, axe_violations
from tests.reports import window_report
from tests.waiting import frames
from wristward.block.blocks import READINGS, block_model, with_spread
from wristward.block.report import block_window
from wristward.block.window import arm_chances
from wristward.figure.block_chart import EACH, JOINT

pytestmark = pytest.mark.browser

CASES = [(scheme, viewport) for scheme in ("light", "dark") for viewport in (PHONE, DESKTOP)]
POINT = 0.01


@pytest.fixture(scope="module")
def model(dataset):
    return block_model(dataset)


def near(expected, actual, *, by):
    """Return whether two texts are the same but for numbers that differ by no more than ``by``."""
    first, second = (list(map(float, NUMBER.findall(text))) for text in (expected, actual))
    same = NUMBER.sub("#", expected) == NUMBER.sub("#", actual) and len(first) == len(second)
    return same and all(abs(a - b) <= by + 1e-9 for a, b in zip(first, second, strict=True))


def test_interpolation_stays_within_a_point_of_the_model(blocks, model, dataset):
    """At random nerves, volumes, arms and assumptions every curve, at every mm and under both readings, lies within one
    percentage point of the model; the window's ends are the model's to the millimetre, the best level to two."""
    page, chance = blocks().page, random.Random(11)
    arms = {key: arm.length_scale for key, arm in dataset.region.arms.items()}
    asked = [
        (chance.choice(list(model.blocks)), chance.choice(list(arms)), chance.uniform(1, 10),
         chance.uniform(0, 50), chance.uniform(0, 12), chance.uniform(0, 30))
        for _ in range(40)
    ]  # fmt: skip
    found = page.evaluate(
        """(asked) => asked.map(([nerve, scale, length, sd, top]) => {
          const { blocks, packedBlocks } = wristward;
          const curves = blocks.curves(blocks.unpack(packedBlocks, nerve), { length, sd, scale, top });
          return blocks.READINGS.map((reading) => [
            Object.fromEntries(Object.entries(curves[reading]).map(([name, values]) => [name, [...values]])),
            blocks.window(packedBlocks, packedBlocks.blocks[nerve], curves[reading]),
          ]);
        })""",
        [
            [nerve, arms[arm], base + per_ml * ml, sd, int(260 * arms[arm] + 1e-9)]
            for nerve, arm, ml, base, per_ml, sd in asked
        ],
    )
    worst, ends = 0.0, []
    for (nerve, arm, ml, base, per_ml, sd), readings in zip(asked, found, strict=True):
        changed = with_spread(model, base_mm=base, per_ml_mm=per_ml, sd_mm=sd)
        for reading, (curves, window) in zip(READINGS, readings, strict=True):
            exact = arm_chances(changed, nerve, reading=reading, volume_ml=ml, length_scale=arms[arm], length_mm=260.0)
            wanted = {name: getattr(exact, name) for name in ("wanted", "spared", "both")}
            wanted |= {f"caught.{id_}": values for id_, values in exact.caught.items()}
            assert set(wanted) == set(curves)
            for name, values in wanted.items():
                assert len(values) == len(curves[name])
                worst = max(worst, max(abs(a - b) for a, b in zip(values, curves[name], strict=True)))
            told = block_window(changed, nerve, exact)
            same = told.empty == window["empty"]
            if same and not told.empty:
                same = abs(told.low_mm - window["low"]) <= 1 and abs(told.high_mm - window["high"]) <= 1
            if not same or abs(told.best_mm - window["best"]) > 2:
                ends.append((nerve, arm, reading, ml, base, per_ml, sd, told, window))

    assert [] == ends
    assert worst < POINT


def test_the_script_says_what_the_page_said(blocks, visit, block_site, model):
    """At the setting the page begins with, the script changes no word, no number and no line that stood there without it."""
    page = blocks().page
    plain = visit((block_site / "light.html").as_uri(), java_script_enabled=False).page
    assert len(model.blocks) == plain.locator("[data-nerve]").count() > 0
    for nerve in model.blocks:
        go(page, f"nerve={nerve}")
        moved = page.evaluate(READ)
        panel = plain.locator(f"[data-nerve={nerve}]")
        for name in FOLLOWED:
            if name == "told":
                continue
            stood = panel.locator(f"[data-part={name}]")
            text = stood.text_content() if stood.count() else None
            assert (nerve, name, text) == (nerve, name, moved["texts"][name])
        rows = [
            [row.get_attribute("data-event"), *row.locator("td").all_text_contents()]
            for row in panel.locator("[data-event]").all()
        ]
        assert rows == moved["rows"]
        for name, path in moved["lines"].items():
            key, _, reading = name.partition("/")
            stood = panel.locator(f'[data-line="{key}"][data-reading="{reading}"]').get_attribute("d")
            gap = max(
                abs(float(a) - float(b)) for a, b in zip(NUMBER.findall(stood), NUMBER.findall(path), strict=True)
            )
            assert gap < 1.2, (nerve, name)


@pytest.mark.parametrize(
    ("nerve", "ml", "arm", "spread"),
    [
        ("median_nerve", 2, "small", {}),
        ("median_nerve", 8.5, "mean", {"base_mm": 35, "per_ml_mm": 4, "sd_mm": 25}),
        ("ulnar_nerve", 10, "large", {"sd_mm": 0}),
        ("lateral_antebrachial_cutaneous_nerve", 3, "mean", {}),
        ("posterior_antebrachial_cutaneous_nerve", 10, "mean", {}),
        ("medial_antebrachial_cutaneous_nerve_anterior_branch", 5, "large", {}),
    ],
)
def test_other_settings_are_told_as_the_command_tells_them(blocks, dataset, nerve, ml, arm, spread):
    """Sentence, limits, assumption and table under another volume, arm and spread are the report's own words; heights to
    the millimetre, chances to the point."""
    names = {"base_mm": "base", "per_ml_mm": "perMl", "sd_mm": "sd"}
    changed = "".join(f"&{names[key]}={value}" for key, value in spread.items())
    page = blocks(at=f"#nerve={nerve}&ml={ml}&arm={arm}&z=70{changed}").page
    settle(page)
    read = page.evaluate(READ)
    reports = {
        reading: window_report(dataset, nerve=nerve, volume_ml=ml, arm=arm, reading=reading, spread=spread)
        for reading in READINGS
    }

    assert near(reports["parting"]["sentence"], read["texts"]["sentence"], by=1)
    assert reports["parting"]["assumed"]["says"] == read["assumed"]
    for reading in READINGS:
        if read["texts"][f"limits-{reading}"] is not None:
            said = reports[reading]["limits"]
            if not reports[reading]["in_reach"]:
                said = [dataset.words["block_levels.client.beyond"]]
            assert near("".join(said), read["texts"][f"limits-{reading}"], by=1)
    for row in read["rows"]:
        for reading, cell in zip(READINGS, row[1:], strict=True):
            event = next(one for one in reports[reading]["events"] if one["id"] == row[0])
            assert abs(100 * event["chance_caught"][70] - float(NUMBER.search(cell)[0])) <= 1


def test_nerves_are_chosen_by_keyboard(blocks, model):
    """Arrows walk through the nerves, one panel at a time, with the section beside it; the address says which."""
    page = blocks().page
    page.focus("[name=bl-nerve]:checked")
    seen = []
    for _ in model.blocks:
        settle(page)
        read = page.evaluate(READ)
        beside = page.locator(".w-b-panel:not([hidden]) [data-part=beside] [data-part=section]").count()
        seen.append((read["nerve"], read["shown"], beside, parse_qs(urlsplit(page.url).fragment)["nerve"]))
        page.keyboard.press("ArrowRight")

    assert [(nerve, 1, 1, [nerve]) for nerve in model.blocks] == seen


def test_the_address_keeps_the_state(blocks):
    """Nerve, volume, arm, height and changed assumptions are read from the address and written to it; nonsense is not."""
    page = blocks(at="#nerve=ulnar_nerve&ml=8&arm=small&z=106&sd=20").page
    settle(page)
    kept = parse_qs(urlsplit(page.url).fragment)
    controls = [page.input_value(f"[data-part={name}]") for name in ("ml", "base", "perMl", "sd")]
    travel = page.get_attribute("[data-part=travel]", "href")
    go(page, "nerve=femoral&ml=400&arm=huge&z=9999&base=x")
    odd = parse_qs(urlsplit(page.url).fragment)

    assert {"nerve": ["ulnar_nerve"], "ml": ["8"], "arm": ["small"], "z": ["106"], "sd": ["20"]} == kept
    assert ["8", "25", "8", "20"] == controls
    assert "elbow-to-wrist.html#z=106&arm=small&show=ulnar_nerve" == travel
    assert {"nerve": ["median_nerve"], "ml": ["10"], "arm": ["mean"], "z": ["260"]} == odd


def test_a_name_that_every_object_has_is_no_arm(blocks):
    """An address that asks for what each script object brings along shows what the page shows first, without an error."""
    opened = blocks(at="#arm=constructor&nerve=__proto__&ml=toString")
    settle(opened.page)

    assert [] == opened.errors
    assert "arm=" not in opened.page.get_attribute("[data-part=travel]", "href")


def test_the_chart_moves_the_section_and_the_other_way_round(blocks, dataset):
    """The slider by key, a pointer on the chart, a link and the button to the best level move cursor and section alike."""
    page = blocks(viewport=DESKTOP).page
    begun = page.evaluate(READ)
    page.focus(".w-b-panel:not([hidden]) [data-part=slider]")
    page.keyboard.press("ArrowLeft")
    settle(page)
    keyed = page.evaluate(READ)
    box = page.locator(".w-b-panel:not([hidden]) .w-b-svg").bounding_box()
    x = box["x"] + box["width"] * (40 + (1 - 130 / 260) * 426) / 480
    page.mouse.move(x, box["y"] + box["height"] * 0.3)
    settle(page)
    pointed = page.evaluate(READ)
    page.mouse.move(0, 0)
    page.evaluate("wristward.tell('block-levels', { z: 201 })")
    settle(page)
    told = page.evaluate(READ)
    page.click(".w-b-panel:not([hidden]) [data-part=best-parting]")
    settle(page)
    best = page.evaluate(READ)
    places = [one["caption"].split(" ")[0] for one in (begun, keyed, pointed, told, best)]
    first_mm, parting_mm = (
        window_report(dataset, nerve="median_nerve", volume_ml=5, reading=reading)["window"]["best_mm"]
        for reading in READINGS
    )

    assert [f"{first_mm / 10:g}", f"{first_mm / 10 + 0.1:g}", "13", "20.1", f"{parting_mm / 10:g}"] == places
    assert 5 == len({one["skin"] for one in (begun, keyed, pointed, told, best)})
    assert told["texts"]["told"].startswith("20.1 cm above the wrist crease: wanted caught in 100 of 100")


def test_a_muscle_in_the_section_lights_its_line_and_a_name_its_muscle(blocks):
    """Pointing at a muscle lights the lines of its branches; a name in the table, reached by Tab, lights its structure."""
    page = blocks(viewport=DESKTOP, at="#nerve=median_nerve&z=130").page
    settle(page)
    box = page.locator("path[data-id=flexor_carpi_radialis]").bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    frames(page)
    lit = page.evaluate("[...document.querySelectorAll('.w-b-line.w-b-lit')].map((line) => line.dataset.line)")
    page.mouse.move(0, 0)
    row = page.locator("[data-event=flexor_digitorum_superficialis_last_branch] button").first
    row.focus()
    frames(page)
    outline = page.get_attribute(".w-lit", "d")
    shape = page.get_attribute("path[data-id=flexor_digitorum_superficialis]", "d")
    both = page.evaluate("[...document.querySelectorAll('.w-b-line.w-b-lit')].map((line) => line.dataset.reading)")

    assert ["caught.flexor_carpi_radialis_branch"] == lit
    assert shape == outline
    assert ["parting", "take_off"] == both


def test_volume_and_arm_move_the_window(blocks, dataset):
    """Another volume and arm move every line and the shading to what the report has; the spread can be changed and put back."""
    page = blocks().page
    page.focus("[data-part=ml]")
    for _ in range(6):
        page.keyboard.press("ArrowRight")
    page.click(".w-choice label:has-text('large')")
    settle(page)
    after = page.evaluate(READ)
    reports = {
        reading: window_report(dataset, nerve="median_nerve", volume_ml=8, arm="large", reading=reading)
        for reading in READINGS
    }
    spans = {}
    for reading, path in after["bands"].items():
        left, right = map(float, re.match(r"M([\d.]+) \d+H([\d.]+)V", path).groups())
        spans[reading] = [273 * (1 - (x - 40) / 426) for x in (right, left)]

    assert "8 mL" == page.text_content("[data-part=ml-shown]")
    for name, path in after["lines"].items():
        key, _, reading = name.partition("/")
        report = reports[reading]
        caught = {f"caught.{event['id']}": event["chance_caught"] for event in report["events"]}
        values, (top, bottom) = (report["both"], JOINT) if key == "both" else (caught[key], EACH)
        points = list(map(float, NUMBER.findall(path)))
        for x, y in zip(points[::2], points[1::2], strict=True):
            chance = values[round(273 * (1 - (x - 40) / 426))]
            assert abs(chance - (bottom - y) / (bottom - top)) < POINT, name
    assert set(READINGS) == set(spans)
    for reading, span in spans.items():
        window = reports[reading]["window"]
        assert [window["low_mm"], window["high_mm"]] == pytest.approx(span, abs=1.1)
    page.click(".w-b-assumptions summary")
    page.focus("[data-part=sd]")
    page.keyboard.press("End")
    settle(page)
    assert "standard deviation 30 mm" in page.evaluate(READ)["assumed"]
    page.click("[data-part=reset]")
    settle(page)
    assert "standard deviation 15 mm" in page.evaluate(READ)["assumed"]


@pytest.mark.parametrize(("scheme", "viewport"), CASES)
def test_it_is_accessible_and_keeps_to_itself(blocks, scheme, viewport):
    """No axe violation with everything open, no error, no request to another host, nothing wider than the screen."""
    visited = blocks(scheme=scheme, viewport=viewport, at="#nerve=ulnar_nerve")
    page = visited.page
    page.click(".w-b-assumptions summary")
    for summary in page.locator(".w-b-panel:not([hidden]) summary").all():
        summary.click()
    violations = axe_violations(page, context="main")
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")

    assert [] == violations
    assert 0 == wide
    assert [] == visited.errors
    assert {"file"} == {urlsplit(url).scheme for url in visited.requests if not url.startswith(("data:", "blob:"))}


def test_without_script_every_nerve_stands_there(visit, block_site, model):
    """Without JavaScript every block's chart, sentence and table are seen, and no control that would do nothing."""
    page = visit((block_site / "light.html").as_uri(), java_script_enabled=False, viewport=PHONE).page

    assert len(model.blocks) == sum(one.is_visible() for one in page.locator(".w-b-panel .w-b-svg").all())
    assert len(model.blocks) == sum(one.is_visible() for one in page.locator("[data-part=sentence]").all())
    assert page.locator(".w-shape").count() > 20
    assert page.is_visible("noscript p")
    assert [] == [one for one in page.locator("main input, main button:not(:disabled)").all() if one.is_visible()]


def test_lost_tables_leave_the_page_and_say_so(visit, block_site):
    """Where the tables do not load, the page says so and keeps what it showed; pointing at it breaks nothing."""
    visited = visit((block_site / "lost.html").as_uri())
    page = visited.page
    page.wait_for_selector("[data-part=failed]:visible")
    page.locator(".w-b-svg").first.hover()
    page.locator("[data-event]").first.hover()

    assert [] == [error for error in visited.errors if "ERR_FILE_NOT_FOUND" not in error]
    assert "did not load" in page.text_content("[data-part=failed]")
    assert not page.is_visible("[data-part=ml]")
    assert page.locator(".w-b-panel .w-b-svg").count() == sum(
        one.is_visible() for one in page.locator(".w-b-panel .w-b-svg").all()
    )


def test_mount_returns_its_undo(blocks, model):
    """After the undo every panel is seen again, the section is back in the first, and the controls are gone."""
    visited = blocks(at="#nerve=ulnar_nerve")
    left = visited.page.evaluate(
        """async () => {
          const host = document.querySelector("[data-wristward]");
          const undo = wristward.mounters["block-levels"](host, JSON.parse(host.querySelector("script[type='application/json']").textContent));
          await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
          undo();
          const seen = (selector) => [...host.querySelectorAll(selector)].filter((one) => !one.closest("[hidden]")).length;
          return [seen(".w-b-panel"), seen("input"), host.querySelector(".w-b-panel").contains(host.querySelector("[data-part=section]"))];
        }"""
    )

    assert [len(model.blocks), 0, True] == left
    assert [] == visited.errors


def test_it_prints_and_holds_still(blocks):
    """In print the controls are gone and sentence, chart and section stay; with less motion asked for nothing moves."""
    page = blocks(reduced_motion="reduce").page
    moving = page.evaluate(
        """() => [...document.querySelectorAll(".w-blocks *")].filter((one) => {
          const { transitionDuration, animationName } = getComputedStyle(one);
          return animationName !== "none" || transitionDuration.split(", ").some((time) => parseFloat(time) > 0);
        }).length"""
    )
    page.emulate_media(media="print")
    seen = {
        name: page.locator(f".w-b-panel:not([hidden]) {name}").first.is_visible()
        for name in (
            "[data-part=sentence]",
            ".w-b-svg",
            "[data-part=section] svg",
            "[data-part=setting]",
            ".w-slider",
            ".w-button",
        )
    }

    assert 0 == moving
    assert [True, True, True, True, False, False] == list(seen.values())
    assert not page.is_visible(".w-b-controls")
