// A set waits on the phone for a while before it is sent, so that a wrong tap leaves no trace.

export const UNDO_MS = 12000;
let ticking = 0;

function lastHeld(entries) {
  const held = entries.filter((entry) => entry.state === "phone" && entry.holdUntil > Date.now());
  return held.length ? held[held.length - 1] : null;
}

export function showUndo(entries, takeBack) {
  clearInterval(ticking);
  const button = document.getElementById("log-undo");
  const entry = lastHeld(entries);
  const show = () => {
    const left = entry ? Math.ceil((entry.holdUntil - Date.now()) / 1000) : 0;
    button.disabled = left <= 0;
    button.textContent = left > 0 ? "Undo " + left + " s" : "Undo";
    if (left <= 0) clearInterval(ticking);
  };
  button.onclick = entry ? () => takeBack(entry) : null;
  show();
  if (entry) ticking = setInterval(show, 500);
}
