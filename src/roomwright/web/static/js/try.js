// Try a room: the answer follows the form while it is typed in.

const WAIT = 150;

function follow(form) {
  let timer = 0;
  let last = null;
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(ask, WAIT);
  });

  const fields = [...form.elements].filter((f) => f.type !== "hidden" && f.tagName !== "BUTTON");
  if (fields.some((f) => f.tagName !== "FIELDSET" && f.tagName !== "SELECT" && f.value !== f.defaultValue)) ask(); // typed before this was here

  async function ask() {
    const query = new URLSearchParams([...new FormData(form)].filter(([name, value]) => value && !name.startsWith("_")));
    const url = `/try?${query}`;
    last?.abort();
    last = new AbortController();
    try {
      const response = await fetch(url, { signal: last.signal });
      const fresh = new DOMParser().parseFromString(await response.text(), "text/html");
      const answer = fresh.getElementById("answer");
      if (!answer) return;
      document.getElementById("answer").innerHTML = answer.innerHTML;
      history.replaceState(null, "", url);
    } catch { /* no signal, or typed on: what was typed stands in the form */ }
  }
}

const form = document.querySelector("[data-try]");
if (form) follow(form);
