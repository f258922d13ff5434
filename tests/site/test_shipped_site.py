"""The shipped site in a real Chromium, opened from a disk in a folder whose path has spaces."""

import random
import re
from collections import Counter
from urllib.parse import quote, unquote, urlsplit

import pytest
from shapely.geometry import Point, Polygon

from tests.conftest import DESKTOP, PHONE, axe_violations, serving
from tests.waiting import frames, idle
from wristward.bridge.scripts import BUNDLES
from wristward.data.kinds import BACK_TO_FRONT

pytestmark = pytest.mark.browser

CASES = [(scheme, viewport) for scheme in ("light", "dark") for viewport in (PHONE, DESKTOP)]
NAMED_AT_MM = (250, 227, 195, 162, 128, 97, 65, 32, 14, 0)
POINTS = 30
PAGES = (
    "index.html",
    "elbow-to-wrist.html",
    "levels/index.html",
    "levels/z065.html",
    "nerves/median_nerve.html",
    "arteries/radial_artery.html",
    "veins/cephalic_vein.html",
    "muscles/flexor_carpi_radialis.html",
    "sources.html",
    "relations.html",
    "cautions.html",
    "for-educators.html",
    "search.html?q=median",
)

# Arteries, veins and indexes are written by the same functions as these; in the dark only colours can differ.
AXE_PAGES = {
    "light": ("index.html", "elbow-to-wrist.html", "levels/z065.html", "nerves/median_nerve.html", "sources.html",
              "muscles/pronator_quadratus.html", "cautions.html", "search.html?q=median", "404.html"),
    "dark": ("index.html", "elbow-to-wrist.html", "veins/cephalic_vein.html", "search.html?q=basilic", "404.html"),
}  # fmt: skip


@pytest.fixture
def travel(visit, shipped):
    """Open "Elbow to wrist" of the shipped site and wait until its words have come too."""

    def open_page(*, at="", **options):
        visited = visit((shipped / "elbow-to-wrist.html").as_uri() + at, **options)
        visited.page.wait_for_selector(".w-ready")
        visited.page.wait_for_function("globalThis.wristward.packedMeasures !== undefined")
        return visited

    return open_page


def shown_mm(page):
    words = page.get_attribute("[data-part=slider]", "aria-valuetext")
    return 0 if "at the" in words else round(float(words.split(" ")[0]) * 10)


def go_to(page, z_mm):
    """Ask for a height by the address, and wait until the slider rests there."""
    page.evaluate(f"location.hash = 'z={z_mm}'")
    page.wait_for_function(
        f"Number(document.querySelector('[data-part=slider]').value) === {260 - z_mm}"
        " && document.querySelector('.w-app:not(.w-moving)') !== null"
    )


@pytest.mark.parametrize(("scheme", "viewport"), CASES)
def test_slides_by_keyboard_and_mouse(travel, scheme, viewport):
    """Keys and a dragged thumb move the cut, the picture follows, and nothing is wider than the screen."""
    visited = travel(scheme=scheme, viewport=viewport)
    page = visited.page
    slider = page.locator("[data-part=slider]")
    slider.focus()
    seen, pictures = [shown_mm(page)], [page.get_attribute(".w-skin", "d")]
    for key in ("ArrowRight", "ArrowLeft", "PageDown", "PageUp", "End", "Home"):
        page.keyboard.press(key)
        # Each key moves the cut; a busy machine takes its time to draw it.
        page.wait_for_function("(d) => document.querySelector('.w-skin').getAttribute('d') !== d", arg=pictures[-1])
        seen.append(shown_mm(page))
        pictures.append(page.get_attribute(".w-skin", "d"))
    box = slider.bounding_box()
    middle = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + 12, middle)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2, middle, steps=8)
    page.mouse.up()
    frames(page)

    start = seen[0]
    assert [start, start - 1, start, start + 26, start, 0, 260] == seen
    assert [True] * 6 == [before != after for before, after in zip(pictures, pictures[1:], strict=False)]
    assert 120 <= shown_mm(page) <= 140
    assert viewport["width"] == page.evaluate("document.documentElement.scrollWidth")
    assert [] == visited.errors


