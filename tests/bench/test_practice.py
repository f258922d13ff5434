"""Practice against the baseline page, on a slow network and a slow processor: until the first question is drawn."""

import statistics

import pytest

from tests.bench.test_page import SLOW_NETWORK, opened
from tests.conftest import PHONE

DRAWN = "document.querySelector('[data-ready=yes] .w-quiz-stem') !== null"


def first_question(browser, address, *, slow, network):
    """Return how long Practice takes until its first question is drawn, ms."""
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": slow})
    if network is not None:
        session.send("Network.enable")
        session.send("Network.emulateNetworkConditions", network)
    page.goto(address, wait_until="commit", timeout=120_000)
    page.wait_for_function(DRAWN, timeout=120_000, polling=20)
    took = page.evaluate("performance.now()")
    context.close()
    return took


@pytest.mark.long
def test_practice_to_first_question(uncapped_browser, served, gate, goal):
    """On a slow network and a slow processor the first question is drawn at least seven times as early."""
    practice = served["ours"].replace("elbow-to-wrist.html", "practice.html")
    ours, baseline = [], []
    for _ in range(3):
        ours.append(first_question(uncapped_browser, practice, slow=4, network=SLOW_NETWORK))
        page, ready = opened(uncapped_browser, served["baseline"], slow=4, network=SLOW_NETWORK)
        page.context.close()
        baseline.append(ready)
    warm = first_question(uncapped_browser, practice, slow=1, network=None)

    goal("Practice to first question, no slow-down", ours=warm / 1000, goal=1, unit="s")
    gate(
        "Practice to first question, 1.6 Mbit/s, 150 ms, CPU 4×",
        ours=statistics.median(ours), baseline=statistics.median(baseline), at_least=7, unit="ms",
    )  # fmt: skip
