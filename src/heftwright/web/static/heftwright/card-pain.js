// A pain note goes straight to the gym's server; it is never kept on the phone.

async function told(form) {
  const response = await fetch(form.action, {
    method: "POST",
    body: new FormData(form),
    signal: AbortSignal.timeout(8000),
  });
  if (response.status === 422) return (await response.json()).why;
  if (!response.ok) throw new Error("answer " + response.status);
  return "";
}

export function tellPain() {
  const sheet = document.getElementById("pain-sheet");
  const form = document.getElementById("pain-form");
  const answer = document.getElementById("pain-answer");
  const send = form.querySelector("[type=submit]");
  document.getElementById("open-pain").addEventListener("click", () => {
    form.reset();
    answer.textContent = "";
    send.disabled = false;
    sheet.showModal();
  });
  document.getElementById("pain-leave").addEventListener("click", () => sheet.close());
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    send.disabled = true; // a second tap would be a second report
    try {
      const why = await told(form);
      answer.textContent = why || "Your coach can see it now. Go and say it, too.";
      send.disabled = !why;
    } catch {
      send.disabled = false;
      answer.textContent = "No signal: this was NOT sent and is not kept. Tell your coach now.";
    }
  });
}
