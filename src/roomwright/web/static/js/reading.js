// Beside each field for a length: how what was typed is read, or why it can't be. The server reads
// it again, with the twin of the same reader.
import { parse, tape } from "../tape.js";

export function showReadings(root) {
  root.addEventListener("input", (event) => {
    if (event.target.dataset.length !== undefined) show(event.target);
  });
}

function show(field) {
  let note = field.nextElementSibling;
  if (!note?.classList.contains("reading")) {
    note = document.createElement("span");
    note.className = "reading";
    note.setAttribute("role", "status");
    field.after(note);
  }
  const text = field.value.trim();
  let words = "";
  let wrong = false;
  if (text) {
    try {
      const read = tape(parse(text), 64);
      words = read === text ? "" : `reads ${read}`;
    } catch (error) {
      words = error.message;
      wrong = true;
    }
  }
  note.textContent = words;
  note.classList.toggle("bad", wrong);
}
