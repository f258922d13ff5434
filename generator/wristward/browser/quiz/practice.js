/* The hosts of quizzes: the page Practice, and a quiz at the foot of a page or where an educator puts one. */
(function (wristward) {
  "use strict";

  const { element, say, schedule, compose, before, quizButton: button } = wristward;
  /** @param {{ assets: string }} data */
  const loaded = (data) =>
    Promise.all(["quiz", "geometry"].map((name) => wristward.load(`${data.assets}wristward-${name}.js`))).then(() =>
      wristward.learn(wristward.quizData.words),
    );

  /** @type {Promise<OpenedLog> | null} */
  let opening = null;
  const log = () => (opening ??= wristward.store.open());

  /** @type {(place: HTMLElement, opened: OpenedLog) => void} */
  function notices(place, opened) {
    place.replaceChildren(...opened.notices.map((key) => element("p", { class: "w-quiz-notice", role: "alert" }, say(key))));
  }

  /**
   * Keep an answer; the seed's own quizzes and due items are kept, "before the list" is not.
   * @type {(opened: OpenedLog, place: HTMLElement) => Required<PlayOptions>["answered"]}
   */
  const keeper = (opened, place) => async (item, marks, sure) => {
    const rating = schedule.rating(marks, sure);
    await opened.add({ key: wristward.store.key(), item: item.id, at: Date.now(), rating, marks, sure, topics: item.topics.slice(0, 12), edition: item.edition });
    notices(place, opened);
  };

  /** @type {(host: HTMLElement) => (problem: unknown) => void} */
  function failing(host) {
    return (problem) => {
      console.error(problem);
      host.append(element("p", { role: "alert" }, problem instanceof Error ? problem.message : String(problem)));
    };
  }

  /**
   * Cards of what is asked today.
   * @param {Answer[]} answers
   */
  const cardsOf = (answers) => {
    const { items } = wristward.quizData;
    return schedule.cards(answers, new Map(items.map((item) => [item.id, item.edition])));
  };

  wristward.quizPage = { cardsOf, failing, loaded, log, notices };

  /* data: {assets, section, topic, kinds, topics, levels, ids, count, seed}: a quiz of its own on some page. */
  wristward.mounters.quiz = (host, data) => {
    const find = wristward.parts(host), place = find("quiz"), said = find("notice"), begin = find("begin");
    /** @type {Undo} */
    let undo = () => {};
    let gone = false;
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
    const find = wristward.parts(host), place = find("quiz"), said = find("notice"), controls = find("controls");
    /** @type {Undo} */
    let undo = () => {}, unhear = undo;
    let gone = false;

    async function begin() {
      await loaded(data);
      const opened = await log();
      if (gone) return;
      notices(said, opened);
      const { items, topics, operations } = wristward.quizData;
      /** @type {(ids: string[], kind: string) => HTMLOptionElement[]} */
      const options = (ids, kind) => ids.map((id) => element("option", { value: id }, say(`quiz.${kind}.${id}`)));
      /** @type {(key: string, ids: string[], kind: string) => HTMLOptGroupElement} */
      const group = (key, ids, kind) => element("optgroup", { label: say(`quiz.practice.${key}`) }, ...options(ids, kind));
      const topic = element("select", { id: "w-quiz-topic" },
        element("option", { value: "" }, say("quiz.topic.all")), group("topic_group", topics, "topic"), group("operation_group", operations, "operation"));
      const count = element("input", { type: "number", min: 1, max: 50, value: data.count, id: "w-quiz-count" });
      const seed = element("input", { type: "number", min: 0, max: 999999, value: 1 + (Math.floor(Date.now() / 86400000) % 9999), id: "w-quiz-seed", title: say("quiz.practice.seed_hint") });
      const operation = element("select", { id: "w-quiz-operation" }, ...options(operations, "operation"));
      const clock = element("div", { "data-part": "clock" });
      const sheet = element("div", { class: "w-quiz-sheet" });
      const due = button("", () => play({ due: true }));
      const wanted = () => (topic.value === "" ? null : topic.value);
      const asked = () => ({ count: Number(count.value), seed: Number(seed.value) });

      async function tellDue() {
        const cards = cardsOf(await opened.all());
        const known = new Set(items.map((item) => item.id));
        const ids = schedule.due(cards, Date.now()).filter((id) => known.has(id));
        due.textContent = say("quiz.practice.due", { count: ids.length });
        due.disabled = ids.length === 0;
        return ids;
      }

      /** @type {(quiz: Asked[], options: PlayOptions) => void} */
      function start(quiz, options) {
        undo();
        undo = wristward.playQuiz(place, quiz, { sectionUrl: data.section, ...options });
      }

      async function play({ due: onlyDue = false } = {}) {
        const ids = onlyDue ? new Set(await tellDue()) : null;
        if (gone) return;
        const fitting = ids !== null ? items.filter((item) => ids.has(item.id)) : forTopic(items, wanted(), operations);
        start(compose.draw(fitting, asked()), {
          answered: keeper(opened, said),
          again() {
            seed.value = String(Number(seed.value) + 1);
            play({ due: onlyDue });
          },
        });
      }

      /* Ten minutes on one operation: nothing of it is kept, so that the schedule does not take cramming for knowing. */
      function playList() {
        undo();
        undo = () => {};
        const stopClock = before.clock(clock);
        start(before.draw(items, operation.value, Number(seed.value)), {
          closed: stopClock,
          again() {
            seed.value = String(Number(seed.value) + 1);
            playList();
          },
        });
        const stopPlay = undo;
        undo = () => {
          stopClock();
          stopPlay();
        };
        place.querySelector(".w-quiz-stem")?.focus();
      }

      /** @type {(quiz: Asked[], title: string) => void} */
      function print(quiz, title) {
        before.sheet(sheet, quiz, title);
        window.print();
      }

      /** @type {(input: HTMLElement, word: string) => HTMLElement} */
      const line = (input, word) => element("div", { class: "w-quiz-field" }, element("label", { for: input.id }, say(`quiz.practice.${word}`)), input);
      /** @param {HTMLSelectElement} select */
      const titled = (select) => select.selectedOptions[0].text;
      controls.replaceChildren(
        line(topic, "topic"), line(count, "count"), line(seed, "seed"),
        element("div", { class: "w-quiz-row" }, button(say("quiz.play.begin"), () => play(), "w-quiz-main"), due,
          button(say("quiz.practice.print"), () => print(compose.draw(forTopic(items, wanted(), operations), asked()), titled(topic)))),
        element("details", { class: "w-quiz-before" },
          element("summary", {}, say("quiz.practice.list")),
          element("p", {}, say("quiz.practice.list_hint")), line(operation, "operation"),
          element("div", { class: "w-quiz-row" }, button(say("quiz.practice.list_begin"), playList, "w-quiz-main"),
            button(say("quiz.practice.list_print"), () => print(before.draw(items, operation.value, Number(seed.value)), titled(operation))))),
        clock,
      );
      host.append(sheet);
      unhear = opened.heard(tellDue);
      await tellDue();
      if (gone) return;
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

  /**
   * An operation as topic: its own items, and those of the nerves it needs.
   * @type {(items: Item[], topic: string | null, operations: string[]) => Item[]}
   */
  function forTopic(items, topic, operations) {
    if (topic === null) return items;
    if (!operations.includes(topic)) return items.filter((item) => compose.fits(item, topic));
    const { own, others } = before.about(items, topic);
    return [...own, ...others];
  }
})((window.wristward ??= {}));
