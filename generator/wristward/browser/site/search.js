/* Search in the built site, also when it is opened from a folder: a list in a classic script, no worker, no fetch.
   The list is loaded when the reader first turns to a search field. It refuses to guess at spelling. */
(function (wristward) {
  "use strict";

  const script = document.currentScript;
  const base = new URL("../../", script.src);
  const words = JSON.parse(script.dataset.words ?? "{}");
  const WEIGHT = { name: 12, title: 8, heading: 4, text: 1 };
  const MOST_IN_PANEL = 8;
  const MOST_ON_PAGE = 60;
  const EXCERPT_BEFORE = 50;
  const EXCERPT_LENGTH = 150;

  /** Fold case and accents, and cut into words. */
  function fold(text) {
    return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  }

  function tokens(text) {
    return fold(text).match(/[\p{L}\p{N}]+/gu) ?? [];
  }

  /** Score of one entry for the asked tokens: each must begin a word somewhere in it, or the score is 0. */
  function score(entry, asked) {
    let total = 0;
    for (const token of asked) {
      let best = 0;
      for (const field of Object.keys(WEIGHT)) {
        for (const word of entry[field]) {
          if (word === token) best = Math.max(best, WEIGHT[field] * 2);
          else if (word.startsWith(token)) best = Math.max(best, WEIGHT[field]);
        }
      }
      if (best === 0) return 0;
      total += best;
    }
    return total;
  }

  /** Entries that match, best first; equal ones keep the order of the site. */
  function find(entries, query) {
    const asked = tokens(query);
    if (asked.length === 0) return [];
    return entries
      .map((entry) => ({ entry, points: score(entry, asked) }))
      .filter((found) => found.points > 0)
      .sort((a, b) => b.points - a.points || a.entry.order - b.entry.order)
      .map((found) => found.entry);
  }

  function prepare(pages) {
    const entries = [];
    for (const [url, title, name, sections] of pages) {
      for (const [anchor, heading, text] of sections) {
        entries.push({
          order: entries.length, url: anchor ? `${url}#${anchor}` : url, shown: { title, heading, text },
          name: anchor ? [] : tokens(name), title: anchor ? [] : tokens(title), heading: tokens(heading),
          text: tokens(text),
        });
      }
    }
    return entries;
  }

  let loading = null;
  function load() {
    loading ??= new Promise((resolve, reject) => {
      const list = document.createElement("script");
      list.src = new URL("assets/wristward/search-index.js", base);
      list.onload = () => resolve(prepare(wristward.searchIndex));
      list.onerror = () => reject(new Error("wristward: the search list did not load"));
      document.head.append(list);
    });
    return loading;
  }

  /** The part of a text around the first asked word, with the asked words marked. */
  function excerpt(text, query) {
    const asked = tokens(query);
    const parts = text.split(/([\p{L}\p{N}\u0300-\u036f]+)/u);
    const hit = parts.findIndex((part) => asked.some((token) => fold(part).startsWith(token)));
    let before = 0;
    let first = Math.max(hit, 0);
    while (first > 0 && before < EXCERPT_BEFORE) before += parts[--first].length;
    const shown = document.createElement("p");
    if (first > 0) shown.append("… ");
    let length = 0;
    for (const part of parts.slice(first)) {
      if (length > EXCERPT_LENGTH) { shown.append(" …"); break; }
      const marked = asked.some((token) => fold(part).startsWith(token));
      if (marked) {
        const mark = document.createElement("mark");
        mark.textContent = part;
        shown.append(mark);
      } else shown.append(part);
      length += part.length;
    }
    return shown;
  }

  function show(host, found, query, most) {
    const count = document.createElement("p");
    count.className = "ww-search__count";
    count.setAttribute("role", "status");
    const wording = found.length === 0 ? words.none : found.length === 1 ? words.one : words.many;
    count.textContent = (wording ?? "").replace("{count}", String(found.length)).replace("{query}", query);
    const list = document.createElement("ol");
    for (const entry of found.slice(0, most)) {
      const link = document.createElement("a");
      link.href = new URL(entry.url, base);
      link.textContent = entry.shown.heading ? `${entry.shown.title} › ${entry.shown.heading}` : entry.shown.title;
      const item = document.createElement("li");
      item.append(link, excerpt(entry.shown.text, query));
      list.append(item);
    }
    host.replaceChildren(count, list);
  }

  /** Make one field answer in one host; returns its undo. */
  function mount(form, host, { most, closes }) {
    const input = form.querySelector("input[type=search]");
    let last = 0;
    async function answer() {
      const query = input.value.trim();
      const mine = ++last;
      if (query === "") { host.replaceChildren(); if (closes) host.hidden = true; return; }
      try {
        const found = find(await load(), query);
        if (mine !== last) return;
        show(host, found, query, most);
      } catch (error) {
        host.textContent = words.failed ?? String(error);
      }
      host.hidden = false;
    }
    function keys(event) {
      const links = [...host.querySelectorAll("a")];
      const at = links.indexOf(document.activeElement);
      if (event.key === "Escape" && closes) { host.hidden = true; input.focus(); }
      else if (event.key === "ArrowDown" && links.length > 0) links[Math.min(at + 1, links.length - 1)].focus();
      else if (event.key === "ArrowUp" && at >= 0) (links[at - 1] ?? input).focus();
      else return;
      event.preventDefault();
    }
    function leave(event) {
      if (closes && !form.contains(event.relatedTarget)) host.hidden = true;
    }
    const undo = new AbortController();
    const until = { signal: undo.signal };
    input.addEventListener("focus", load, until);
    input.addEventListener("input", answer, until);
    input.addEventListener("focus", answer, until);
    form.addEventListener("keydown", keys, until);
    form.addEventListener("focusout", leave, until);
    return { answer, undo: () => undo.abort() };
  }

  function start() {
    const header = document.querySelector("header .ww-search");
    if (header !== null) mount(header, header.querySelector(".ww-search__panel"), { most: MOST_IN_PANEL, closes: true });
    const page = document.querySelector("main .ww-search");
    if (page === null) return;
    const field = mount(page, page.querySelector(".ww-search__results"), { most: MOST_ON_PAGE, closes: false });
    page.addEventListener("submit", (event) => event.preventDefault());
    const input = page.querySelector("input[type=search]");
    input.value = new URLSearchParams(location.search).get("q") ?? "";
    if (input.value !== "") field.answer();
  }

  wristward.search = { find, prepare, tokens };
  start();
})((globalThis.wristward ??= {}));
