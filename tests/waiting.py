"""How a browser test waits: for what it is about to look at, never for an amount of time."""

from __future__ import annotations

FRAMES = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
IDLE = f"async () => {{ await ({FRAMES})(); await new Promise((done) => requestIdleCallback(done)); }}"
STILL = """() => new Promise((done) => {
  let last = -1, same = 0;
  const look = () => {
    const now = Math.ceil(document.body.getBoundingClientRect().height);
    same = now === last ? same + 1 : 0;
    last = now;
    if (same === 10) done(now);
    else requestAnimationFrame(look);
  };
  look();
})"""


def frames(page) -> None:
    """Wait until two frames have been painted: what was asked for before them is drawn."""
    page.evaluate(FRAMES)


def idle(page) -> None:
    """Wait until a page has painted and its scripts have nothing left to do."""
    page.evaluate(IDLE)


def rest(page, host=".w-app") -> None:
    """Wait until a figure that was asked to move rests: it moves from the event on, or from the next frame."""
    frames(page)
    page.wait_for_selector(f"{host}:not(.w-moving)")


def still_height(frame) -> int:
    """Return the height of a page's body, pixels rounded up, once ten frames found the same."""
    return frame.evaluate(STILL)
