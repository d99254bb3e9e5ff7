// Sleep, soreness and the like, as the athlete said: asked for anew each time the card is opened and
// shown only while it is; a health note never stays in the phone's storage.

export async function showReadiness() {
  const place = document.getElementById("card-ready");
  try {
    const response = await fetch(place.dataset.url, {
      cache: "no-store",
      signal: AbortSignal.timeout(8000),
    });
    if (!response.ok) return;
    const { words } = await response.json();
    const list = document.getElementById("card-ready-words");
    words.forEach((text) => {
      const row = document.createElement("li");
      row.textContent = text;
      list.append(row);
    });
    place.hidden = words.length === 0;
  } catch {
    // no signal: nothing is shown, the work stands
  }
}
