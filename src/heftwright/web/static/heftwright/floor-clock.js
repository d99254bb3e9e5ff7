// Time left of each platform's turn, on the coach's phone.
(function () {
  "use strict";

  function two(number) {
    return String(number).padStart(2, "0");
  }

  function tick() {
    const nowS = Date.now() / 1000;
    document.querySelectorAll(".live [data-until]").forEach((place) => {
      const left = Math.round(Number(place.dataset.until) - nowS);
      if (left < 0 || left >= 3600) return;
      place.textContent = Math.floor(left / 60) + ":" + two(left % 60);
    });
  }

  setInterval(tick, 500);
  tick();
})();
