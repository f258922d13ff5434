/* The language of what a question says: texts that stayed English on a page of another language say so. */
(function (wristward) {
  "use strict";

  const { element, say } = wristward;
  /** @type {Spoken} */
  const spoken = (wristward.spoken = {
    /* Attributes of the element that holds a text of an item or option, or of the catalogue: {lang: "en"} or {lang: null}. */
    as: (from, name) => ({ lang: from.english?.includes(name) ? "en" : null }),

    text: (from, name) => element("span", spoken.as(from, name), from[name]),

    /* "Source: …; …" of an item, in nodes. */
    sources(item) {
      const { sources, english } = wristward.quizData;
      const names = item.sources.map((key) => element("span", spoken.as({ english }, key), sources[key] ?? key));
      const [before, after] = say("quiz.play.source", { names: "\n" }).split("\n");
      return [before, ...names.flatMap((name, place) => (place === 0 ? [name] : ["; ", name])), after];
    },
  });
})((window.wristward ??= {}));
