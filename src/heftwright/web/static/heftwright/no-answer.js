// A tap that the server could not answer says so at the head of the page: otherwise the page stays
// as it was, and a coach believes that it was saved.
(function () {
  "use strict";

  const FAULT =
    "The server could not do this (error CODE): nothing changed here. Load the page again to see " +
    "what stands; if it comes back, tell whoever runs the server.";
  const SILENCE =
    "No answer from the server: whether it was saved is not known. Check the network, then load " +
    "the page again to see what stands.";

  // A part that renews itself does not ask for attention; somebody's own tap does.
  function wasAsked(event) {
    const asked = event.detail.requestConfig;
    return Boolean(asked) && (Boolean(asked.triggeringEvent) || asked.verb !== "get");
  }

  function say(words) {
    const place = document.getElementById("no-answer");
    if (!place) return;
    const box = document.createElement("div");
    box.className = "refusal";
    box.setAttribute("role", "alert");
    const line = document.createElement("div");
    line.textContent = words;
    box.append(line);
    place.replaceChildren(box);
    box.scrollIntoView({ block: "nearest" });
  }

  document.addEventListener("htmx:responseError", function (event) {
    if (wasAsked(event)) say(FAULT.replace("CODE", event.detail.xhr.status));
  });
  ["htmx:sendError", "htmx:timeout"].forEach(function (name) {
    document.addEventListener(name, function (event) {
      if (wasAsked(event)) say(SILENCE);
    });
  });
  document.addEventListener("htmx:afterOnLoad", function (event) {
    const place = document.getElementById("no-answer");
    if (place && event.detail.successful && wasAsked(event)) place.replaceChildren();
  });
})();
