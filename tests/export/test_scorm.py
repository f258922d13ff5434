"""The SCORM package under an independent run-time, and every call of it under stricter checks of our own.

The run-time is lenient: it took 4,097 characters of state and identifiers with spaces. What is asked of SCORM 1.2 is
therefore checked here call by call.
"""

from __future__ import annotations

import json
import re

import pytest
from lxml import etree

from tests.export.conftest import FACTS
from tests.export.players import HOST, player, serve
from wristward.export.archive import zip_bytes
from wristward.export.scorm import check_limits, scorm_package

RUN_TIME = "scorm-again/dist/scorm12.min.js"
LMS = """<!doctype html><html lang="en"><link rel="icon" href="data:,"><title>system</title>
<script src="/run-time.js"></script><script>
const kept = JSON.parse(decodeURIComponent(location.hash.slice(1) || "{}"));
const inner = new Scorm12API({ autocommit: false, logLevel: 4 });
inner.loadFromJSON(kept);
window.calls = [];
window.API = new Proxy({}, { get: (_, name) => (...given) => {
  const result = inner[name](...given);
  window.calls.push([name, given.map(String), String(result), String(inner.LMSGetLastError())]);
  return result;
} });
window.state = () => inner.renderCMIToJSONObject();
</script><body><iframe src="/index.html" style="width:900px;height:900px" title="course"></iframe></body></html>"""

STATUS = {"passed", "completed", "failed", "incomplete", "browsed", "not attempted"}
NUMBER = r"-?\d+(\.\d+)?"
RULES = {
    r"cmi\.core\.lesson_status": lambda v: v in STATUS,
    r"cmi\.core\.score\.(raw|min|max)": lambda v: re.fullmatch(NUMBER, v) and 0 <= float(v) <= 100,
    r"cmi\.core\.lesson_location": lambda v: len(v) <= 255,
    r"cmi\.core\.exit": lambda v: v in ("time-out", "suspend", "logout", ""),
    r"cmi\.core\.session_time": lambda v: re.fullmatch(r"\d{2,4}:\d\d:\d\d(\.\d{1,2})?", v),
    r"cmi\.suspend_data": lambda v: len(v) <= 4096,
    r"cmi\.interactions\.\d+\.id": lambda v: re.fullmatch(r"\S{1,255}", v) and v.isascii(),
    r"cmi\.interactions\.\d+\.time": lambda v: re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d:[0-5]\d", v),
    r"cmi\.interactions\.\d+\.type": lambda v: (
        v in ("true-false", "choice", "fill-in", "matching", "performance", "sequencing", "likert", "numeric")
    ),
    r"cmi\.interactions\.\d+\.weighting": lambda v: re.fullmatch(NUMBER, v),
    r"cmi\.interactions\.\d+\.result": lambda v: (
        v in ("correct", "wrong", "unanticipated", "neutral") or re.fullmatch(NUMBER, v)
    ),
}
READABLE = re.compile(
    r"cmi\.(core\.(lesson_mode|lesson_status|lesson_location|score\.raw|entry|credit)|suspend_data|interactions\._count)"
)


def call_faults(calls):
    """Return every call that SCORM 1.2 does not allow, or that the run-time refused."""
    found, state = [], "before"
    for name, given, result, error in calls:
        said = f"{name}({', '.join(given)}) → {result}, error {error}"
        if error not in ("0", "") or result == "false":
            found.append(f"refused: {said}")
        if name == "LMSInitialize":
            found += [] if state == "before" and given == [""] else [f"not the first call: {said}"]
            state = "running"
        elif state != "running":
            found.append(f"{state} the session: {said}")
        if name == "LMSFinish":
            state = "after"
        if name == "LMSSetValue":
            rule = next((rule for pattern, rule in RULES.items() if re.fullmatch(pattern, given[0])), None)
            if rule is None or not rule(given[1]):
                found.append(f"not SCORM 1.2: {said}")
        if name == "LMSGetValue" and not READABLE.fullmatch(given[0]):
            found.append(f"cannot be read: {said}")
    numbers = [int(g[0].split(".")[2]) for n, g, *_ in calls if n == "LMSSetValue" and g[0].endswith(".id")]
    if numbers != list(range(numbers[0], numbers[0] + len(numbers)) if numbers else []):
        found.append(f"interactions are numbered {numbers}")
    return found


