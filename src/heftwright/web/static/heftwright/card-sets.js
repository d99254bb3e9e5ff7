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

export function showSets({ all, next, isOver }, { loads, reps, unit, attemptSet }) {
  const dots = document.getElementById("set-dots");
  dots.replaceChildren(
    ...all.map((outcome) => {
      const dot = document.createElement("i");
      if (outcome) dot.className = outcome;
      return dot;
    }),
  );
  document.querySelectorAll(".work-up-steps li").forEach((step, index) => {
    step.classList.toggle("done", Boolean(all[index]));
    if (index === next - 1) step.setAttribute("aria-current", "step");
    else step.removeAttribute("aria-current");
  });
  document.getElementById("set-words").textContent = isOver
    ? "All " + all.length + " sets logged"
    : (next === attemptSet ? "Top set" : "Set " + next + " of " + all.length) +
      ": " + loads[next - 1] + "\u00a0" + unit + "\u00a0×\u00a0" + reps[next - 1];
  if (!isOver) {
    pickFirst("load", loads[next - 1]);
    pickFirst("reps", reps[next - 1]);
  }
  ["log-done", "log-missed", "log-changed"].forEach((id) => {
    document.getElementById(id).disabled = isOver;
  });
}

// a card that was opened the evening before, signal or not, takes sets from midnight on
export function isEarly({ day, isToday }) {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  const today = now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  return isToday !== "yes" && today < day;
}

export function showDay(asked) {
  const early = isEarly(asked);
  document.getElementById("not-today").hidden = !early;
  if (!early) return;
  document.getElementById("set-words").textContent = "Not today";
  ["log-done", "log-missed", "log-changed"].forEach((id) => {
    document.getElementById(id).disabled = true;
  });
}

// "Changed …" starts from load and reps of the set that is next, also after its form is reset
function pickFirst(name, value) {
  document.querySelectorAll("#changed-form [name=" + name + "]").forEach((choice) => {
    choice.defaultChecked = choice.value === value;
  });
}
