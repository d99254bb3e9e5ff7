// The wall clock and, on every platform, the time left of this turn.
(function () {
  "use strict";

  function two(number) {
    return String(number).padStart(2, "0");
  }

  function showWallClock(now) {
    const clock = document.getElementById("board-clock");
    if (clock) clock.textContent = two(now.getHours()) + ":" + two(now.getMinutes());
  }

  function showTimeLeft(place, nowS) {
    const left = Math.max(0, Math.round(Number(place.dataset.until) - nowS));
    const shown = left >= 3600 ? "" : Math.floor(left / 60) + ":" + two(left % 60);
    if (place.textContent !== shown) place.textContent = shown;
  }

  function tick() {
    const now = new Date();
    showWallClock(now);
    document
      .querySelectorAll("[data-until]")
      .forEach((place) => showTimeLeft(place, now.getTime() / 1000));
  }

  document.addEventListener("htmx:afterSwap", tick);
  setInterval(tick, 500);
  tick();
})();
