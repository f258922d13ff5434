/* Plays a quiz: one question after the other, by keyboard, touch or mouse, every result told in a live region. */
(function (wristward) {
  "use strict";

  const { element, inWords, say, score, spoken } = wristward;
  const { top_mm } = wristward.shared;
  /** @param {number} marks */
  const percent = (marks) => Math.round(100 * marks);
  let serial = 0;

  const button = (wristward.quizButton = (text, act, kind = "") => {
    const made = element("button", { type: "button", class: `w-button w-quiz-button ${kind}` }, text);
    made.addEventListener("click", act);
    return made;
  });

  /** @type {Forms} Each builds its controls into `place`. */
  const forms = {
    choice: (asked, place) => choices(asked, place, "radio"),
    many: (asked, place) => choices(asked, place, "checkbox"),

    tap(asked, place, figure) {
      return {
        read() {
          const { target } = asked.item;
          const tap = target === null || figure === null ? null : figure.tap(target);
          if (tap === null) return null;
          const other = tap.under === target ? null : tap.under;
          const marks = score.tap(tap.distance, other !== null);
          const mm = tap.distance.toFixed(1);
          const told =
            tap.distance === 0 ? say("quiz.play.inside")
            : other !== null ? say("quiz.play.tapped", { mm, name: wristward.legend[other].name })
            : say("quiz.play.tapped_free", { mm });
          return { marks, told: [told] };
        },
        show() {},
      };
    },

    height(asked, place) {
      const level = asked.item.credit.length > 0;
      const name = say(level ? "quiz.play.level" : "quiz.play.height");
      const slider = element("input", { type: "range", class: "w-slider", min: 0, max: top_mm, step: level ? 5 : 1, value: Math.round(top_mm / 10) * 5, "aria-label": name });
      const output = element("output", { class: "w-quiz-height" });
      const tell = () => {
        output.textContent = inWords.height(Number(slider.value));
        slider.setAttribute("aria-valuetext", output.textContent);
      };
      /** @type {(text: string, by: number) => HTMLButtonElement} */
      const nudge = (text, by) =>
        button(text, () => {
          slider.value = String(Number(slider.value) + by);
          moved = true;
          tell();
        }, "w-quiz-nudge");
      const less = nudge("−", -5), more = nudge("+", 5);
      less.setAttribute("aria-label", say("quiz.play.lower"));
      more.setAttribute("aria-label", say("quiz.play.higher"));
      /* Where the slider stands at first is nobody's answer. */
      let moved = false;
      slider.addEventListener("input", () => {
        moved = true;
        tell();
      });
      tell();
      place.append(element("div", { class: "w-quiz-slide" }, less, slider, more), output);
      return {
        read: () => !moved ? null : ({
          marks: level ? score.credit(Number(slider.value), asked.item.credit) : score.height(Number(slider.value), asked.item.z ?? 0),
          told: [],
        }),
        show() {
          for (const one of [slider, less, more]) one.disabled = true;
        },
      };
    },

    order(asked, place) {
      let places = [...asked.order];
      let open = true;
      const list = element("ol", { class: "w-quiz-order" });
      /** @param {[number, number] | null} focus Option and direction of the button that is to have it. */
      function fill(focus = null) {
        list.replaceChildren(
          ...places.map((k, row) => {
            const text = asked.item.options[k].text;
            /** @type {(by: number, word: string, sign: string) => HTMLButtonElement} */
            const move = (by, word, sign) => {
              const made = button(sign, () => {
                [places[row], places[row + by]] = [places[row + by], places[row]];
                fill([k, by]);
              }, "w-quiz-nudge");
              made.setAttribute("aria-label", say(`quiz.play.${word}`, { name: text }));
              made.disabled = !open || row + by < 0 || row + by >= places.length;
              made.dataset.by = String(by);
              return made;
            };
            const line = element("li", {}, spoken.text(asked.item.options[k], "text"), move(-1, "up", "↑"), move(1, "down", "↓"));
            line.dataset.row = String(k);
            return line;
          }),
        );
        if (focus !== null) {
          const row = [...list.children].find((one) => one instanceof HTMLElement && one.dataset.row === String(focus[0]));
          const buttons = [...(row?.querySelectorAll("button") ?? [])];
          (buttons.find((one) => Number(one.dataset.by) === focus[1] && !one.disabled) ?? buttons.find((one) => !one.disabled))?.focus();
        }
      }
      fill();
      place.append(list);
      return {
        read: () => ({
          marks: score.order(places),
          told: [say("quiz.play.order_is", { order: asked.item.options.map((option) => option.text).join(", ") })],
        }),
        show() {
          open = false;
          fill();
        },
      };
    },
  };

  /** @type {(asked: Asked, place: HTMLElement, type: "radio" | "checkbox") => Controls} */
  function choices(asked, place, type) {
    const { item } = asked;
    const group = `w-quiz-${serial++}`;
    const field = element("fieldset", { class: "w-quiz-options" }, element("legend", { class: "w-quiz-hidden", ...spoken.as(item, "stem") }, item.stem));
    /** @type {HTMLInputElement[]} */
    const inputs = [];
    /** @type {HTMLLabelElement[]} */
    const lines = [];
    for (const k of asked.order) {
      const input = element("input", { type, name: group, value: String(inputs.length) });
      const line = element("label", { class: "w-quiz-option" }, input, spoken.text(item.options[k], "text"));
      inputs.push(input);
      lines.push(line);
      field.append(line);
    }
    place.append(field);
    return {
      read() {
        const chosen = inputs.map((input) => input.checked);
        if (!chosen.includes(true)) return null;
        const right = asked.order.map((k) => item.options[k].right);
        return { marks: type === "radio" ? Number(right[chosen.indexOf(true)]) : score.many(chosen, right), told: [] };
      },
      show() {
        asked.order.forEach((k, row) => {
          const option = item.options[k], line = lines[row], mine = inputs[row].checked;
          inputs[row].disabled = true;
          const marks = [option.right ? say("quiz.play.key") : null, mine ? say("quiz.play.chosen") : null].filter(Boolean);
          line.classList.add(option.right ? "w-quiz-right" : mine ? "w-quiz-wrong" : "w-quiz-other");
          const note = marks.length > 0 ? `(${marks.join(", ")}) ` : "";
          line.append(element("small", {}, note, spoken.text(option, "why")));
        });
      },
    };
  }

  /* Play `quiz` (from compose.draw) in `host`. options: {answered(item, marks, sure), again(), closed(), sectionUrl}. */
  wristward.playQuiz = (host, quiz, { answered = () => {}, again = null, closed = () => {}, sectionUrl = null } = {}) => {
    let number = 0, right = 0, sum = 0;
    /** @type {QuizFigure | null} */
    let figure = null;
    const live = element("p", { class: "w-quiz-live", role: "status" });
    const stage = element("div", { class: "w-quiz-stage" });
    host.replaceChildren(stage, live);
    /** @param {string} text */
    const heard = (text) => {
      live.textContent = text;
    };

    function ask() {
      const asked = quiz[number], { item } = asked;
      figure?.undo();
      figure = null;
      const place = element("div", { class: "w-quiz-answer" });
      const stem = element("p", { class: "w-quiz-stem", tabindex: "-1", ...spoken.as(item, "stem") }, item.stem);
      /** @type {HTMLElement[]} */
      const parts = [
        element("p", { class: "w-quiz-count" }, say("quiz.play.question", { number: number + 1, count: quiz.length })), stem,
      ];
      if (item.shows && item.z !== null) {
        figure = wristward.quizFigure({ z: item.z, side: asked.side, numbers: item.marks, alike: wristward.compose.kindOf(item).drawn_alike, marker: item.form === "tap", heard });
        parts.push(figure.host);
      }
      const form = forms[item.form](asked, place, figure);
      const sure = element("select", {},
        element("option", { value: "" }, "–"), element("option", { value: "1" }, say("quiz.play.sure")),
        element("option", { value: "0" }, say("quiz.play.unsure")));
      const how = element("label", { class: "w-quiz-sure" }, say("quiz.play.how_sure"), " ", sure);
      const check = button(say("quiz.play.check"), () => {
        const read = form.read();
        if (read === null) return heard(say("quiz.play.choose"));
        check.remove();
        how.remove();
        form.show();
        finish(asked, read, sure.value === "" ? null : sure.value === "1");
      }, "w-quiz-main");
      stage.replaceChildren(...parts, place, element("div", { class: "w-quiz-row" }, how, check));
      if (figure !== null && item.form === "tap") {
        figure.host.addEventListener("keydown", (event) => event.key === "Enter" && check.isConnected && check.click());
      }
      heard("");
      if (number > 0 || host.contains(document.activeElement)) stem.focus({ preventScroll: number === 0 });
    }

    /** @type {(asked: Asked, read: Read, sure: boolean | null) => void} */
    function finish(asked, { marks, told }, sure) {
      const { item } = asked;
      sum += marks;
      if (marks >= score.FULL) right++;
      const verdict =
        marks >= score.FULL ? say("quiz.play.right")
        : marks > 0 ? say("quiz.play.partly", { percent: percent(marks) })
        : say("quiz.play.wrong");
      const result = element("div", { class: `w-quiz-result ${marks >= score.FULL ? "w-quiz-yes" : "w-quiz-no"}` },
        element("p", {}, element("strong", {}, verdict), ` ${[...told, ""].join(" ")}`, spoken.text(item, "why")),
        element("p", { class: "w-quiz-source" }, ...spoken.sources(item)));
      if (sectionUrl !== null && item.z !== null) {
        const shown = item.target !== null && item.target in wristward.legend ? `&show=${item.target}` : "";
        result.append(element("p", {}, element("a", { href: `${sectionUrl}#z=${item.z}&side=${asked.side}${shown}` }, say("quiz.play.open"))));
      }
      if (figure === null && item.z !== null && item.target !== null) {
        figure = wristward.quizFigure({ z: item.z, side: asked.side });
        result.append(figure.host);
      }
      figure?.answer(item.target);
      const last = number + 1 === quiz.length;
      const next = button(say(last ? "quiz.play.finish" : "quiz.play.next"), () => {
        number++;
        if (last) close();
        else ask();
      }, "w-quiz-main");
      stage.append(result, element("div", { class: "w-quiz-row" }, next));
      heard(`${verdict} ${[...told, item.why].join(" ")}`);
      next.focus({ preventScroll: true });
      answered(item, marks, sure);
    }

    function close() {
      figure?.undo();
      const text = say("quiz.play.result", { right, count: quiz.length, percent: percent(sum / quiz.length) });
      const heading = element("p", { class: "w-quiz-stem", tabindex: "-1" }, text);
      const row = element("div", { class: "w-quiz-row" });
      if (again !== null) row.append(button(say("quiz.play.again"), again, "w-quiz-main"));
      stage.replaceChildren(heading, element("p", { class: "w-quiz-source" }, say("quiz.play.scoring")), row);
      heading.focus();
      heard(text);
      closed();
    }

    if (quiz.length === 0) stage.replaceChildren(element("p", {}, say("quiz.play.none")));
    else ask();
    return () => figure?.undo();
  };
})((window.wristward ??= {}));
