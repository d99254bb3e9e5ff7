// The card's worker: the newest page when there is signal, the last one kept when there is none.
// It keeps pages and looks only. Logged sets live in the outbox; health notes live nowhere here.

const SHELF = "heftwright-card-1";

self.addEventListener("install", () => self.skipWaiting());

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      const names = await caches.keys();
      await Promise.all(names.filter((name) => name !== SHELF).map((name) => caches.delete(name)));
      await self.clients.claim();
      const open = await self.clients.matchAll({ type: "window" });
      // the page that installed this worker came before it: fetch it again for the shelf
      await Promise.all(open.map((client) => shelved(new Request(client.url))));
    })(),
  );
});

async function shelved(request) {
  const answer = await fetch(request);
  if (answer.ok) {
    const shelf = await caches.open(SHELF);
    await shelf.put(request, answer.clone());
  }
  return answer;
}

async function newestOrKept(request) {
  try {
    return await shelved(request);
  } catch (noSignal) {
    const kept = await caches.match(request);
    if (kept) return kept;
    throw noSignal;
  }
}

function isLook(request) {
  return ["style", "script", "font", "image"].includes(request.destination);
}

self.addEventListener("fetch", (event) => {
  const request = event.request;
  if (request.method !== "GET") return;
  if (request.mode === "navigate" || isLook(request)) event.respondWith(newestOrKept(request));
});
