// When the plan changed while this page was open: say the difference, never swap in silence.

const ASK_EVERY_MS = 30000;

async function ask(url, shownPlan) {
  try {
    const response = await fetch(url + "?have=" + shownPlan, { signal: AbortSignal.timeout(8000) });
    if (response.status !== 200) return;
    const news = await response.json();
    document.getElementById("plan-news-words").textContent = news.words;
    document.getElementById("plan-news").hidden = false;
  } catch {
    // no signal: the sheet on the screen stands, with its version and age
  }
}

export function watchPlan(url, shownPlan) {
  document
    .getElementById("plan-news-take")
    .addEventListener("click", () => window.location.reload());
  setInterval(() => document.hidden || ask(url, shownPlan), ASK_EVERY_MS);
  ask(url, shownPlan);
}
