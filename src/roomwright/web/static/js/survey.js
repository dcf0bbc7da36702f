// The Tape page: what was understood is read back while it is typed or dictated, and Enter adds it.
// Without script the form does the same with one press of its button.

const WAIT = 250;

for (const form of document.querySelectorAll("form[data-echo]")) listen(form);

function listen(form) {
  const field = form.elements.namedItem("text");
  const heard = form.querySelector("[data-heard]");
  let timer = 0;
  let asked = 0;
  form.closest(".taping").classList.add("live"); // shows what only script can do

  field.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(ask, WAIT);
  });
  field.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.shiftKey || event.isComposing) return;
    event.preventDefault();
    if (field.value.trim()) form.requestSubmit(document.getElementById("add"));
  });
  form.addEventListener("kept", () => { field.value = ""; });
  if (field.value.trim()) ask(); // a draft that this device had kept

  async function ask() {
    asked += 1;
    const mine = asked;
    if (!field.value.trim()) { heard.replaceChildren(); return; }
    try {
      const response = await fetch(form.dataset.echo, {
        method: "POST",
        headers: { "Content-Type": "application/json", Accept: "application/json" },
        body: JSON.stringify({ text: field.value }),
      });
      const said = await response.json();
      if (mine === asked && response.ok) show(said);
    } catch { /* no signal: what was typed stays, and is read when it is sent */ }
  }

  function show(said) {
    const list = document.createElement("ul");
    for (const text of said.understood) {
      const item = document.createElement("li");
      item.textContent = text;
      list.append(item);
    }
    const wrong = document.createElement("p");
    wrong.className = "bad";
    wrong.textContent = said.wrong;
    heard.replaceChildren(...(said.wrong ? [wrong] : [list]));
  }
}