@pytest.mark.parametrize(("scheme", "viewport"), CASES)
def test_slides_by_touch(travel, scheme, viewport):
    """A finger drags the thumb, and a tap on a structure names it."""
    visited = travel(scheme=scheme, viewport=viewport, touch=True)
    page = visited.page
    page.locator("[data-part=slider]").scroll_into_view_if_needed()
    box = page.locator("[data-part=slider]").bounding_box()
    touch, y = page.context.new_cdp_session(page), box["y"] + box["height"] / 2
    for kind, share in (("touchStart", 0.5), ("touchMove", 0.4), ("touchMove", 0.3), ("touchMove", 0.25)):
        at = [{"x": box["x"] + box["width"] * share, "y": y}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_selector(".w-app:not(.w-moving)")
    dragged = shown_mm(page)
    place = "path[data-id=flexor_digitorum_profundus]"
    box = page.locator(place).bounding_box()
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.wait_for_selector("[data-part=tag]:not(:empty)")

    assert 190 <= dragged <= 206
    assert "" != page.text_content("[data-part=tag]")
    assert page.is_visible("[data-part=tag]")
    assert [] == visited.errors


def test_the_page_keeps_still_under_the_slider(travel, dataset):
    """Whatever the name of a level, nothing below the readout moves on a phone while the cut does."""
    page = travel(viewport=PHONE).page
    seen = page.evaluate(
        """async () => {
          const slider = document.querySelector("[data-part=slider]"), seen = {};
          for (slider.value = 0; ; slider.value = Number(slider.value) + 1) {
            slider.dispatchEvent(new Event("input", {bubbles: true}));
            await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
            const top = document.querySelector(".w-track").getBoundingClientRect().top + scrollY;
            (seen[top] ??= new Set()).add(document.querySelector("[data-part=level]").textContent);
            if (slider.value === slider.max) return Object.fromEntries(Object.entries(seen).map(([k, v]) => [k, [...v]]));
          }
        }"""
    )

    assert 1 == len(seen)
    assert len(dataset.region.level_names) <= len(next(iter(seen.values())))


def test_the_buttons_step_from_level_to_level(travel, dataset):
    """From the wrist crease up and down again the buttons stop at each height with a name and at no other."""
    page = travel(viewport=DESKTOP, at="#z=0", reduced_motion="reduce").page
    names = {round(one.z_mm): one.name for one in dataset.region.level_names}
    found = []
    for way in ("proximal", "distal"):
        for _ in range(len(names) - 1):
            page.click(f"[data-part={way}-level]")
            page.wait_for_selector(".w-app:not(.w-moving)")
            found.append((shown_mm(page), page.text_content("[data-part=level]")))
    up = sorted(names.items())

    assert [*up[1:], *up[-2::-1]] == found


def test_the_menu_has_each_level_and_nothing_between(shipped, dataset):
    """The menu of every page lists the levels, by their height; a knot's height is on no page an address of its own."""
    levels = [f"z{one.z_mm:03.0f}.html" for one in dataset.region.level_names]
    page = (shipped / "levels" / "index.html").read_text("utf-8")
    between = [f"z{knot.z_mm:03.0f}.html" for knot in dataset.knots]
    pages = [path for path in shipped.rglob("*.html") if 'content="noindex"' not in path.read_text("utf-8")]

    assert levels == list(dict.fromkeys(re.findall(r'href="(?:\./)?(z\d{3}\.html)" class="md-nav__link"', page)))
    assert [] == [path.name for path in pages if any(f"levels/{name}" in path.read_text("utf-8") for name in between)]
    assert [] == [
        name
        for name in between
        if f'"levels/{name}"' in (shipped / "assets/wristward/search-index.js").read_text("utf-8")
    ]


def test_every_old_address_of_a_level_leads_on(shipped, dataset, visit):
    """In a browser the old address of each knot opens Elbow to wrist at the knot's own height."""
    page, found = visit("about:blank").page, {}
    for knot in dataset.knots:
        page.goto((shipped / "levels" / f"z{knot.z_mm:03.0f}.html").as_uri(), wait_until="commit")
        page.wait_for_url("**/elbow-to-wrist.html#z=*", wait_until="commit")
        found[knot.z_mm] = page.url

    assert len(dataset.knots) == len(found) > 50
    assert {z_mm: (shipped / "elbow-to-wrist.html").as_uri() + f"#z={z_mm:.0f}" for z_mm in found} == found


def test_names_under_the_pointer_like_shapely(travel, arm_sections, dataset):
    """At thirty random points of each of ten sections the name under the mouse is the one that shapely gives."""
    page = travel(viewport=DESKTOP).page
    expected, actual = [], []
    for z_mm in NAMED_AT_MM:
        go_to(page, z_mm)
        points = list(_clear_points(arm_sections[z_mm], dataset, seed=z_mm))
        places = page.evaluate(
            """([z, points]) => {
              const box = document.querySelector(".w-box svg").getBoundingClientRect(), v = wristward.view;
              const cut = wristward.geometry.cut(wristward.geometry.drawn(), z);
              const seen = v.of(cut.skin.ring, cut.skin.count), unit = box.width / wristward.shared.view.width;
              return points.map(([x, y]) => [box.left + v.placeX(seen, x) * unit, box.top + v.placeY(seen, y) * unit]);
            }""",
            [z_mm, [[x, y] for x, y, _ in points]],
        )
        for (x, y, name), (left, top) in zip(points, places, strict=True):
            page.mouse.move(left, top)
            expected.append((z_mm, round(x, 2), round(y, 2), name))
            actual.append((z_mm, round(x, 2), round(y, 2), page.text_content("[data-part=tag]")))

    assert len(NAMED_AT_MM) * POINTS == len(expected)
    assert [] == [(want, got[3]) for want, got in zip(expected, actual, strict=True) if want != got]


def _clear_points(section, dataset, *, seed):
    """Yield points with the name of what lies there, away from edges, where a stored outline may rightly differ."""
    ordered = sorted(section.structures, key=lambda one: (BACK_TO_FRONT.index(one.kind), one.id))
    shapes = [(one.id, Polygon(one.ring_mm)) for one in ordered]
    skin, fascia = Polygon(section.skin_mm), Polygon(section.fascia_mm)
    edges = [shape.exterior for _, shape in shapes] + [skin.exterior, fascia.exterior]
    left, low, right, high = skin.bounds
    chance, found = random.Random(seed), 0
    while found < POINTS:
        point = Point(chance.uniform(left, right), chance.uniform(low, high))
        if not skin.contains(point) or min(edge.distance(point) for edge in edges) < 0.3:
            continue
        found += 1
        names = [id_ for id_, shape in shapes if shape.contains(point)]
        region = dataset.words[f"client.region.{'loose' if fascia.contains(point) else 'fat'}"]
        yield point.x, point.y, dataset.structures[names[-1]].name if names else region


def test_the_words_name_every_nerve(travel, arm_sections, dataset):
    """At each of ten heights the list, the table and the picture's description name every nerve of the section."""
    page = travel(viewport=DESKTOP).page
    missing, asked = [], set()
    for z_mm in NAMED_AT_MM:
        go_to(page, z_mm)
        texts = {part: page.text_content(part) for part in ("[data-part=list]", "[data-part=table]", ".w-box svg desc")}
        for one in arm_sections[z_mm].structures:
            if one.kind == "nerve":
                asked.add(z_mm)
                name = dataset.structures[one.id].name
                missing += [(z_mm, name, part) for part, text in texts.items() if name not in text]

    assert set(NAMED_AT_MM) == asked
    assert [] == missing


def test_search_finds_a_nerve_and_leads_there(visit, shipped):
    """Typed into the header of any page, the name of a nerve lists its page first, and Enter opens it."""
    visited = visit((shipped / "levels" / "z065.html").as_uri())
    page = visited.page
    page.locator(".ww-search input").first.fill("posterior interosseous nerve")
    page.wait_for_selector(".ww-search__panel li a")
    page.locator(".ww-search__panel li a").first.click()
    page.wait_for_url("**/posterior_interosseous_nerve.html*")

    assert "Posterior interosseous nerve" == page.text_content("h1").replace("¶", "").strip()
    assert [] == visited.errors
    assert [] == [url for url in visited.requests if not url.startswith(("file:", "data:"))]


def test_what_is_searched_is_repeated_as_it_was_typed(visit, shipped):
    """Signs that a script's replacement would read are shown as they were typed."""
    page = visit(shipped.as_uri() + "/search.html?q=" + quote("$& qqzx")).page
    page.wait_for_selector(".ww-search__count")

    assert "$& qqzx" in page.text_content(".ww-search__count")


@pytest.fixture
def served(shipped):
    """The site behind a plain web server: its address."""
    with serving(shipped) as address:
        yield address


def test_no_errors_and_no_other_host(visit, shipped, served):
    """Every kind of page, from a disk and from a server, runs without a console error and asks no other host."""
    errors, hosts = [], set()
    # The addresses on the page for a wrong address count from a server's root.
    for start, names in ((shipped.as_uri() + "/", PAGES), (served, (*PAGES[:3], "search.html?q=ulna", "404.html"))):
        for name in names:
            visited = visit(start + name)
            idle(visited.page)  # what is loaded after the first paint
            errors += [(start, name, text) for text in visited.errors]
            hosts |= {urlsplit(url).netloc for url in visited.requests if not url.startswith(("data:", "blob:"))}
            visited.page.context.close()

    assert [] == errors
    assert {"", urlsplit(served).netloc} == hosts


def test_a_page_loads_what_its_figures_need_and_no_more(shipped):
    """The players of quizzes and of block levels, with their styles, are loaded by the pages that hold one, and by no other."""
    wrong, holding = [], Counter()
    files = [(file.name, one.hosts) for one in BUNDLES if one.hosts for file in (one.script, one.style)]
    for path in sorted(shipped.rglob("*.html")):
        html = path.read_text("utf-8")
        for name, hosts in files:
            holds = any(f'data-wristward="{kind}"' in html for kind in hosts)
            holding[name, holds] += 1
            wrong += [(path.name, name)] if (f'/{name}"' in html) != holds else []

    assert [] == wrong
    assert {(name, holds) for name, _ in files for holds in (True, False)} == set(holding)


def test_axe_would_find_something(visit):
    """A picture without words and pale letters on white are found, by whichever rules are asked."""
    page = visit("about:blank").page
    page.set_content("<html lang=en><title>A</title><img src='data:,'><p style='color:#ddd'>pale</p></html>")

    assert {"image-alt", "color-contrast"} == {rule for rule, _ in axe_violations(page)}
    assert ["color-contrast"] == [rule for rule, _ in axe_violations(page, rules=("color-contrast",))]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(visit, served, scheme):
    """No kind of page breaks a rule of WCAG 2.2 A or AA that axe knows."""
    rules = () if scheme == "light" else ("color-contrast",)
    page, found = visit("about:blank", scheme=scheme).page, []
    for name in AXE_PAGES[scheme]:
        page.goto(served + name)
        # Scrolled, a menu's first entries lie half under its title: no target of their own size for the moment.
        page.evaluate("for (const part of document.querySelectorAll('.md-sidebar__scrollwrap')) part.scrollTop = 0")
        found += [(name, *violation) for violation in axe_violations(page, rules=rules)]

    assert [] == found


def test_everything_is_reached_by_tab_and_seen(travel):
    """Tab goes through every control of the page once, in the page's order, each with a visible mark of the focus."""
    page = travel(viewport=DESKTOP).page
    wanted = page.evaluate(
        """() => [...document.querySelectorAll("main :is(a[href],button,input,select,summary,[tabindex='0'])")]
          .filter((e) => e.checkVisibility({visibilityProperty: true}) && e.tabIndex >= 0 && !e.disabled && !e.closest('[hidden]'))
          .filter((e) => e.type !== "radio" || e.checked)
          .map((e, k) => (e.dataset.walk = k))"""
    )
    page.evaluate("document.querySelector('main h1').tabIndex = -1; document.querySelector('main h1').focus()")
    walked, unmarked = [], []
    for _ in wanted:
        page.keyboard.press("Tab")
        at, marked, what = page.evaluate(
            """() => {
              const e = document.activeElement, shown = e.matches(".w-chip input, .w-choice input") ? e.nextElementSibling : e;
              const style = getComputedStyle(shown);
              const marked = (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 1) || style.boxShadow !== "none";
              return [Number(e.dataset.walk), marked, e.outerHTML.slice(0, 90)];
            }"""
        )
        walked.append(at)
        if not marked:
            unmarked.append(what)

    assert list(range(len(wanted))) == walked
    assert [] == unmarked


def test_a_page_that_is_not_there_says_so(visit, shipped):
    """The page for a wrong address carries the cautions and a way on."""
    page = visit((shipped / "404.html").as_uri()).page

    assert "There is no such page" in page.text_content("h1")
    assert page.locator("main").get_by_text("learning anatomy").count() >= 1


def test_every_link_of_the_shipped_site_leads_somewhere(shipped):
    """Each relative address on each page names a file of the site, and each anchor an id."""
    from tests.site.test_site import pages_of

    pages, broken = pages_of(shipped), []
    for path, page in pages.items():
        for link in page.links:
            parts = urlsplit(link)
            # The addresses of 404.html count from the root of a server.
            if parts.scheme or parts.netloc or path.name == "404.html":
                continue
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            figure = "z=" in parts.fragment or "show=" in parts.fragment  # a state of the slider, not an anchor
            if not target.is_file():
                broken.append(f"{path.name}: {link}")
            elif parts.fragment and not figure and target in pages and unquote(parts.fragment) not in pages[target].ids:
                broken.append(f"{path.name}: {link} has no such anchor")

    assert [] == broken
