// What fits: the search runs on the server; the page tells how far it is and can stop it.
// Without script the form asks for the answer and waits for it.

const form = document.querySelector("[data-search]");
const waiting = document.querySelector("[data-waiting]");

async function follow(answer) {
  const bar = waiting.querySelector("progress");
  const words = waiting.querySelector("[data-doing]");
  let told = answer;
  waiting.querySelector("[data-stop]").onclick = async (event) => {
    event.target.disabled = true;
    words.textContent = "Stopping …";
    await fetch(`${answer.follow}/stop`, { method: "POST", headers: { accept: "application/json" } });
  };
  while (!told.done) {
    bar.value = told.share;
    words.textContent = told.at ? `Looking: ${told.at} …` : "Looking …";
    await new Promise((go) => setTimeout(go, 200));
    const response = await fetch(answer.follow, { headers: { accept: "application/json" } });
    if (!response.ok) throw new Error("the search is gone");
    told = await response.json();
  }
  location.assign(told.goto);
}

if (form && waiting) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const button = form.querySelector("button.main");
    button.disabled = true;
    waiting.hidden = false;
    waiting.scrollIntoView({ block: "nearest" });
    try {
      const response = await fetch(form.dataset.search, {
        method: "POST", body: new FormData(form), headers: { accept: "application/json" },
      });
      if (!response.ok) throw new Error("refused");
      await follow(await response.json());
    } catch {
      waiting.hidden = true;
      button.disabled = false;
      form.submit(); // the server says in words what is wrong, or answers without progress
    }
  });
}
