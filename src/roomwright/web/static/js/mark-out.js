// Steps that are ticked stay ticked on this device, also when the page is opened again.

const key = `mark-out ${location.pathname}${location.search.replace(/&?words=\w+/, "")}`;
const boxes = [...document.querySelectorAll("[data-steps] input")];
const said = document.querySelector("[data-ticked]");

// A tick belongs to the step as it was worded: if the step changes, it is to be done again.
const names = boxes.map((box) => box.dataset.step);

function kept() {
  try { return new Set(JSON.parse(localStorage.getItem(key) || "[]")); } catch { return new Set(); }
}

const before = kept();
boxes.forEach((box, i) => { box.checked = before.has(names[i]); });
for (const box of boxes) {
  box.addEventListener("change", () => {
    const done = names.filter((_, i) => boxes[i].checked);
    try { localStorage.setItem(key, JSON.stringify(done)); } catch { /* the tick still shows */ }
    if (said) said.textContent = `${done.length} of ${boxes.length} steps done`;
  });
}
