/* Search in the built site, also when it is opened from a folder: a list in a classic script, no worker, no fetch.
   The list is loaded when the reader first turns to a search field. It refuses to guess at spelling. */
(function (wristward) {
  "use strict";

  const script = /** @type {HTMLScriptElement} */ (document.currentScript);
  const base = new URL("../../", script.src);
  const words = JSON.parse(script.dataset.words ?? "{}");
  /** @type {["name" | "title" | "heading" | "text", number][]} */
  const WEIGHTS = [["name", 12], ["title", 8], ["heading", 4], ["text", 1]];
  const MOST_IN_PANEL = 8;
  const MOST_ON_PAGE = 60;
  const EXCERPT_BEFORE = 50;
  const EXCERPT_LENGTH = 150;

  /** @param {string} text */
  function fold(text) {
    return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  }

  /**
   * Words of a text without case and accents.
   * @param {string} text
   * @returns {string[]}
   */
  function tokens(text) {
    return fold(text).match(/[\p{L}\p{N}]+/gu) ?? [];
  }

  /**
   * Score of one entry for the asked tokens: each must begin a word somewhere in it, or the score is 0.
   * @param {SearchEntry} entry
   * @param {string[]} asked
   */
  function score(entry, asked) {
    let total = 0;
    for (const token of asked) {
      let best = 0;
      for (const [field, weight] of WEIGHTS) {
        for (const word of entry[field]) {
          if (word === token) best = Math.max(best, weight * 2);
          else if (word.startsWith(token)) best = Math.max(best, weight);
        }
      }
      if (best === 0) return 0;
      total += best;
    }
    return total;
  }

  /**
   * Entries that match, best first; equal ones keep the order of the site.
   * @param {SearchEntry[]} entries
   * @param {string} query
   */
  function find(entries, query) {
    const asked = tokens(query);
    if (asked.length === 0) return [];
    return entries
      .map((entry) => ({ entry, points: score(entry, asked) }))
      .filter((found) => found.points > 0)
      .sort((a, b) => b.points - a.points || a.entry.order - b.entry.order)
      .map((found) => found.entry);
  }

  /** @param {SearchPage[]} pages */
  function prepare(pages) {
    /** @type {SearchEntry[]} */
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

  /** @type {Promise<SearchEntry[]> | null} */
  let loading = null;
  function load() {
    loading ??= new Promise((resolve, reject) => {
      const list = document.createElement("script");
      list.src = new URL("assets/wristward/search-index.js", base).href;
      list.onload = () => resolve(prepare(wristward.searchIndex));
      list.onerror = () => reject(new Error("wristward: the search list did not load"));
      document.head.append(list);
    });
    return loading;
  }

  /**
   * The part of a text around the first asked word, with the asked words marked.
   * @param {string} text
   * @param {string} query
   */
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

  /** @type {(host: HTMLElement, found: SearchEntry[], query: string, most: number) => void} */
  function show(host, found, query, most) {
    const count = document.createElement("p");
    count.className = "ww-search__count";
    count.setAttribute("role", "status");
    const wording = found.length === 0 ? words.none : found.length === 1 ? words.one : words.many;
    count.textContent = (wording ?? "").replace("{count}", String(found.length)).replace("{query}", () => query);
    const list = document.createElement("ol");
    for (const entry of found.slice(0, most)) {
      const link = document.createElement("a");
      link.href = new URL(entry.url, base).href;
      link.textContent = entry.shown.heading ? `${entry.shown.title} › ${entry.shown.heading}` : entry.shown.title;
      const item = document.createElement("li");
      item.append(link, excerpt(entry.shown.text, query));
      list.append(item);
    }
    host.replaceChildren(count, list);
  }

  /**
   * Make one field answer in its host, as long as the page is there.
   * @param {HTMLFormElement} form
   * @param {{results: ".ww-search__panel" | ".ww-search__results", most: number, closes: boolean}} how
   */
  function mount(form, { results, most, closes }) {
    const input = form.querySelector("input[type=search]"), host = form.querySelector(results);
    if (input === null || host === null) throw new Error(`wristward: a search without ${results}`);
    let last = 0;
    const answer = async () => {
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
    };
    /** @param {KeyboardEvent} event */
    const keys = (event) => {
      const links = [...host.querySelectorAll("a")];
      const at = links.findIndex((link) => link === document.activeElement);
      if (event.key === "Escape" && closes) { host.hidden = true; input.focus(); }
      else if (event.key === "ArrowDown" && links.length > 0) links[Math.min(at + 1, links.length - 1)].focus();
      else if (event.key === "ArrowUp" && at >= 0) (links[at - 1] ?? input).focus();
      else return;
      event.preventDefault();
    };
    /** @param {FocusEvent} event */
    const leave = (event) => {
      if (closes && !form.contains(/** @type {Node | null} */ (event.relatedTarget))) host.hidden = true;
    };
    input.addEventListener("focus", load);
    input.addEventListener("input", answer);
    input.addEventListener("focus", answer);
    form.addEventListener("keydown", keys);
    form.addEventListener("focusout", leave);
    return { input, answer };
  }

  function start() {
    const header = document.querySelector("header .ww-search");
    if (header !== null) mount(header, { results: ".ww-search__panel", most: MOST_IN_PANEL, closes: true });
    const page = document.querySelector("main .ww-search");
    if (page === null) return;
    const { input, answer } = mount(page, { results: ".ww-search__results", most: MOST_ON_PAGE, closes: false });
    page.addEventListener("submit", (event) => event.preventDefault());
    input.value = new URLSearchParams(location.search).get("q") ?? "";
    if (input.value !== "") answer();
  }

  wristward.search = { find, prepare, tokens };
  start();
})((window.wristward ??= {}));
