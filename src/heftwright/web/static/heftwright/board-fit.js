// Words wider than their place are drawn narrower: their height, which is what is read, stays.
(function () {
  "use strict";

  const NARROWEST = 0.4;

  function fit(place) {
    let words = place.firstElementChild;
    if (!words) {
      words = document.createElement("span");
      words.append(...place.childNodes);
      place.append(words);
    }
    words.style.transform = "none";
    const room = place.clientWidth;
    const wide = words.offsetWidth;
    if (!room || wide <= room) return;
    words.style.transform = "scaleX(" + Math.max(NARROWEST, room / wide) + ")";
  }

  function fitAll() {
    document.querySelectorAll(".board-fit").forEach(fit);
  }

  document.addEventListener("htmx:afterSwap", fitAll);
  document.addEventListener("board:turned", fitAll);
  window.addEventListener("resize", fitAll);
  document.fonts.ready.then(fitAll);
})();
