// How old the picture is. Beyond a minute without the gym's server the board says STALE.
(function () {
  "use strict";

  const SAY_AGE_AFTER_S = 5;
  const STALE_AFTER_S = 60;
  let heardAt = Date.now();

  function ageWords(seconds) {
    return seconds < 90 ? seconds + " s" : Math.floor(seconds / 60) + " min";
  }

  function show() {
    const seconds = Math.floor((Date.now() - heardAt) / 1000);
    const age = document.getElementById("board-age");
    const stale = document.getElementById("board-stale");
    if (!age || !stale) return;
    age.textContent = seconds < SAY_AGE_AFTER_S ? "next" : ageWords(seconds) + " old";
    stale.hidden = seconds <= STALE_AFTER_S;
    if (!stale.hidden) stale.textContent = "STALE " + ageWords(seconds);
  }

  // 204 (nothing new) is news as good as a new picture
  document.addEventListener("htmx:afterRequest", (event) => {
    if (event.detail.successful) heardAt = Date.now();
    show();
  });
  setInterval(show, 1000);
})();
