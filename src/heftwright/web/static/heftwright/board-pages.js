// More platforms than can be read at once: show them a page at a time, in step with the clock.
(function () {
  "use strict";

  function turn() {
    const pages = Array.from(document.querySelectorAll("[data-board-page]"));
    const frame = document.getElementById("board-all");
    if (!frame || pages.length < 2) return;
    const period = Number(frame.dataset.turnsAfter) * 1000;
    const shown = Math.floor(Date.now() / period) % pages.length;
    if (pages[shown].hidden === false) return;
    pages.forEach((page, index) => {
      page.hidden = index !== shown;
    });
    document.dispatchEvent(new Event("board:turned"));
  }

  document.addEventListener("htmx:afterSwap", turn);
  setInterval(turn, 500);
  turn();
})();
