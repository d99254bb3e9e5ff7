/* A tap (or Enter) on a block of the season strip opens that day in the week sheet, with its menu.
   A block dragged onto another week of its lane opens that week's menu with its lift on top, priced. */
(() => {
  const FAR_ENOUGH = 8;
  const placeOf = (block) => block.id.match(/l\d+-b\d+$/)?.[0];
  const laneOf = (block) => block.id.match(/^(.*-l\d+)-b\d+$/)?.[1];
  const nameOf = (block) => block.getAttribute("aria-label").split(/, (?:week of|\d+ weeks from) /)[0];

  const dayOf = (block) => {
    const { week, slot } = block.dataset;
    const where = slot ? `data-after="${week}-${slot}"` : `data-block="${placeOf(block)}"`;
    return document.querySelector(`details[${where}]`);
  };

  const open = (block) => {
    const day = dayOf(block);
    if (!day) return null;
    day.open = true;
    day.scrollIntoView({ block: "center" });
    day.querySelector("summary").focus({ preventScroll: true });
    day.querySelector(".choices-place > a")?.click();
    return day;
  };

  const putOnTop = (choices, name) => {
    const row = [...choices.querySelectorAll(".choice")].find((choice) =>
      choice.querySelector(".choice-name").textContent.trim().startsWith(name),
    );
    const said = document.createElement("p");
    said.className = "dragged-here";
    said.textContent = row ? `${name}, dragged here:` : `${name} cannot be had here: see below why.`;
    choices.prepend(said);
    if (!row) return;
    const list = document.createElement("ul");
    list.className = "choice-list";
    list.append(row);
    said.after(list);
    row.querySelector("button")?.focus({ preventScroll: true });
  };

  const bringTo = (name, target) => {
    const day = open(target);
    if (!day) return;
    const look = () => {
      const choices = day.querySelector(".choices");
      if (choices) putOnTop(choices, name);
      return choices;
    };
    day.querySelector(".choices")?.remove();
    const watcher = new MutationObserver(() => look() && watcher.disconnect());
    watcher.observe(day, { childList: true, subtree: true });
  };

  let drag = null;
  document.addEventListener("pointerdown", (event) => {
    const block = event.target.closest?.(".pic-block");
    if (!block || !laneOf(block) || event.pointerType === "touch" || event.button !== 0) return;
    drag = { block, x: event.clientX, y: event.clientY, isFar: false };
  });
  document.addEventListener("pointermove", (event) => {
    if (!drag || drag.isFar) return;
    drag.isFar = Math.hypot(event.clientX - drag.x, event.clientY - drag.y) > FAR_ENOUGH;
    drag.block.classList.toggle("dragged", drag.isFar);
  });
  document.addEventListener("pointercancel", () => {
    drag?.block.classList.remove("dragged");
    drag = null;
  });
  document.addEventListener("click", (event) => {
    const from = drag;
    drag = null;
    from?.block.classList.remove("dragged");
    if (from?.isFar) {
      const under = document.elementFromPoint(event.clientX, event.clientY)?.closest(".pic-block");
      if (under && under !== from.block && laneOf(under) === laneOf(from.block)) {
        bringTo(nameOf(from.block), under);
      }
      return;
    }
    const block = event.target.closest(".pic-block");
    if (block) open(block);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches?.(".pic-block")) return;
    event.preventDefault(); // or the same key would close the day that just took the focus
    open(event.target);
  });
})();
