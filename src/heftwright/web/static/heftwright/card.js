// The athlete's card: one tap logs the set that is next.

import { askWhatChanged } from "./card-changed.js";
import { ASK_MS, askWhatWasLeft, isAskedAbout } from "./card-left.js";
import { tellPain } from "./card-pain.js";
import { watchPlan } from "./card-plan.js";
import { showReadiness } from "./card-ready.js";
import { keepShell } from "./card-shell.js";
import { isEarly, showDay, showSets, standing } from "./card-sets.js";
import { UNDO_MS, showUndo } from "./card-undo.js";
import { newId } from "./fresh-id.js";
import { send, sendAgainWhenOnline } from "./outbox-send.js";
import { everything, forget, keep } from "./outbox-store.js";
import { showOutbox, showStoreTrouble } from "./outbox-view.js";

const place = document.getElementById("card-log");
const asked = place ? place.dataset : {};
const loads = place ? asked.loads.split(" ") : [];
const reps = place ? asked.reps.split(" ") : [];
const attemptSet = place ? Number(asked.attempt) : 0;
const card = asked.logUrl + " " + asked.class;
const loggedAtGym = place ? JSON.parse(asked.logged) : [];
let isBusy = false;

async function show() {
  const entries = await everything(card);
  const sets = standing(loggedAtGym, entries, Number(asked.sets));
  showSets(sets, { loads, reps, unit: asked.unit, attemptSet });
  showDay(asked);
  showOutbox(entries);
  showUndo(entries, takeBack);
  askWhatWasLeft(entries, show);
  return { entries, next: sets.next };
}

async function takeBack(entry) {
  await forget(entry.id);
  await show();
}

function factOf(setNumber, outcome, changes) {
  return {
    id: newId(),
    class_key: asked.class,
    set_number: setNumber,
    load: loads[setNumber - 1],
    unit: asked.unit,
    reps_done: outcome === "done" ? Number(reps[setNumber - 1]) : 0,
    outcome,
    reps_in_reserve: null,
    plan_version: Number(asked.plan),
    logged_at: new Date().toISOString(),
    is_max_attempt: attemptSet > 0 && setNumber >= attemptSet,
    ...changes,
  };
}

async function log(outcome, changes = {}) {
  if (isBusy || isEarly(asked)) return;
  isBusy = true;
  try {
    const { next } = await show();
    const fact = factOf(next, outcome, changes);
    const now = Date.now();
    const holdUntil = now + (isAskedAbout(fact) ? ASK_MS : UNDO_MS);
    await keep({ id: fact.id, card, fact, state: "phone", order: now, holdUntil });
    await show();
    send(card, asked.logUrl, show);
  } catch {
    showStoreTrouble();
  } finally {
    isBusy = false;
  }
}

function start() {
  document.getElementById("log-done").addEventListener("click", () => log("done"));
  document.getElementById("log-missed").addEventListener("click", () => log("missed"));
  askWhatChanged(log);
  tellPain();
  watchPlan(asked.planUrl, asked.plan);
  keepShell(asked.workerUrl);
  sendAgainWhenOnline(card, asked.logUrl, show);
  show().then(() => send(card, asked.logUrl, show), showStoreTrouble);
}

if (place) start();
showReadiness();
