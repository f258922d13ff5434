/* One figure or quiz of a page inside another site: page.html?embed=1&figure=2&z=195&side=left. It runs before everything
   else: the frame may be one that keeps nothing, where merely asking for storage fails. */
(function () {
  "use strict";

  /* What a frame without storage is given instead: kept as long as the page. */
  /** @returns {Storage} */
  function memory() {
    /** @type {Map<string, string>} */
    const kept = new Map();
    return {
      getItem: (key) => kept.get(String(key)) ?? null,
      setItem: (key, value) => void kept.set(String(key), String(value)),
      removeItem: (key) => void kept.delete(String(key)),
      clear: () => kept.clear(),
      key: (place) => [...kept.keys()][place] ?? null,
      get length() {
        return kept.size;
      },
    };
  }
  for (const name of /** @type {const} */ (["localStorage", "sessionStorage"])) {
    try {
      void window[name].length;
    } catch {
      Object.defineProperty(window, name, { configurable: true, value: memory() });
    }
  }

  const asked = new URLSearchParams(location.search);
  if (asked.get("embed") !== "1") return;
  const root = document.documentElement;
  root.classList.add("ww-embed");

  // Figures read height, side, arm and structure behind the "#"; a frame's address carries them in the query.
  const view = ["z", "side", "arm", "show"].filter((key) => asked.has(key)).map((key) => `${key}=${encodeURIComponent(asked.get(key) ?? "")}`);
  if (view.length > 0 && location.hash === "") history.replaceState(null, "", `${location.search}#${view.join("&")}`);

  /** @param {Element} one */
  const isPart = (one) => !["SCRIPT", "STYLE", "LINK", "TEMPLATE"].includes(one.tagName);

  function alone() {
    const article = document.querySelector("article") ?? document.body;
    const figures = [...article.querySelectorAll("[data-wristward]")].filter((one) => !one.parentElement?.closest("[data-wristward]"));
    const number = /^\d{1,3}$/.test(asked.get("figure") ?? "") ? Number(asked.get("figure")) : 1;
    const shown = figures[Math.min(Math.max(number, 1), figures.length) - 1];
    if (shown !== undefined) {
      // A frame is short: what can be folded begins folded, and opens as on the site.
      for (const one of shown.querySelectorAll("details[open]")) one.open = false;
      for (let node = shown; node !== article && node.parentElement !== null; node = node.parentElement) {
        for (const other of node.parentElement.children) {
          if (other !== node && isPart(other) && !other.matches(".ww-cautions")) other.setAttribute("data-ww-aside", "");
        }
      }
    }
    tellHeight();
  }

  /* The page around sets the frame's height by what it is told; only the height is said, to whoever embeds. */
  function tellHeight() {
    if (window.parent === window) return;
    let last = 0;
    const tell = () => {
      const height = Math.ceil(document.body.getBoundingClientRect().height);
      if (height === last) return;
      last = height;
      window.parent.postMessage({ source: "wristward", type: "resize", height }, "*");
    };
    new ResizeObserver(tell).observe(document.body);
    tell();
  }

  // A link leads out of the frame: the site itself belongs into a window of its own.
  addEventListener(
    "click",
    (event) => {
      const link = event.target instanceof Element ? event.target.closest("a[href]") : null;
      if (link === null || link.getAttribute("href")?.startsWith("#")) return;
      link.target = "_blank";
      link.rel = "noopener";
    },
    true,
  );
  if (document.readyState === "loading") addEventListener("DOMContentLoaded", alone);
  else alone();
})();
