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

  const FAR_S = 3600;

  // far ahead the hour is said, near the time left
  function timeWords(untilS, nowS) {
    const left = Math.max(0, Math.round(untilS - nowS));
    if (left < FAR_S) return Math.floor(left / 60) + ":" + two(left % 60);
    const then = new Date(untilS * 1000);
    return two(then.getHours()) + ":" + two(then.getMinutes());
  }

  function write(place, words) {
    if (place.textContent !== words) place.textContent = words;
  }

  function tick() {
    const now = new Date();
    showWallClock(now);
    const nowS = now.getTime() / 1000;
    document.querySelectorAll("[data-until]").forEach((place) => {
      write(place, timeWords(Number(place.dataset.until), nowS));
    });
    document.querySelectorAll("[data-until-word]").forEach((place) => {
      write(place, Number(place.dataset.untilWord) - nowS < FAR_S ? "in" : "at");
    });
  }

  document.addEventListener("htmx:afterSwap", tick);
  setInterval(tick, 500);
  tick();
})();
