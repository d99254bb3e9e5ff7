// "Changed …": reps, load and what was left, picked with one thumb.

export function askWhatChanged(log) {
  const sheet = document.getElementById("changed-sheet");
  const form = document.getElementById("changed-form");
  document.getElementById("log-changed").addEventListener("click", () => {
    form.reset();
    sheet.showModal();
  });
  sheet.addEventListener("close", () => {
    if (sheet.returnValue !== "keep") return;
    const picked = new FormData(form);
    const reserve = picked.get("reserve");
    log("changed", {
      reps_done: Number(picked.get("reps")),
      load: picked.get("load"),
      reps_in_reserve: reserve === null ? null : Number(reserve),
    });
    sheet.returnValue = "";
  });
}
