// Where the browser allows it a worker keeps this page for reloading without signal;
// where it does not (plain http on the gym's network), the page says so.

export async function keepShell(workerUrl) {
  const warn = () => {
    document.getElementById("keep-open").hidden = false;
  };
  if (!window.isSecureContext || !("serviceWorker" in navigator)) return warn();
  try {
    await navigator.serviceWorker.register(workerUrl);
  } catch {
    warn();
  }
}
