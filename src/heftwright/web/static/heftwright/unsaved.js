// A form says whether what stands in it is saved, and asks before it is left unsaved.
(function () {
  "use strict";

  let isUnsaved = false;

  function say(form) {
    const state = form.querySelector("[data-unsaved-state]");
    if (!state) return;
    state.textContent = isUnsaved ? "not saved yet" : "saved";
    state.classList.toggle("wait", isUnsaved);
  }

  document.addEventListener("input", (event) => {
    const form = event.target.closest("[data-unsaved]");
    if (!form) return;
    isUnsaved = true;
    say(form);
  });
  document.addEventListener("submit", () => {
    isUnsaved = false;
  });
  window.addEventListener("beforeunload", (event) => {
    if (isUnsaved) event.preventDefault();
  });
})();
