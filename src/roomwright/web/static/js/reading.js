// Beside each field for a length: how what was typed is read, or why it can't be. The server reads
// it again, with the twin of the same reader. A field with data-length="said" takes 8 6 as feet and
// inches; one with "side" asks what a small bare number means, with a button for each answer.
import { parse, tape } from "../tape.js";

const SMALL = 36; // inches: no side of a room and no ceiling is that small

export function showReadings(root) {
  root.addEventListener("input", (event) => {
    if (event.target.dataset.length !== undefined) show(event.target);
  });
}

/** Read a field's words as the server will. */
function read(text, how) {
  const two = how && /^([0-9]{1,2})\s+([0-9]{1,2})$/.exec(text);
  return parse(two && Number(two[2]) < 12 ? `${two[1]}'-${two[2]}"` : text);
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
  const how = field.dataset.length;
  note.replaceChildren();
  note.classList.remove("bad");
  if (!text) return;
  if (how === "side" && /^[0-9]{1,2}(\.[0-9]{0,3})?$/.test(text) && Number(text) > 0 && Number(text) < SMALL) {
    ask(field, note, text);
    return;
  }
  try {
    const said = tape(read(text, how), 64);
    note.textContent = said === text ? "" : `reads ${said}`;
  } catch (error) {
    note.textContent = error.message;
    note.classList.add("bad");
  }
}

/** Inches or feet: the answer is typed for you. */
function ask(field, note, bare) {
  note.append(`${bare} what?`);
  for (const [unit, mark] of [["ft", "'"], ["in.", '"']]) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = `${bare} ${unit}`;
    button.addEventListener("click", () => {
      field.value = `${bare}${mark}`;
      field.dispatchEvent(new Event("input", { bubbles: true }));
      field.focus();
    });
    note.append(button);
  }
}
