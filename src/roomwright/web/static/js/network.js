// Pointing at two activities: tap the one that comes first, then the one that waits. It only fills
// the two lists of the form; the form writes. Without script the lists do the same.

const form = document.getElementById("link");
const drawing = document.getElementById("drawing");
const button = form?.querySelector("[data-point]");
const told = form?.querySelector("[data-told]");
let first = "";

/** Every handle of an activity: on the drawing and in the list. */
function handles(id) {
  return document.querySelectorAll(`[data-activity="${CSS.escape(id)}"]`);
}

function mark(id, name) {
  for (const old of document.querySelectorAll(`a.${name}`)) old.classList.remove(name);
  for (const one of id ? handles(id) : []) one.classList.add(name);
}

function point(on) {
  button.setAttribute("aria-pressed", String(on));
  drawing?.classList.toggle("pointing", on);
  first = "";
  mark("", "first");
  mark("", "second");
  told.textContent = on ? "Tap the one that comes first." : "";
}

function taken(id) {
  if (!first) {
    first = id;
    form.elements.namedItem("before").value = id;
    mark(id, "first");
    told.textContent = "Now tap the one that waits for it.";
    return;
  }
  if (id === first) return;
  form.elements.namedItem("after").value = id;
  mark(id, "second");
  button.setAttribute("aria-pressed", "false");
  drawing?.classList.remove("pointing");
  first = "";
  told.textContent = "Press Link them, or change how below.";
  form.querySelector("button.main").focus();
  form.scrollIntoView({ block: "center" });
}

if (form && button) {
  form.classList.add("live"); // shows what only script can do
  button.addEventListener("click", () => {
    const on = button.getAttribute("aria-pressed") !== "true";
    point(on);
    if (on) drawing?.scrollIntoView({ block: "start" });
  });
  document.addEventListener("click", (event) => {
    if (button.getAttribute("aria-pressed") !== "true") return;
    const one = event.target.closest?.("[data-activity]");
    if (!one) return;
    event.preventDefault();
    taken(one.dataset.activity);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && button.getAttribute("aria-pressed") === "true") point(false);
  });
  // the lists show on the drawing what is chosen in them
  for (const [name, role] of [["before", "first"], ["after", "second"]]) {
    form.elements.namedItem(name).addEventListener("change", (e) => mark(e.target.value, role));
  }
}

// the links of the activity under the pointer, or with the focus, show
let lit = [];
function light(id) {
  for (const one of lit) one.classList.remove("on");
  lit = id ? [...drawing.querySelectorAll(
    `[data-before="${CSS.escape(id)}"], [data-after="${CSS.escape(id)}"]`)] : [];
  for (const one of lit) one.classList.add("on");
}
drawing?.addEventListener("pointerover", (event) => {
  light(event.target.closest?.("[data-activity]")?.dataset.activity ?? "");
});

// the drawing opens where today is, or at what is picked
const held = drawing?.querySelector(".held");
const there = drawing?.querySelector("a[aria-current] .body") ?? drawing?.querySelector(".now");
if (held && there) {
  const box = there.getBoundingClientRect();
  const frame = held.getBoundingClientRect();
  held.scrollLeft += box.left - frame.left - frame.width / 3;
  if (there.closest("a")) held.scrollTop += box.top - frame.top - frame.height / 2;
}

// lane names and dates stay in sight while the drawing is scrolled
const svg = drawing?.querySelector("svg");
const heads = svg?.querySelector(".heads");
const dates = svg?.querySelector(".dates");
let asked = 0;
held?.addEventListener("scroll", () => {
  asked ||= requestAnimationFrame(() => {
    asked = 0;
    heads?.setAttribute("transform", `translate(${held.scrollLeft} 0)`);
    dates?.setAttribute("transform", `translate(0 ${held.scrollTop})`);
  });
});