@pytest.fixture(scope="module")
def launch(browser, scorm):
    """Launch the package as a system would: ``launch(kept={...})`` gives its page, with what was kept before."""
    contexts, faults = [], []

    def start(kept=None, *, viewport=None):
        context = browser.new_context(viewport=viewport or {"width": 1000, "height": 1000})
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda said: said.type == "error" and faults.append(said.text))
        serve(page, {**scorm.files, "system.html": LMS.encode(), "run-time.js": player(RUN_TIME)})
        page.goto(f"{HOST}system.html#{json.dumps(kept or {})}")
        page.frame_locator("iframe").locator("#quiz > *").first.wait_for()
        return page

    yield start
    for context in contexts:
        context.close()
    assert [] == faults


def answer(page, item, *, right=True, order=()):
    """Answer the question that is shown with the mouse, and go on."""
    frame = page.frame_locator("iframe")
    if item.form in ("choice", "many"):
        for place, k in enumerate(order):
            if item.options[k].right == right:
                frame.locator(".w-quiz-option input").nth(place).check()
                if item.form == "choice":
                    break
    elif item.form == "tap":
        frame.locator(".w-quiz-box").click(position={"x": 60, "y": 90})
    elif frame.locator(".w-quiz-slide").count():
        frame.locator(".w-quiz-slide .w-quiz-nudge").last.click()  # where a slider stands at first is no answer
    frame.locator(".w-quiz-row .w-quiz-main").click()
    frame.locator(".w-quiz-result").wait_for()
    frame.locator(".w-quiz-row .w-quiz-main").last.click()


def leave(page):
    """Close the course as a system does, and return the calls that were made."""
    page.evaluate("document.querySelector('iframe').src = 'about:blank'")
    page.wait_for_function("calls.at(-1)[0] === 'LMSFinish'")
    return page.evaluate("calls")


@pytest.mark.browser
def test_a_session_from_first_to_last(launch, quiz):
    """Played to its end the quiz reports one score, completion and each answer, in calls that SCORM 1.2 allows."""
    page = launch()
    for asked in quiz:
        answer(page, asked.item, order=asked.order)
    page.frame_locator("iframe").locator("#notice", has_text="Reported").wait_for()
    calls = leave(page)
    core = page.evaluate("state().cmi.core")
    ids = [given[1] for name, given, *_ in calls if name == "LMSSetValue" and given[0].endswith(".id")]
    marks = [given[1] for name, given, *_ in calls if name == "LMSSetValue" and given[0] == "cmi.suspend_data"][-1]
    chosen = [one for one in quiz if one.item.form in ("choice", "many")]

    assert [] == call_faults(calls)
    assert [f"i{one.item.id}" for one in quiz] == ids
    assert "completed" == core["lesson_status"]
    shares = [int(one) for one in marks.removeprefix("1;").split(",")]
    assert len(quiz) == len(shares)
    assert round(sum(shares) / len(shares)) == int(core["score"]["raw"])
    assert {100} == {share for one, share in zip(quiz, shares, strict=True) if one in chosen}


@pytest.mark.browser
def test_a_session_goes_on_where_it_was_left(launch, quiz):
    """Left after some answers and launched again, the quiz goes on with the next question and counts the old ones."""
    page = launch({"cmi": {"core": {"lesson_status": "incomplete"}, "suspend_data": "1;100,0,50"}})
    frame = page.frame_locator("iframe")
    shown = frame.locator(".w-quiz-stem").inner_text()
    said = frame.locator("#notice").inner_text()
    answer(page, quiz[3].item, order=quiz[3].order)
    calls = leave(page)
    state = next(given[1] for name, given, *_ in reversed(calls) if given[:1] == ["cmi.suspend_data"] and "Set" in name)

    assert [] == call_faults(calls)
    assert quiz[3].item.stem == shown
    assert f"3 of {len(quiz)}" in said
    assert state.startswith("1;100,0,50,")
    assert ["cmi.core.exit", "suspend"] in [given for _, given, *_ in calls]


@pytest.mark.browser
@pytest.mark.parametrize("broken", ["2;100", "1;101", "1;a", "1;" + ",".join(["1"] * 999), "<b>"])
def test_a_state_that_is_none_of_ours_is_left_aside(launch, quiz, broken):
    """What another version or program kept begins the quiz anew, without an error."""
    page = launch({"cmi": {"core": {"lesson_status": "incomplete"}, "suspend_data": broken}})

    assert quiz[0].item.stem == page.frame_locator("iframe").locator(".w-quiz-stem").inner_text()


