// Sends what waits in the outbox, oldest first, until the gym's server answered for each id.

import { everything, keep } from "./outbox-store.js";

const WAIT_MS = [1000, 2000, 4000, 8000, 15000, 30000];
const ANSWER_WITHIN_MS = 8000;
const AT_ONCE = 50;

let timer = 0;
let failures = 0;
let isSending = false;

function isDue(entry) {
  return (entry.state === "phone" || entry.state === "sent") && entry.holdUntil <= Date.now();
}

async function posted(url, entries) {
  const response = await fetch(url, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ sets: entries.map((entry) => entry.fact) }),
    signal: AbortSignal.timeout(ANSWER_WITHIN_MS),
  });
  if (!response.ok) throw new Error("answer " + response.status);
  return (await response.json()).answers;
}

async function answered(entries, answers) {
  const byId = new Map(answers.map((answer) => [answer.id, answer]));
  for (const entry of entries) {
    const answer = byId.get(entry.id);
    if (!answer) continue;
    await keep({ ...entry, state: answer.state, why: answer.why || "" });
  }
}

async function sendDue(card, url, changed) {
  const due = (await everything(card)).filter(isDue).slice(0, AT_ONCE);
  if (!due.length) return;
  for (const entry of due) await keep({ ...entry, state: "sent" });
  await changed();
  try {
    await answered(due, await posted(url, due));
    failures = 0;
  } catch (trouble) {
    for (const entry of due) await keep({ ...entry, state: "phone" });
    failures += 1;
  }
  await changed();
}

async function nextWait(card) {
  const waiting = (await everything(card)).filter((entry) => entry.state === "phone");
  if (!waiting.length) return null;
  const held = Math.max(0, Math.min(...waiting.map((entry) => entry.holdUntil)) - Date.now());
  return failures ? WAIT_MS[Math.min(failures, WAIT_MS.length) - 1] : held + 50;
}

// one sender at a time; call as often as you like
export async function send(card, url, changed) {
  if (isSending) return;
  isSending = true;
  clearTimeout(timer);
  try {
    await sendDue(card, url, changed);
  } finally {
    isSending = false;
    const wait = await nextWait(card);
    if (wait !== null) timer = setTimeout(() => send(card, url, changed), wait);
  }
}

export function sendAgainWhenOnline(card, url, changed) {
  const again = () => {
    failures = 0;
    send(card, url, changed);
  };
  window.addEventListener("online", again);
  document.addEventListener("visibilitychange", () => document.hidden || again());
}
