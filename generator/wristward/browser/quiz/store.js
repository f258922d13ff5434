/* The log of answers: IndexedDB, append only, one transaction an answer, so that two tabs lose nothing.
   Where a browser keeps nothing, the log lives in memory and the page says so. Nothing leaves the browser. */
(function (wristward) {
  "use strict";

  const NAME = "wristward-answers"; // pages opened from a folder share one origin: the name is ours
  /* Version 2 says which edition of a question was answered; what version 1 kept counts for any edition. */
  const VERSION = 2, FORMAT = "wristward-progress", LARGEST = 5 * 1024 * 1024;

  const store = (wristward.store ??= {});
  /** @type {<Result>(request: IDBRequest<Result>) => Promise<Result>} */
  const wait = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  /** @type {(transaction: IDBTransaction) => Promise<unknown>} */
  const done = (transaction) =>
    new Promise((resolve, reject) => {
      transaction.oncomplete = resolve;
      transaction.onerror = transaction.onabort = () => reject(transaction.error);
    });

  /** @param {unknown} problem */
  const nameOf = (problem) => (problem instanceof Error ? problem.name : "");

  /** @type {(value: unknown, most: number) => value is string} */
  const isText = (value, most) => typeof value === "string" && value.length > 0 && value.length <= most;

  /* An answer and nothing else, or null. key makes the same answer the same entry, however often it is imported. */
  store.entry = (given) => {
    if (typeof given !== "object" || given === null || Array.isArray(given)) return null;
    const { key, item, at, rating, marks, sure = null, topics = [], edition = null } = /** @type {Record<string, unknown>} */ (given);
    const fits =
      isText(key, 40) && /^[0-9a-f-]+$/.test(key) && isText(item, 40) && /^[0-9a-f]+$/.test(item) &&
      typeof at === "number" && Number.isSafeInteger(at) && at > 0 && at < 8.64e15 &&
      typeof rating === "number" && [1, 2, 3, 4].includes(rating) &&
      typeof marks === "number" && marks >= 0 && marks <= 1 && (sure === null || typeof sure === "boolean") &&
      (edition === null || (isText(edition, 16) && /^[0-9a-f]+$/.test(edition))) &&
      Array.isArray(topics) && topics.length <= 12 && topics.every((one) => isText(one, 80) && /^[a-z0-9_]+$/.test(one));
    return fits ? /** @type {Answer} */ ({ key, item, at, rating, marks, sure, topics, edition }) : null;
  };

  store.key = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(12));
    return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  };

  /* A file's text to entries; throws an Error whose message is a key of the words, `number` its place. */
  store.read = (text) => {
    /** @type {(why: string, number?: number) => Refusal} */
    const refuse = (why, number) => Object.assign(new Error(`quiz.progress.refused_${why}`), { number });
    if (text.length > LARGEST) throw refuse("size");
    let file;
    try {
      file = JSON.parse(text);
    } catch {
      throw refuse("json");
    }
    if (typeof file !== "object" || file === null || file.format !== FORMAT || !Array.isArray(file.answers)) throw refuse("json");
    if (!Number.isInteger(file.version) || file.version < 1 || file.version > VERSION) throw refuse("version");
    return file.answers.map((/** @type {unknown} */ given, /** @type {number} */ k) => {
      const entry = store.entry(given);
      if (entry === null) throw refuse("entry", k + 1);
      return entry;
    });
  };

  store.text = (log) => JSON.stringify({ format: FORMAT, version: VERSION, answers: log });

  /* Kept under the same name, these say that a store is ours. */
  /** @type {(name: string, version: number) => Promise<IDBDatabase>} */
  function open(name, version) {
    return new Promise((resolve, reject) => {
      let request;
      try {
        request = indexedDB.open(name, version);
      } catch (problem) {
        reject(problem);
        return;
      }
      request.onupgradeneeded = ({ oldVersion }) => {
        const db = request.result;
        if (oldVersion === 0) db.createObjectStore("answers", { keyPath: "key" });
        else if (db.objectStoreNames.contains("answers")) migrate(/** @type {IDBTransaction} */ (request.transaction).objectStore("answers"));
      };
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
      request.onblocked = () => reject(new Error("blocked"));
    });
  }

  /**
   * From version 1 on: every answer says its edition. What is no answer is left as it is.
   * @param {IDBObjectStore} answers
   */
  function migrate(answers) {
    const request = answers.openCursor();
    request.onsuccess = () => {
      const cursor = request.result;
      if (cursor === null) return;
      const entry = store.entry(cursor.value);
      if (entry !== null && cursor.value.edition === undefined) cursor.update(entry);
      cursor.continue();
    };
  }

  /* Open the log. Returns {kept, notices, all(), add(entry), addAll(entries), clear(), heard(act)}. */
  store.open = async () => {
    /** @type {string[]} */
    const notices = [];
    /** @type {IDBDatabase | null} */
    let db = null;
    try {
      db = await open(NAME, VERSION);
      const { keyPath } = db.transaction("answers").objectStore("answers");
      if (keyPath !== "key") throw new Error("another layout");
    } catch (problem) {
      // A newer or broken layout stays where it is; a store beside it is begun.
      db?.close();
      db = null;
      if (nameOf(problem) !== "SecurityError" && typeof indexedDB !== "undefined") {
        try {
          db = await open(`${NAME}-beside`, VERSION);
          notices.push("quiz.progress.aside");
        } catch {
          db = null;
        }
      }
      if (db === null) notices.push("quiz.progress.memory");
    }
    const kept = db;
    if (kept !== null) kept.onversionchange = () => kept.close();
    /** @type {Map<string, Answer>} */
    const memory = new Map(); // what the store does not take
    /** @type {Set<() => unknown>} */
    const ears = new Set();
    /** @type {BroadcastChannel | null} */
    let channel = null;
    try {
      channel = new BroadcastChannel(NAME);
      channel.onmessage = () => ears.forEach((act) => act());
    } catch {
      channel = null; // without it another tab shows its answers after a reload
    }
    const tell = () => {
      channel?.postMessage("changed");
      ears.forEach((act) => act());
    };

    /** @param {Answer[]} entries */
    async function put(entries) {
      if (kept === null) for (const entry of entries) memory.set(entry.key, entry);
      else {
        const transaction = kept.transaction("answers", "readwrite", { durability: "strict" });
        for (const entry of entries) transaction.objectStore("answers").put(entry);
        await done(transaction);
      }
      tell();
    }

    /** @type {OpenedLog} */
    const opened = {
      kept: kept !== null,
      notices,
      async all() {
        const stored = kept === null ? [] : await wait(kept.transaction("answers").objectStore("answers").getAll());
        const found = [...stored, ...memory.values()];
        // What is no answer of ours stays in the store and is left out here.
        const good = found.map(store.entry).filter((entry) => entry !== null);
        if (good.length < found.length && !notices.includes("quiz.progress.aside")) notices.push("quiz.progress.aside");
        return good.sort((a, b) => a.at - b.at || (a.key < b.key ? -1 : 1));
      },
      async add(entry) {
        try {
          await put([entry]);
        } catch (problem) {
          memory.set(entry.key, entry);
          const full = nameOf(problem) === "QuotaExceededError" ? "quiz.progress.full" : "quiz.progress.memory";
          if (!notices.includes(full)) notices.push(full);
          ears.forEach((act) => act());
        }
      },
      /* Add what is not there yet; returns how many were new. */
      async addAll(entries) {
        const there = new Set((await opened.all()).map((entry) => entry.key));
        const fresh = [...new Map(entries.map((entry) => [entry.key, entry])).values()].filter((entry) => !there.has(entry.key));
        if (fresh.length > 0) await put(fresh);
        return fresh.length;
      },
      async clear() {
        memory.clear();
        if (kept !== null) {
          const transaction = kept.transaction("answers", "readwrite");
          transaction.objectStore("answers").clear();
          await done(transaction);
        }
        tell();
      },
      heard(act) {
        ears.add(act);
        return () => ears.delete(act);
      },
      close() {
        channel?.close();
        kept?.close();
      },
    };
    return opened;
  };
})((window.wristward ??= {}));
