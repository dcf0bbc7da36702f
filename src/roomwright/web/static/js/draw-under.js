// The scanned plan under a level: sent, its two known points tapped, shown more or less strongly.
import { Under } from "./draw-trace.js";

export class Scan {
  constructor(root, view) {
    this.root = root;
    this.view = view;
    this.taps = [];
    this.shows();
    root.querySelector("form[data-scan]")?.addEventListener("submit", (event) => this.send(event));
  }

  /** A known point was tapped; true once both are. */
  point(p) {
    const form = this.root.querySelector("form[data-points]");
    const under = Under.of(this.view.svg);
    if (!form || !under) return false;
    const { u, v } = under.pixel(p);
    const second = this.taps.length === 1;
    const [x, y] = second ? ["bx", "by"] : ["ax", "ay"];
    form.elements[x].value = u.toFixed(1);
    form.elements[y].value = v.toFixed(1);
    form.dispatchEvent(new Event("input", { bubbles: true }));
    this.taps = second ? [] : [p];
    this.view.paint({ taps: this.taps });
    if (!second) {
      this.view.say("First point set. Now the second.");
      return false;
    }
    form.closest("details").open = true;
    form.elements.distance.focus();
    this.view.say("Both points are set. Now type how far apart they are.");
    return true;
  }

  /** Send the file from here, so that a refusal is told beside the field and the drawing stays. */
  async send(event) {
    event.preventDefault();
    const form = event.target;
    const button = form.querySelector("button");
    button.disabled = true;
    this.tell(form, "");
    this.view.say("Sending the plan and drawing it anew.");
    try {
      const response = await fetch(form.action, { method: "POST", body: new FormData(form), headers: { Accept: "application/json" } });
      const said = await response.json();
      if (response.ok) { location.assign(said.goto); return; }
      this.tell(form, said.message ?? "The plan was not taken.", said.field);
    } catch {
      this.tell(form, "No answer: the plan was not sent. It is still chosen here; send it again.");
    }
    this.view.say("");
    button.disabled = false;
  }

  tell(form, words, name = "plan") {
    for (const each of form.querySelectorAll(".error")) each.remove();
    for (const each of form.elements) each.removeAttribute("aria-invalid");
    if (!words) return;
    const field = form.elements.namedItem(name) ?? form.elements.namedItem("plan");
    const error = document.createElement("span");
    error.className = "error";
    error.id = `${field.id}-error`;
    error.setAttribute("role", "alert");
    error.textContent = words;
    field.after(error);
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-describedby", error.id);
    field.focus();
  }

  /** The plan under the level shows more or less strongly at once. */
  shows() {
    const range = this.root.querySelector("form[data-shows] input[type=range]");
    range?.addEventListener("input", () => {
      for (const image of this.root.querySelectorAll("image[data-under]")) {
        image.setAttribute("opacity", String(range.value / 100));
        image.setAttribute("visibility", Number(range.value) ? "visible" : "hidden");
      }
    });
  }
}
