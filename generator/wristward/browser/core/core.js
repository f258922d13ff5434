/* The one global, the mounting of figures on a page, words, scripts on demand, and the line that links figures. */
(function (wristward) {
  "use strict";

  wristward.mounters ??= {}; // figure kind → function(host, data) returning its undo
  /** @type {Undo[]} */
  let undos = [];

  function mountPage() {
    for (const undo of undos.splice(0)) undo();
    for (const host of document.querySelectorAll("[data-wristward]")) {
      const mount = wristward.mounters[host.dataset.wristward ?? ""];
      if (mount === undefined) {
        console.error(`wristward: unknown figure kind "${host.dataset.wristward}"`);
        continue;
      }
      const holder = host.querySelector("script[type='application/json']");
      undos.push(mount(host, holder === null ? {} : JSON.parse(holder.textContent ?? "")));
    }
  }

  /* A number, or a span or sum of numbers, with the language's decimal sign; data/words/phrase.py does the same. */
  const NUMBERS = /^[-−+]?\d+(\.\d+)?(\s?[–+]\s?\d+(\.\d+)?)*$/;
  wristward.number = (value) => {
    const text = String(value), sign = wristward.words?.["language.decimal"] ?? ".";
    return sign !== "." && NUMBERS.test(text) ? text.replaceAll(".", sign) : text;
  };

  /* Fill {name} in a sentence of the word catalogue. A missing sentence shows its key: visible, never empty. */
  wristward.say = (key, values = {}) => {
    const sentence = wristward.words?.[key] ?? key;
    return sentence.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? wristward.number(values[name]) : whole));
  };

  /* Words beyond those that come with every figure. */
  wristward.learn = (words) => Object.assign(wristward.words, words);

  const loading = new Map();

  /* Load a classic script once. A page opened from a folder can fetch nothing, but it can run scripts. */
  wristward.load = (address) => {
    if (!loading.has(address)) {
      loading.set(
        address,
        new Promise((resolve, reject) => {
          const script = document.createElement("script");
          script.src = address;
          script.onload = resolve;
          script.onerror = () => {
            loading.delete(address);
            script.remove();
            reject(new Error(`${address} did not load`));
          };
          document.head.append(script);
        }),
      );
    }
    return loading.get(address);
  };

  /* Figures of one page that share a link name follow each other: tell(link, {z, id}, from). */
  const links = new Map();
  wristward.link = (name, hear) => {
    if (!name) return () => {};
    if (!links.has(name)) links.set(name, new Set());
    links.get(name).add(hear);
    return () => links.get(name).delete(hear);
  };
  wristward.tell = (name, news, from) => {
    for (const hear of links.get(name) ?? []) if (hear !== from) hear(news);
  };

  /* Listeners that one call takes off again. */
  wristward.listening = () => {
    const stop = new AbortController();
    /** @type {(target: EventTarget, kind: string, act: (event: any) => unknown, options?: AddEventListenerOptions) => void} */
    const on = (target, kind, act, options = {}) =>
      target.addEventListener(kind, act, { ...options, signal: stop.signal });
    return { on, stop: () => stop.abort() };
  };

  /* A picture that is drawn once a frame while it moves, and rests when nothing was asked for a while. */
  const REST_MS = 350;
  wristward.pacing = (host, draw, rest) => {
    let frame = 0, timer = 0;
    const paint = () => {
      frame = 0;
      draw();
    };
    function settle() {
      if (timer === 0) return;
      clearTimeout(timer);
      timer = 0;
      host.classList.remove("w-moving");
      if (frame !== 0) {
        cancelAnimationFrame(frame);
        paint();
      }
      rest();
    }
    return {
      ask() {
        if (frame === 0) frame = requestAnimationFrame(paint);
        host.classList.add("w-moving");
        clearTimeout(timer);
        timer = setTimeout(settle, REST_MS);
      },
      /* Come to rest at once, where it moves. */
      settle,
      stop() {
        clearTimeout(timer);
        cancelAnimationFrame(frame);
      },
    };
  };

  /* The one element that a selector finds in a host: Python has written it. */
  wristward.one = (host, selector) => {
    const found = host.querySelector(selector);
    if (found === null) throw new Error(`wristward: there is no ${selector}`);
    return /** @type {any} */ (found); // of the kind that the selector says
  };
  wristward.parts = (host) => (name) => /** @type {any} */ (wristward.one(host, `[data-part="${name}"]`));

  /** @type {<Made extends Element>(made: Made, attributes: Attributes, children: Child[]) => Made} */
  function filled(made, attributes, children) {
    for (const [key, value] of Object.entries(attributes)) {
      if (value === true) made.setAttribute(key, "");
      else if (value !== false && value !== null && value !== undefined) made.setAttribute(key, String(value));
    }
    made.append(...children);
    return made;
  }
  wristward.element = (name, attributes = {}, ...children) => filled(document.createElement(name), attributes, children);
  wristward.svgElement = (name, attributes = {}, ...children) =>
    filled(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, children);

  /* A colour of the palette, as the page's scheme has it now. */
  wristward.colour = (role) => getComputedStyle(document.body).getPropertyValue(`--w-${role}`).trim();

  // With instant navigation the theme swaps pages and says so on document$, the first page included; from a
  // folder that stream stays silent, so there the document's own event is the one to follow.
  function begin() {
    if (typeof document$ !== "undefined" && location.protocol !== "file:") document$.subscribe(mountPage);
    else mountPage();
  }
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin);
  else begin();
})((window.wristward ??= {}));
