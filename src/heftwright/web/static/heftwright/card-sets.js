// Which set is next, and what the row of sets looks like.

// the gym's facts first, this phone's over them: a set stands as it was logged last
export function standing(loggedAtGym, entries, sets) {
  const outcomes = new Map(loggedAtGym.map((set) => [set.set_number, set.outcome]));
  entries
    .filter((entry) => entry.state !== "refused")
    .forEach((entry) => outcomes.set(entry.fact.set_number, entry.fact.outcome));
  const all = Array.from({ length: sets }, (_, index) => outcomes.get(index + 1) || "");
  const next = all.indexOf("") + 1;
  return { all, next: next || sets + 1, isOver: next === 0 };
}

export function showSets({ all, next, isOver }, loads, unit) {
  const dots = document.getElementById("set-dots");
  dots.replaceChildren(
    ...all.map((outcome) => {
      const dot = document.createElement("i");
      if (outcome) dot.className = outcome;
      return dot;
    }),
  );
  document.getElementById("set-words").textContent = isOver
    ? "All " + all.length + " sets logged"
    : "Set " + next + " of " + all.length + ": " + loads[next - 1] + "\u00a0" + unit;
  if (!isOver) pickLoad(loads[next - 1]);
  ["log-done", "log-missed", "log-changed"].forEach((id) => {
    document.getElementById(id).disabled = isOver;
  });
}

// "Changed …" starts from the load of the set that is next, also after its form is reset
function pickLoad(load) {
  document.querySelectorAll("#changed-form [name=load]").forEach((choice) => {
    choice.defaultChecked = choice.value === load;
  });
}
