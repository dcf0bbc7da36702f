// Walls in words: shown as they are typed, and written as corners are tapped. What is tapped becomes
// words in the same field as what is typed; the server reads both.
import { Under, startWords, wallWords } from "./draw-trace.js";

const WAIT = 150; // ms after the last key until the walls are asked for
const NEAR = 14; // px: a tap so near the first corner closes

export class Chain {
  constructor(root, view) {
    this.root = root;
    this.view = view;
    this.at = root.dataset.draw;
    this.form = root.querySelector("form[data-walls]");
    this.end = null; // where the chain ends [in]
    this.first = null;
    this.form.addEventListener("input", (e) => { if (["walls", "start"].includes(e.target.name)) this.later(); });
    const { walls, start } = this.form.elements;
    if (walls.value.trim() || start.value.trim()) this.ask();
  }

  /** A corner was tapped; true once the chain is closed. */
  corner(p) {
    const { walls, start } = this.form.elements;
    const marks = Under.marks(this.view.svg);
    if (!walls.value.trim() && !this.began) {
      start.value = startWords(p, marks);
      this.began = true;
      this.end = p;
      this.view.say("The first corner is set. Tap the next.");
      this.later(0);
      return false;
    }
    if (this.first && Math.hypot(p.x - this.first.x, p.y - this.first.y) * this.view.scale < NEAR) {
      this.write("close");
      this.view.say("Closed. Check the lengths, then make the room.");
      return true;
    }
    const square = this.root.querySelector("[data-square]")?.checked ?? true;
    const said = wallWords(this.end ?? { x: 0, y: 0 }, p, square, marks);
    if (said) this.write(said.words);
    return false;
  }

  write(words) {
    const { walls } = this.form.elements;
    const was = walls.value.trim().replace(/[,;]$/, "");
    walls.value = was ? `${was}, ${words}` : words;
    walls.dispatchEvent(new Event("input", { bubbles: true }));
    this.later(0);
  }

  /** Take the last wall back, or the start. */
  back() {
    const { walls, start } = this.form.elements;
    const parts = walls.value.split(/[,;\n]/).map((w) => w.trim()).filter(Boolean);
    if (parts.length) {
      parts.pop();
      walls.value = parts.join(", ");
    } else {
      start.value = "";
      this.began = false;
      this.end = null;
    }
    walls.dispatchEvent(new Event("input", { bubbles: true }));
    this.later(0);
  }

  later(wait = WAIT) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.ask(), wait);
  }

  async ask() {
    const { walls, start } = this.form.elements;
    const query = new URLSearchParams({ walls: walls.value, start: start.value });
    this.last?.abort();
    this.last = new AbortController();
    let said;
    try {
      const response = await fetch(`${this.at}/try?${query}`, { signal: this.last.signal, headers: { Accept: "application/json" } });
      said = await response.json();
    } catch { return; }
    this.tell(said);
  }

  tell(said) {
    const box = this.root.querySelector("[data-chain]");
    box.replaceChildren();
    box.classList.toggle("bad", Boolean(said.trouble));
    for (const [words, tag] of [[said.trouble, "p"], [said.read, "p"], [said.said, "strong"]]) {
      if (!words) continue;
      const line = document.createElement(tag);
      line.textContent = words;
      box.append(line);
    }
    if (said.trouble) return;
    const chain = (said.points ?? []).map(([x, y]) => ({ x, y }));
    this.first = chain[0];
    this.end = chain.at(-1) ?? null;
    this.view.paint({ chain });
  }
}
