/* Over http the whole site is kept for reading without a connection; from a folder this does nothing. A new version
   waits until the reader changes over, and then every open page of the site does. */
(function () {
  "use strict";

  const own = /** @type {HTMLScriptElement} */ (document.currentScript);
  if (!/^https?:$/.test(location.protocol) || !reachable()) return;
  const { worker = "", told = "", change = "" } = own.dataset;
  let changing = false;

  /* In a sandboxed frame merely asking for it fails; over plain http on another machine it is not there. */
  function reachable() {
    try {
      return navigator.serviceWorker !== undefined;
    } catch {
      return false;
    }
  }

  /** @param {ServiceWorker} waiting */
  function offer(waiting) {
    const note = document.createElement("div"), button = document.createElement("button");
    note.className = "ww-new-version";
    note.setAttribute("role", "status");
    button.type = "button";
    button.textContent = change;
    button.addEventListener("click", () => waiting.postMessage("wristward: change over"));
    note.append(told, " ", button);
    document.body.append(note);
  }

  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (!changing) location.reload();
    changing = true;
  });
  addEventListener("load", async () => {
    try {
      const registration = await navigator.serviceWorker.register(worker);
      if (registration.waiting && navigator.serviceWorker.controller) offer(registration.waiting);
      registration.addEventListener("updatefound", () => {
        const coming = registration.installing;
        coming?.addEventListener("statechange", () => {
          if (coming.state === "installed" && navigator.serviceWorker.controller) offer(coming);
        });
      });
    } catch (problem) {
      console.info(String(problem)); // reading goes on without it
    }
  });
})();
