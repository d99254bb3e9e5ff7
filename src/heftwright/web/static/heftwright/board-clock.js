// The wall clock and, on every platform, the time left of this turn: by the gym's server, as the
// clock of a TV may be wrong and it may believe itself in another time zone.
(function () {
  "use strict";

  function two(number) {
    return String(number).padStart(2, "0");
  }

  const FAR_S = 3600;
  const NEAR_S = 2;
  let aheadS = 0; // of the server against this screen
  let zoneS = 0; // of the gym's wall clock against UTC
  let heard = "";

  // only when the picture is new: what was said is otherwise as old as the picture
  function hear() {
    const frame = document.getElementById("board-all");
    if (!frame || !frame.dataset.now || frame.dataset.now === heard) return;
    heard = frame.dataset.now;
    const ahead = Number(heard) - Date.now() / 1000;
    if (Math.abs(ahead - aheadS) > NEAR_S) aheadS = ahead;
    zoneS = Number(frame.dataset.zone);
  }

  function clockWords(atS) {
    const at = new Date((atS + zoneS) * 1000);
    return two(at.getUTCHours()) + ":" + two(at.getUTCMinutes());
  }

  function showWallClock(nowS) {
    const clock = document.getElementById("board-clock");
    if (clock) write(clock, clockWords(nowS));
  }

  // far ahead the hour is said, near the time left
  function timeWords(untilS, nowS) {
    const left = Math.max(0, Math.round(untilS - nowS));
    if (left < FAR_S) return Math.floor(left / 60) + ":" + two(left % 60);
    return clockWords(untilS);
  }

  function write(place, words) {
    if (place.textContent !== words) place.textContent = words;
  }

  function tick() {
    hear();
    const nowS = Date.now() / 1000 + aheadS;
    showWallClock(nowS);
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
