// Chances: while the simulation runs the page asks how far it is, and shows the answer once it is there.
// Nothing is said aloud until then. Without script, "Look again" does the same.

const box = document.querySelector("[data-follow]");

async function follow() {
  const bar = box.querySelector("progress");
  for (;;) {
    await new Promise((go) => setTimeout(go, 500));
    let told;
    try {
      const response = await fetch(box.dataset.follow, { headers: { accept: "application/json" } });
      if (!response.ok) return;
      told = await response.json();
    } catch { continue; } // no signal: ask again
    if (told.done) { location.replace(location.href); return; }
    bar.value = told.share;
  }
}

if (box) follow();
