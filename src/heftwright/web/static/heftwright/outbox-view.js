// Says openly where every logged set is: on this phone, sent, the gym has it.

const TROUBLE = {
  conflict: "The gym already has this set with other figures. Both are kept; your coach decides.",
  refused: "The gym's server refused a set: ",
};

function count(entries, ...states) {
  return String(entries.filter((entry) => states.includes(entry.state)).length);
}

export function showOutbox(entries) {
  document.getElementById("on-phone").textContent = count(entries, "phone");
  document.getElementById("on-way").textContent = count(entries, "sent");
  document.getElementById("at-gym").textContent = count(entries, "gym", "conflict");
  const troubled = entries.find((entry) => entry.state in TROUBLE);
  const box = document.getElementById("outbox-trouble");
  box.hidden = !troubled;
  if (troubled) {
    document.getElementById("outbox-trouble-words").textContent =
      TROUBLE[troubled.state] + (troubled.state === "refused" ? troubled.why : "");
  }
}

export function showStoreTrouble() {
  document.getElementById("outbox-trouble").hidden = false;
  document.getElementById("outbox-trouble-words").textContent =
    "This phone could not save the set. Say it to your coach, and keep this page open.";
}
