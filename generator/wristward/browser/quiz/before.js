/* "Before the list": the questions of one operation, a clock that stops nobody, and a sheet to print. */
(function (wristward) {
  "use strict";

  const { element, inWords, say, compose, spoken } = wristward;
  const before = (wristward.before ??= {});
  const MINUTES = 10, COUNT = 12;
  const TOLD_AT = [5, 1]; // minutes left that are said aloud
  const LETTERS = "ABCDEFGH";

  /* An operation's own questions, and those of the nerves that it needs. */
  before.about = (items, operation) => {
    const nerves = wristward.quizData.nerves[operation];
    const own = items.filter((item) => item.topics.includes(operation));
    return { own, others: items.filter((item) => !own.includes(item) && item.topics.some((one) => nerves.includes(one))) };
  };

  /* Its own questions first, then nerves, levels and variants in turns. */
  before.draw = (items, operation, seed) => {
    const { own, others } = before.about(items, operation);
    const first = compose.draw(own, { count: COUNT, seed });
    const rest = others.filter((item) => compose.kindOf(item).before_list);
    return [...first, ...compose.draw(rest, { count: COUNT - first.length, seed })];
  };

  /* Show a clock that runs down and says so; returns what stops it. It ends nothing: a reader may go on. */
  before.clock = (place) => {
    const ends = Date.now() + MINUTES * 60000;
    const shown = element("span", { role: "timer", "aria-label": say("quiz.practice.clock") });
    const live = element("span", { class: "w-quiz-hidden", role: "status" });
    const stopper = element("button", { type: "button", class: "w-button w-quiz-button" }, say("quiz.practice.clock_stop"));
    const left = [...TOLD_AT];
    let timer = 0;
    const stop = () => {
      clearInterval(timer);
      place.replaceChildren();
    };
    function tick() {
      const seconds = Math.max(0, Math.ceil((ends - Date.now()) / 1000));
      shown.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
      if (seconds > 0 && left.length > 0 && seconds <= 60 * left[0]) {
        live.textContent = say("quiz.practice.clock_left", { minutes: left[0] });
        left.shift();
      }
      if (seconds === 0) {
        clearInterval(timer);
        shown.textContent = live.textContent = say("quiz.practice.clock_over");
      }
    }
    stopper.addEventListener("click", stop);
    place.replaceChildren(element("p", { class: "w-quiz-clock" }, shown, stopper, live));
    tick();
    timer = setInterval(tick, 1000);
    return stop;
  };

  const line = () => element("span", { class: "w-quiz-blank" });

  /** @type {(asked: Asked, box: string) => HTMLElement} */
  const options = ({ item, order }, box) => element("ul", {}, ...order.map((k, row) => element("li", {}, `${box} ${LETTERS[row]}. `, spoken.text(item.options[k], "text"))));
  /** @param {Asked} asked */
  const letters = ({ item, order }) => order.map((k, row) => (item.options[k].right ? LETTERS[row] : null)).filter(Boolean).join(", ");

  /**
   * What is to be filled in, and what is right, for paper.
   * @type {Record<Form, (asked: Asked) => [HTMLElement, string | null]>}
   */
  const papers = {
    choice: (asked) => [options(asked, "○"), letters(asked)],
    many: (asked) => [options(asked, "☐"), letters(asked)],
    order: (asked) => [
      options(asked, ""),
      asked.item.options.map((_, place) => LETTERS[asked.order.indexOf(place)]).join(", "),
    ],
    height: ({ item }) => [element("p", {}, line(), say("quiz.practice.sheet_cm")), inWords.height(item.z ?? 0)],
    tap: () => [element("p", {}, say("quiz.practice.sheet_mark")), null],
  };

  /* Fill `place` with questions on one part and answers on the other. */
  before.sheet = (place, quiz, title) => {
    const questions = element("ol"), answers = element("ol");
    for (const asked of quiz) {
      const { item } = asked;
      const [filled, key] = papers[item.form](asked);
      /** @param {boolean} answered */
      const figure = (answered) => {
        if (!item.shows || item.z === null) return [];
        const made = wristward.quizFigure({ z: item.z, side: asked.side, numbers: item.marks, alike: compose.kindOf(item).drawn_alike });
        if (answered) made.answer(item.target);
        return [made.host];
      };
      questions.append(element("li", {}, element("p", {}, spoken.text(item, "stem")), ...figure(false), filled));
      answers.append(element("li", {}, element("p", {}, ...(key === null ? [] : [element("strong", {}, key), " "]), spoken.text(item, "why")),
        ...(item.form === "tap" ? figure(true) : []), element("p", { class: "w-quiz-source" }, ...spoken.sources(item))));
    }
    place.replaceChildren(
      element("h2", {}, title), element("p", {}, say("quiz.practice.sheet_caution")), questions,
      element("h2", { class: "w-quiz-answers" }, say("quiz.practice.sheet_answers")), answers);
  };
})((window.wristward ??= {}));