@pytest.mark.browser
def test_without_a_system_it_plays_and_says_so(visit, scorm, tmp_path, quiz):
    """Opened from a folder, with no system above it, the quiz plays and says that nothing is reported."""
    for name, content in scorm.files.items():
        (tmp_path / name).write_bytes(content)
    visited = visit((tmp_path / "index.html").as_uri(), viewport={"width": 390, "height": 844})
    visited.page.locator(".w-quiz-stem").wait_for()

    assert "nothing is reported" in visited.page.locator("#notice").inner_text()
    assert quiz[0].item.stem == visited.page.locator(".w-quiz-stem").inner_text()
    assert 390 >= visited.page.evaluate("document.documentElement.scrollWidth")
    assert [] == visited.errors
    assert [] == [one for one in visited.requests if not one.startswith("file:")]


@pytest.mark.parametrize(
    "call",
    [
        ["LMSSetValue", ["cmi.suspend_data", "x" * 4097], "true", "0"],
        ["LMSSetValue", ["cmi.interactions.0.id", "a b"], "true", "0"],
        ["LMSSetValue", ["cmi.interactions.0.type", "hotspot"], "true", "0"],
        ["LMSSetValue", ["cmi.core.session_time", "PT42S"], "true", "0"],
        ["LMSSetValue", ["cmi.core.score.raw", "140"], "true", "0"],
        ["LMSGetValue", ["cmi.interactions.0.result"], "", "0"],
        ["LMSCommit", [""], "false", "0"],
    ],
)
def test_the_stricter_checks_find_a_fault(call):
    """Each call that the lenient run-time might take is a fault here."""
    opened = ["LMSInitialize", [""], "true", "0"]

    assert [] == call_faults([opened])
    assert 1 == len(call_faults([opened, call]))


def test_the_manifest_lists_every_file(scorm):
    """One organisation, one item, one SCO, every file of the package listed, licence and cautions with it."""
    root = etree.fromstring(scorm.files["imsmanifest.xml"])
    space = {"c": "http://www.imsproject.org/xsd/imscp_rootv1p1p2", "a": "http://www.adlnet.org/xsd/adlcp_rootv1p2"}
    (resource,) = root.findall(".//c:resource", space)
    (item,) = root.findall(".//c:item", space)
    listed = {one.get("href") for one in resource.findall("c:file", space)}
    text = scorm.files["imsmanifest.xml"].decode()

    assert "1.2" == root.findtext("c:metadata/c:schemaversion", namespaces=space)
    assert ("sco", "index.html") == (resource.get(f"{{{space['a']}}}scormtype"), resource.get("href"))
    assert resource.get("identifier") == item.get("identifierref")
    assert set(scorm.files) - {"imsmanifest.xml"} == listed
    assert "CC BY 4.0" in text
    assert "guides no needle" in text
    assert "guides no needle" in scorm.files["index.html"].decode()


def test_the_limits_are_kept():
    """A quiz whose state could outgrow 4,096 characters is refused, and so is an identifier with a space."""
    check_limits(["a"] * 1023)
    with pytest.raises(ValueError, match="allowed: 1023"):
        check_limits(["a"] * 1024)
    with pytest.raises(ValueError, match="no identifier of SCORM 1.2"):
        check_limits(["a b"])


def test_the_same_quiz_is_the_same_bytes(scorm, quiz, dataset, arm_sections, ready_packed):
    """Made again, the archive is the same byte for byte."""
    again = scorm_package(quiz, dataset, arm_sections, FACTS)

    assert zip_bytes(scorm.files) == zip_bytes(again.files)


@pytest.mark.parametrize("hostile", ["</script><script>alert(1)</script>", '"><img src=x onerror=alert(1)>'])
def test_a_hostile_title_stays_text(quiz, dataset, arm_sections, ready_packed, hostile):
    """A topic's name with markup in it is text on the page and in the manifest."""
    from dataclasses import replace

    package = scorm_package(quiz[:1], dataset, arm_sections, replace(FACTS, topic=hostile))

    assert hostile not in package.files["index.html"].decode()
    etree.fromstring(package.files["imsmanifest.xml"])
