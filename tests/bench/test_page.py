"""The slider page against plotly with a frame for every millimetre, both built and measured in this run."""

import gzip
import statistics

import pytest

from tests.conftest import PHONE
from tests.waiting import idle

READY = {
    "ours": "document.querySelector('.w-ready') !== null",
    "baseline": (
        "(() => { const g = document.querySelector('.js-plotly-plot');"
        " return g?._transitionData?._frames?.length > 200 && g.querySelector('.slider-group') !== null; })()"
    ),
}
MOVE = {
    "ours": """(mm) => { const s = document.querySelector("[data-part=slider]");
      s.value = 260 - mm; s.dispatchEvent(new Event("input", {bubbles: true})); }""",
    "baseline": """(mm) => Plotly.animate(document.querySelector(".js-plotly-plot"), [String(mm)],
      {mode: "immediate", frame: {duration: 0, redraw: true}, transition: {duration: 0}})""",
}
STEPS_MM = {"ours": 100, "baseline": 25}
# What is another text once the picture is another one: our readout is written behind the canvas, in the same frame.
SHOWN = {
    "ours": "document.querySelector('.w-painted') && document.querySelector('[data-part=readout]').textContent",
    "baseline": "document.querySelector('.scatterlayer .js-fill').getAttribute('d')",
}
AT_LEAST = {1: 20, 4: 40}
GOAL_MS = {1: 5, 4: 16.7}
"""Times better than the baseline, and milliseconds, by how much slower the processor is."""

# From the event to a task after the paint that holds its result. A frame in which nothing has changed is held back to
# 60 Hz even by a browser that paints as often as it can, and the event after it would wait for that: a dot of one
# pixel changes in each frame, on both pages.
MEASURE = """async ([move, heights, shown]) => {
  const go = eval(move), seen = [], drawn = () => eval(shown);
  const dot = document.body.appendChild(document.createElement("i"));
  dot.style.cssText = "position:fixed;left:0;top:0;width:1px;height:1px;background:#000";
  const painted = () => new Promise((done) => requestAnimationFrame(() => {
    dot.style.background = dot.style.background === "rgb(0, 0, 0)" ? "#fff" : "#000";
    const channel = new MessageChannel();
    channel.port1.onmessage = done;
    channel.port2.postMessage(0);
  }));
  for (const mm of heights) {
    await painted();
    const before = drawn(), start = performance.now();
    await go(mm);
    do await painted(); while (drawn() === before);
    seen.push(performance.now() - start);
  }
  return seen;
}"""
SLOW_NETWORK = {"offline": False, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 200_000}


def opened(browser, address, *, slow=1, network=None):
    """Open an address on a phone's screen, and return its page and how long it took until it can slide, ms."""
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    session = context.new_cdp_session(page)
    if slow > 1:
        session.send("Emulation.setCPUThrottlingRate", {"rate": slow})
    if network is not None:
        session.send("Network.enable")
        session.send("Network.emulateNetworkConditions", network)
    page.goto(address, wait_until="commit", timeout=120_000)
    which = "baseline" if address.endswith("index.html") else "ours"
    page.wait_for_function(READY[which], timeout=120_000, polling=20)
    return page, page.evaluate("performance.now()")


def test_bytes_before_it_works(uncapped_browser, served, gate):
    """Until the slider can be moved, at least twelve times fewer compressed bytes travel than the baseline needs."""
    sizes = {}
    for which, address in served.items():
        page, ready = opened(uncapped_browser, address)
        page.wait_for_load_state("load")
        # What was asked for after the slider worked, as the measures are, is not what it waited for.
        sizes[which] = page.evaluate(
            """(ready) => [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]
              .filter((one) => one.startTime < ready).reduce((sum, one) => sum + one.encodedBodySize, 0) / 1000""",
            ready,
        )
        page.context.close()

    gate("bytes before it works, gzip", **sizes, at_least=12, unit="kB")


def test_geometry_of_all_sections(shipped, baseline, gate):
    """All outlines of the arm take at least fourteen times fewer compressed bytes than as plain lists."""
    ours = (shipped / "assets" / "wristward" / "wristward-geometry.js").read_bytes()
    sizes = [len(gzip.compress(one, 9, mtime=0)) / 1000 for one in (ours, baseline[1].encode())]

    gate("geometry of all sections, gzip", ours=sizes[0], baseline=sizes[1], at_least=14, unit="kB")


@pytest.mark.long
@pytest.mark.parametrize("slow", AT_LEAST)
def test_slide(uncapped_browser, served, gate, goal, slow):
    """From the event to the painted section, 19 of 20 steps are at least twenty times as quick as the baseline's, on a slow
    processor forty times."""
    found = {}
    for which, address in served.items():
        page, _ = opened(uncapped_browser, address, slow=slow)
        idle(page)
        count = STEPS_MM[which]
        heights = [240 - round(k * 220 / count) for k in range(count)]
        times = page.evaluate(MEASURE, [MOVE[which], heights, SHOWN[which]])
        found[which] = statistics.quantiles(times, n=20)[-1]
        page.context.close()

    what = f"slide: event to painted section, p95, CPU {slow}×"
    goal(what, ours=found["ours"], goal=GOAL_MS[slow], unit="ms")
    gate(what, **found, at_least=AT_LEAST[slow], unit="ms")


@pytest.mark.long
def test_ready_to_slide(uncapped_browser, served, gate, goal):
    """On a slow network and a slow processor the slider can be moved at least ten times as early."""
    found = {}
    for which, address in served.items():
        times = []
        for _ in range(3):
            page, ready = opened(uncapped_browser, address, slow=4, network=SLOW_NETWORK)
            times.append(ready)
            page.context.close()
        found[which] = statistics.median(times)

    what = "ready to slide, 1.6 Mbit/s, 150 ms, CPU 4×"
    goal(what, ours=found["ours"], goal=1500, unit="ms")
    gate(what, **found, at_least=10, unit="ms")
