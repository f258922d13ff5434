/* Plays one quiz as a SCORM 1.2 SCO: finds the system's API, keeps its limits, and goes on where it was left. */
(function (wristward) {
  "use strict";

  const MOST_PARENTS = 8, MOST_STATE = 4096, MOST_SECONDS = 9999 * 3600;
  /** @type {Record<Form, string>} */
  const TYPES = { choice: "choice", many: "choice", tap: "choice", order: "sequencing", height: "numeric" };
  const { element, one } = wristward;

  /**
   * The API stands in a frame above, or above the window that opened this one.
   * @type {(from: Window | null) => ScormApi | null}
   */
  function find(from) {
    let here = from;
    for (let tries = 0; here && tries <= MOST_PARENTS; tries++) {
      try {
        if (here.API) return here.API;
      } catch {
        return null; // a frame of another host: nothing to ask there
      }
      if (here.parent === here) return null;
      here = here.parent;
    }
    return null;
  }

  /** @param {number} value */
  const two = (value) => String(value).padStart(2, "0");
  /** @type {Scorm} */
  const scorm = (wristward.scorm = {
    /* "HHHH:MM:SS" of milliseconds. */
    span(ms) {
      const all = Math.min(Math.max(Math.floor(ms / 1000), 0), MOST_SECONDS);
      return `${String(Math.floor(all / 3600)).padStart(4, "0")}:${two(Math.floor(all / 60) % 60)}:${two(all % 60)}`;
    },
    /* "HH:MM:SS" of a moment. */
    time: (now) => `${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`,
    /* State "1;100,50,0": version and marks of each question answered, in percent. */
    pack(marks) {
      const text = `1;${marks.join(",")}`;
      if (text.length > MOST_STATE) throw new Error(`state of ${text.length} characters (allowed: ${MOST_STATE})`);
      return text;
    },
    unpack(text, count) {
      if (!/^1;(\d{1,3}(,\d{1,3})*)?$/.test(text)) return [];
      const marks = text.slice(2).split(",").filter(Boolean).map(Number);
      return marks.length > count || marks.some((one) => one > 100) ? [] : marks;
    },
    mean: (marks, count) => Math.round(marks.reduce((sum, one) => sum + one, 0) / count),
  });

  /** @type {(found: ScormApi | null, count: number) => Session} */
  function session(found, count) {
    const began = Date.now();
    let api = found !== null && String(found.LMSInitialize("")) === "true" ? found : null; // none before, and none after
    /** @type {(key: string, value: string | number) => void} */
    const set = (key, value) => void api?.LMSSetValue(key, String(value));
    const open = api !== null;
    const reviewing = ["review", "browse"].includes(api?.LMSGetValue("cmi.core.lesson_mode") ?? "");
    const marks = api !== null && !reviewing ? scorm.unpack(String(api.LMSGetValue("cmi.suspend_data")), count) : [];
    if (api !== null && !reviewing && ["", "not attempted", "unknown"].includes(api.LMSGetValue("cmi.core.lesson_status"))) {
      set("cmi.core.lesson_status", "incomplete");
      set("cmi.core.score.min", 0);
      set("cmi.core.score.max", 100);
      api.LMSCommit("");
    }
    return {
      open,
      reviewing,
      before: [...marks],
      keep(item, share) {
        const percent = Math.round(100 * share);
        marks.push(percent);
        if (api === null || reviewing) return;
        const at = `cmi.interactions.${Number(api.LMSGetValue("cmi.interactions._count")) || 0}`;
        set(`${at}.id`, `i${item.id}`);
        set(`${at}.time`, scorm.time(new Date()));
        set(`${at}.type`, TYPES[item.form] ?? "performance");
        set(`${at}.weighting`, 1);
        set(`${at}.result`, percent >= 90 ? "correct" : percent > 0 ? (percent / 100).toFixed(2) : "wrong");
        set("cmi.core.score.raw", scorm.mean(marks, count));
        set("cmi.suspend_data", scorm.pack(marks));
        set("cmi.core.lesson_location", marks.length);
        if (marks.length === count) set("cmi.core.lesson_status", "completed");
        api.LMSCommit("");
      },
      close() {
        if (api === null) return;
        if (!reviewing) {
          set("cmi.core.session_time", scorm.span(Date.now() - began));
          set("cmi.core.exit", marks.length === count ? "" : "suspend");
          api.LMSCommit("");
        }
        api.LMSFinish("");
        api = null;
      },
      total: () => scorm.mean(marks, count),
      done: () => marks.length === count,
    };
  }

  function begin() {
    /** @type {ScormData} */
    const data = JSON.parse(one(document, "#data").textContent ?? "");
    wristward.learn(wristward.quizData.words);
    const items = new Map(wristward.quizData.items.map((item) => [item.id, item]));
    const quiz = data.asked.map(({ id, side, order }) => ({ item: /** @type {Item} */ (items.get(id)), side, order }));
    const kept = session(find(window) ?? find(window.opener), quiz.length);
    const notice = one(document, "#notice"), place = one(document, "#quiz");
    /** @type {(key: string, values?: Values) => string} */
    const say = (key, values = {}) => data.words[key].replace(/\{(\w+)\}/g, (_, name) => String(values[name]));
    /**
     * What fell back to English in a package of another language says so.
     * @param {string} key
     */
    const lang = (key) => ({ lang: data.languages?.[key] ?? null });
    /** @type {(key: string, values?: Values) => void} */
    const tell = (key, values) => {
      notice.hidden = false;
      notice.replaceChildren(element("span", lang(key), say(key, values)));
    };

    const done = kept.before.length;
    if (!kept.open) tell("alone");
    else if (kept.reviewing) tell("review");
    else if (done === quiz.length) tell("finished", { percent: kept.total() });
    else if (done > 0) tell("resumed", { done, count: quiz.length });
    const started = () =>
      wristward.playQuiz(place, done === quiz.length ? [...quiz] : quiz.slice(done), {
        answered(item, marks) {
          if (done === quiz.length) return; // what was finished is played again without a report
          kept.keep(item, marks);
          if (kept.done() && kept.open && !kept.reviewing) tell("reported", { percent: kept.total() });
        },
      });
    if (done === quiz.length) {
      const again = element("button", { type: "button", class: "w-button w-quiz-button w-quiz-main", ...lang("again") }, say("again"));
      again.addEventListener("click", started);
      place.replaceChildren(again);
    } else started();
    addEventListener("pagehide", () => kept.close());
  }

  document.addEventListener("DOMContentLoaded", begin);
})((window.wristward ??= {}));
