/* A printed document on the screen: a button that prints, and a box for each part that may be left out. */
(function () {
  "use strict";

  const button = /** @type {HTMLElement} */ (document.getElementById("p-print"));
  button.hidden = false;
  button.addEventListener("click", () => print());
  for (const box of document.querySelectorAll("[data-shows]")) {
    const show = () => {
      for (const part of document.querySelectorAll("[data-part]")) {
        if (part.dataset.part === box.dataset.shows) part.hidden = !box.checked;
      }
    };
    box.addEventListener("change", show);
    show(); // a browser that goes back keeps the boxes as they were
  }
})();
