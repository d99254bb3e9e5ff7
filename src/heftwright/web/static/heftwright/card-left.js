// After the day's top set was made: how much was left? One tap more, or none: the set is logged
// either way. It waits on the phone a little longer for the answer.

import { UNDO_MS } from "./card-undo.js";
import { keep } from "./outbox-store.js";

export const ASK_MS = 40000;

export function isAskedAbout(fact) {
  return fact.is_max_attempt && fact.outcome === "done" && fact.reps_in_reserve === null;
}

function waiting(entries) {
  return entries.findLast(
    (entry) =>
      entry.state === "phone" && entry.holdUntil > Date.now() && isAskedAbout(entry.fact),
  );
}

export function askWhatWasLeft(entries, changed) {
  const box = document.getElementById("left-in-you");
  const entry = waiting(entries);
  box.hidden = !entry;
  box.onclick = async (event) => {
    const pick = event.target.closest("button");
    if (!pick || !entry) return;
    const fact = { ...entry.fact, reps_in_reserve: Number(pick.value) };
    await keep({ ...entry, fact, holdUntil: Date.now() + UNDO_MS });
    await changed();
  };
}
