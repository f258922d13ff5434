/* The page Progress: what was answered by topic, how sure readers were and how often right, and what is due when. */
(function (wristward) {
  "use strict";

  const { element, say, schedule, compose, quizPage, quizButton: button } = wristward;
  const { cardsOf, failing, loaded, log, notices } = quizPage;
  const ESTIMATE_BELOW = 20, DAYS = 7, DAY = 86400000, LARGEST = 5 * 1024 * 1024;

  /* data: {assets}. */
  wristward.mounters.progress = (host, data) => {
    const find = wristward.parts(host), place = find("table"), said = find("notice");
    /** @type {Undo} */
    let unhear = () => {};
    let gone = false;

    async function begin() {
      await loaded(data);
      const opened = await log();
      if (gone) return;
      const file = element("input", { type: "file", accept: ".json,application/json", id: "w-quiz-file" });
      const heard = element("p", { role: "status" });

      file.addEventListener("change", async () => {
        const chosen = file.files?.[0];
        if (chosen === undefined) return;
        try {
          if (chosen.size > LARGEST) throw new Error("quiz.progress.refused_size");
          const count = await opened.addAll(wristward.store.read(await chosen.text()));
          heard.textContent = say("quiz.progress.imported", { count });
        } catch (problem) {
          const { message, number } = /** @type {Refusal} */ (problem);
          const known = message.startsWith("quiz.");
          if (!known) console.error(problem);
          heard.textContent = say(known ? message : "quiz.progress.refused_full", { number: number ?? "" });
        }
        file.value = "";
      });
      const save = button(say("quiz.progress.export"), async () => {
        const text = wristward.store.text(await opened.all());
        const link = element("a", { href: URL.createObjectURL(new Blob([text], { type: "application/json" })), download: "wristward-progress.json" });
        link.click();
        setTimeout(() => URL.revokeObjectURL(link.href), 1000);
      });
      const reset = button(say("quiz.progress.reset"), () => confirm(say("quiz.progress.reset_sure")) && opened.clear());
      const table = element("div");
      place.replaceChildren(
        table,
        element("div", { class: "w-quiz-row" }, save, reset),
        element("div", { class: "w-quiz-field" }, element("label", { for: file.id }, say("quiz.progress.import")), file), heard,
      );
      async function fill() {
        const log = await opened.all();
        notices(said, opened);
        table.replaceChildren(log.length === 0 ? element("p", {}, say("quiz.progress.none")) : tableOf(log));
      }
      unhear = opened.heard(fill);
      await fill();
    }

    begin().catch(failing(host));
    return () => {
      gone = true;
      unhear();
    };
  };

  /** @param {number} value */
  const share = (value) => `${Math.round(100 * value)} %`;

  /** @param {Answer[]} log */
  function tableOf(log) {
    const { topics, operations, items } = wristward.quizData;
    const due = new Set(schedule.due(cardsOf(log), Date.now()));
    const rows = [];
    for (const [kind, ids] of /** @type {[string, string[]][]} */ ([["topic", topics], ["operation", operations]])) {
      for (const id of ids) {
        const own = log.filter((entry) => compose.fits(entry, id));
        if (own.length === 0) continue;
        const right = own.filter((entry) => entry.marks >= wristward.score.FULL).length;
        rows.push(
          element("tr", {},
            element("th", { scope: "row" }, say(`quiz.${kind}.${id}`)), element("td", {}, `${right} / ${own.length}`),
            bar(right, own.length),
            element("td", {}, String(items.filter((item) => due.has(item.id) && compose.fits(item, id)).length))),
        );
      }
    }
    const head = ["topic", "share", "interval", "due"];
    return element("div", {},
      table("heading", head, rows),
      element("p", {}, say("quiz.progress.competence")),
      element("h2", {}, say("quiz.progress.sure_heading")), ...calibration(log),
      element("h2", {}, say("quiz.progress.due_heading")), ...dueDays(log));
  }

  /**
   * A table that a narrow screen scrolls by itself.
   * @type {(label: string, head: string[], rows: HTMLElement[]) => HTMLElement}
   */
  function table(label, head, rows) {
    const heads = head.map((word) => element("th", { scope: "col" }, say(`quiz.progress.${word}`)));
    return element("div", { class: "w-quiz-scroll", role: "region", tabindex: "0", "aria-label": say(`quiz.progress.${label}`) },
      element("table", {}, element("thead", {}, element("tr", {}, ...heads)), element("tbody", {}, ...rows)));
  }

  /**
   * The share that was right with its interval, as a bar whose numbers stand beside it.
   * @type {(right: number, asked: number) => HTMLElement}
   */
  function bar(right, asked) {
    const [low, high] = wristward.score.interval(right, asked);
    const estimate = asked < ESTIMATE_BELOW ? ` (${say("quiz.progress.estimate")})` : "";
    const drawn = element("span", { class: "w-quiz-bar", "aria-hidden": "true" },
      element("span", { style: `left:${100 * low}%;width:${100 * (high - low)}%` }), element("b", { style: `left:${(100 * right) / asked}%` }));
    return element("td", {}, drawn, `${share(low)} – ${share(high)}${estimate}`);
  }

  /**
   * How sure a reader was against how often right; where nobody said, nothing is drawn.
   * @param {Answer[]} log
   */
  function calibration(log) {
    const rows = [];
    for (const [word, is] of /** @type {const} */ ([["said_sure", true], ["said_unsure", false], ["said_nothing", null]])) {
      const own = log.filter((entry) => entry.sure === is);
      if (own.length === 0) continue;
      const right = own.filter((entry) => entry.marks >= wristward.score.FULL).length;
      rows.push(element("tr", {}, element("th", { scope: "row" }, say(`quiz.progress.${word}`)), element("td", {}, `${right} / ${own.length}`), bar(right, own.length)));
    }
    return [element("p", {}, say("quiz.progress.sure_read")), table("sure_heading", ["said", "share", "interval"], rows)];
  }

  /**
   * What comes due on each of the next days, what is due already counted as today.
   * @param {Answer[]} log
   */
  function dueDays(log) {
    const known = new Set(wristward.quizData.items.map((item) => item.id)), now = Date.now();
    const counts = new Array(DAYS).fill(0);
    let later = 0;
    for (const [id, card] of cardsOf(log)) {
      if (!known.has(id)) continue;
      const day = Math.max(0, Math.floor((card.due - now) / DAY));
      if (day < DAYS) counts[day]++;
      else later++;
    }
    const most = Math.max(1, ...counts);
    const rows = counts.map((count, day) =>
      element("tr", {},
        element("th", { scope: "row" }, say(day === 0 ? "quiz.progress.today" : day === 1 ? "quiz.progress.tomorrow" : "quiz.progress.in_days", { days: day })),
        element("td", {}, element("span", { class: "w-quiz-count-bar", "aria-hidden": "true", style: `width:${(6 * count) / most}rem` }), String(count))));
    return [table("due_heading", ["day", "due"], rows), element("p", {}, say("quiz.progress.later", { count: later, days: DAYS }))];
  }
})((window.wristward ??= {}));
