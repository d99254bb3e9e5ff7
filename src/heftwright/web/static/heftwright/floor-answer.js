// What a tap led to stands at the head of the page: a change with its cost, or a refusal. The page
// goes there, so that nobody far down the list of names misses it.
(function () {
  "use strict";

  let seen = "";

  function answer() {
    return document.querySelector("#floor > .refusal[role=alert], #floor > .draft");
  }

  function show() {
    const place = answer();
    const words = place ? place.textContent : "";
    if (words === seen) return;
    seen = words;
    if (!place) return;
    place.setAttribute("tabindex", "-1");
    place.focus({ preventScroll: true });
    place.scrollIntoView({ block: "start" });
  }

  document.addEventListener("htmx:afterSettle", show);
  const before = answer();
  if (before) seen = before.textContent;
})();
