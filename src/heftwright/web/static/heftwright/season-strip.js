/* A tap (or Enter) on a block of the season strip opens that day in the week sheet, with its menu. */
(() => {
  const placeOf = (block) => block.id.match(/l\d+-b\d+$/)?.[0];

  const dayOf = (block) => {
    const { week, slot } = block.dataset;
    const where = slot ? `data-after="${week}-${slot}"` : `data-block="${placeOf(block)}"`;
    return document.querySelector(`details[${where}]`);
  };

  const open = (block) => {
    const day = dayOf(block);
    if (!day) return;
    day.open = true;
    day.scrollIntoView({ block: "center" });
    day.querySelector("summary").focus({ preventScroll: true });
    day.querySelector(".choices-place > a")?.click();
  };

  document.addEventListener("click", (event) => {
    const block = event.target.closest(".pic-block");
    if (block) open(block);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches?.(".pic-block")) return;
    event.preventDefault(); // or the same key would close the day that just took the focus
    open(event.target);
  });
})();
