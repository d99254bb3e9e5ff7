// Drag a name to another platform, or onto another name of the same one: the page then shows what
// the move costs. The buttons under each name do the same without dragging.
(function () {
  "use strict";

  let dragged = null;

  function live() {
    return document.querySelector(".live");
  }

  function send(url, values) {
    const token = document.querySelector("input[name=csrfmiddlewaretoken]").value;
    window.htmx.ajax("POST", url, {
      target: "#floor",
      select: "#floor",
      swap: "outerHTML",
      values: { csrfmiddlewaretoken: token, ...values },
    });
  }

  function drop(event) {
    const there = event.target.closest("[data-platform]");
    if (!dragged || !there) return;
    event.preventDefault();
    const from = dragged.closest("[data-platform]");
    const athlete = dragged.dataset.athlete;
    const onto = event.target.closest("[data-turn]");
    if (from !== there) send(live().dataset.moveUrl, { athlete, platform: there.dataset.platform });
    else if (onto && onto !== dragged) send(live().dataset.turnUrl, { athlete, turn: onto.dataset.turn });
  }

  function mark(there) {
    document.querySelectorAll(".drop-here").forEach((one) => one.classList.remove("drop-here"));
    if (there) there.classList.add("drop-here");
  }

  document.addEventListener("dragstart", (event) => {
    dragged = event.target.closest("[data-athlete][draggable]");
  });
  document.addEventListener("dragover", (event) => {
    const there = dragged && event.target.closest("[data-platform]");
    if (there) event.preventDefault();
    mark(there);
  });
  document.addEventListener("drop", drop);
  document.addEventListener("dragend", () => {
    dragged = null;
    mark(null);
  });
})();
