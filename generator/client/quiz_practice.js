/* The hosts of quizzes: the page Practice, a quiz at the foot of a page, and the page Progress. */
(function (wristward) {
  "use strict";

  const { element, say, schedule, compose } = wristward;
  const ESTIMATE_BELOW = 20, BEFORE_LIST = 20;

  const loaded = (data) =>
    Promise.all([wristward.load(`${data.assets}wristward-quiz.js`), wristward.load(`${data.assets}wristward-geometry.js`)]).then(() =>
      Object.assign(wristward.words, wristward.quizData.words),
    );

  let opening = null;
  const log = () => (opening ??= wristward.store.open());

  function notices(place, opened) {
    place.replaceChildren(...opened.notices.map((key) => element("p", { class: "w-quiz-notice", role: "alert" }, say(key))));
  }

  /* Keep an answer; the seed's own quizzes and due items are kept, "before the list" is not. */
  const keeper = (opened, place) => async (item, marks, sure) => {
    const rating = schedule.rating(marks, sure);
    await opened.add({ key: wristward.store.key(), item: item.id, at: Date.now(), rating, marks, sure, topics: item.topics.slice(0, 12) });
    notices(place, opened);
  };

  const button = (text, act, kind = "") => {
    const made = element("button", { type: "button", class: `w-button w-quiz-button ${kind}` }, text);
    made.addEventListener("click", act);
    return made;
  };

  function failing(host) {
    return (problem) => {
      console.error(problem);
      host.append(element("p", { role: "alert" }, String(problem.message ?? problem)));
    };
  }

  /* data: {assets, section, topic, kinds, topics, levels, ids, count, seed}: a quiz of its own on some page. */
  wristward.mounters.quiz = (host, data) => {
    const place = host.querySelector('[data-part="quiz"]'), said = host.querySelector('[data-part="notice"]');
    const begin = host.querySelector('[data-part="begin"]');
    let undo = () => {}, gone = false;
    let round = 0;

    async function start() {
      await loaded(data);
      const opened = await log();
      if (gone) return;
      notices(said, opened);
      begin.hidden = true;
      const fitting = compose.choose(wristward.quizData.items, data);
      const quiz = compose.draw(fitting, { topic: data.topic, count: data.count, seed: data.seed + round });
      undo = wristward.playQuiz(place, quiz, {
        sectionUrl: data.section,
        answered: keeper(opened, said),
        again() {
          round++;
          undo();
          start().catch(failing(host));
        },
      });
      place.querySelector(".w-quiz-stem")?.focus({ preventScroll: true });
    }

    begin.hidden = false;
    const act = () => start().catch(failing(host));
    begin.addEventListener("click", act);
    return () => {
      gone = true;
      begin.removeEventListener("click", act);
      undo();
    };
  };

  /* data: {assets, section, count}. */
  wristward.mounters.practice = (host, data) => {
    const place = host.querySelector('[data-part="quiz"]'), said = host.querySelector('[data-part="notice"]');
    const controls = host.querySelector('[data-part="controls"]');
    let undo = () => {}, unhear = () => {}, gone = false;

    async function begin() {
      await loaded(data);
      const opened = await log();
      if (gone) return;
      notices(said, opened);
      const { items, topics, operations } = wristward.quizData;
      const topic = element("select", { id: "w-quiz-topic" });
      const group = (key, ids, kind) =>
        element("optgroup", { label: say(`quiz.practice.${key}`) }, ...ids.map((id) => element("option", { value: id }, say(`quiz.${kind}.${id}`))));
      topic.append(element("option", { value: "" }, say("quiz.topic.all")), group("topic_group", topics, "topic"), group("operation_group", operations, "operation"));
      const count = element("input", { type: "number", min: 1, max: 50, value: data.count, id: "w-quiz-count" });
      const seed = element("input", { type: "number", min: 0, max: 999999, value: 1 + (Math.floor(Date.now() / 86400000) % 9999), id: "w-quiz-seed", title: say("quiz.practice.seed_hint") });
      const due = button("", () => play({ due: true }));
      const list = button(say("quiz.practice.list"), () => play({ keep: false }));
      list.title = say("quiz.practice.list_hint");

      async function tellDue() {
        const cards = schedule.cards(await opened.all());
        const known = new Set(items.map((item) => item.id));
        const ids = schedule.due(cards, Date.now()).filter((id) => known.has(id));
        due.textContent = say("quiz.practice.due", { count: ids.length });
        due.disabled = ids.length === 0;
        return ids;
      }

      async function play({ keep = true, due: onlyDue = false } = {}) {
        undo();
        let quiz;
        if (onlyDue) {
          const ids = new Set(await tellDue());
          quiz = compose.draw(items.filter((item) => ids.has(item.id)), { count: Number(count.value), seed: Number(seed.value) });
        } else {
          const wanted = topic.value === "" ? null : topic.value;
          const fitting = keep ? items : items.filter((item) => ["operation", "testing", "level", "caught", "tap", "look_alike", "seam"].includes(item.kind));
          quiz = compose.draw(forTopic(fitting, wanted, operations), { count: keep ? Number(count.value) : BEFORE_LIST, seed: Number(seed.value) });
        }
        undo = wristward.playQuiz(place, quiz, {
          sectionUrl: data.section,
          answered: keep ? keeper(opened, said) : () => {},
          again() {
            seed.value = Number(seed.value) + 1;
            play({ keep, due: onlyDue });
          },
        });
      }

      const line = (input, word) => element("div", { class: "w-quiz-field" }, element("label", { for: input.id }, say(`quiz.practice.${word}`)), input);
      controls.replaceChildren(
        line(topic, "topic"), line(count, "count"), line(seed, "seed"),
        element("div", { class: "w-quiz-row" }, button(say("quiz.play.begin"), () => play(), "w-quiz-main"), due, list, button(say("quiz.practice.print"), () => window.print())),
      );
      unhear = opened.heard(tellDue);
      await tellDue();
      await play();
      host.dataset.ready = "yes";
    }

    begin().catch(failing(host));
    return () => {
      gone = true;
      unhear();
      undo();
    };
  };

  /* An operation as topic: its own items, and those of the nerves it needs. */
  function forTopic(items, topic, operations) {
    if (topic === null) return items;
    if (!operations.includes(topic)) return items.filter((item) => compose.fits(item, topic));
    const own = items.filter((item) => item.topics.includes(topic));
    const nerves = new Set(own.flatMap((item) => item.topics).filter((one) => one !== topic));
    return items.filter((item) => own.includes(item) || item.topics.some((one) => nerves.has(one)));
  }

  /* data: {assets}. */
  wristward.mounters.progress = (host, data) => {
    const place = host.querySelector('[data-part="table"]'), said = host.querySelector('[data-part="notice"]');
    let unhear = () => {}, gone = false;

    async function begin() {
      await loaded(data);
      const opened = await log();
      if (gone) return;
      const file = element("input", { type: "file", accept: ".json,application/json", id: "w-quiz-file" });
      const heard = element("p", { role: "status" });

      file.addEventListener("change", async () => {
        const [chosen] = file.files;
        if (chosen === undefined) return;
        try {
          if (chosen.size > 5 * 1024 * 1024) throw new Error("quiz.progress.refused_size");
          const count = await opened.addAll(wristward.store.read(await chosen.text()));
          heard.textContent = say("quiz.progress.imported", { count });
        } catch (problem) {
          heard.textContent = say(problem.message, { number: problem.number });
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

  const share = (value) => `${Math.round(100 * value)} %`;

  function tableOf(log) {
    const { topics, operations, items } = wristward.quizData;
    const due = new Set(schedule.due(schedule.cards(log), Date.now()));
    const rows = [];
    for (const [kind, ids] of [["topic", topics], ["operation", operations]]) {
      for (const id of ids) {
        const own = log.filter((entry) => compose.fits(entry, id));
        if (own.length === 0) continue;
        const right = own.filter((entry) => entry.marks >= wristward.score.FULL).length;
        const [low, high] = wristward.score.interval(right, own.length);
        const estimate = own.length < ESTIMATE_BELOW ? ` (${say("quiz.progress.estimate")})` : "";
        const bar = element("span", { class: "w-quiz-bar", "aria-hidden": "true" }, element("span", { style: `left:${100 * low}%;width:${100 * (high - low)}%` }), element("b", { style: `left:${(100 * right) / own.length}%` }));
        rows.push(
          element("tr", {},
            element("th", { scope: "row" }, say(`quiz.${kind}.${id}`)), element("td", {}, `${right} / ${own.length}`),
            element("td", {}, bar, `${share(low)} – ${share(high)}${estimate}`),
            element("td", {}, String(items.filter((item) => due.has(item.id) && compose.fits(item, id)).length))),
        );
      }
    }
    const sure = (is) => log.filter((entry) => entry.sure === is);
    const right = (entries) => entries.filter((entry) => entry.marks >= wristward.score.FULL).length;
    const head = ["topic", "share", "interval", "due"].map((word) => element("th", { scope: "col" }, say(`quiz.progress.${word}`)));
    return element("div", { class: "w-quiz-scroll", role: "region", tabindex: "0", "aria-label": say("quiz.progress.heading") },
      element("table", {}, element("thead", {}, element("tr", {}, ...head)), element("tbody", {}, ...rows)),
      element("p", {}, say("quiz.progress.calibration", { sure: right(sure(true)), sure_asked: sure(true).length, unsure: right(sure(false)), unsure_asked: sure(false).length })),
      element("p", {}, say("quiz.progress.competence")));
  }
})((globalThis.wristward ??= {}));
