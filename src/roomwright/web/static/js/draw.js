// Drawing a level: walls shown as they are typed, corners tapped, things moved by drag or keys.
// What is tapped becomes words in the same field as what is typed; the server reads both.
import { newId, put } from "./outbox.js";
import { Under, wallWords } from "./draw-trace.js";

const WAIT = 150; // ms after the last key until the walls are asked for
const STEP = 1; // inches an arrow key moves
const FINE = 0.25; // with shift
const FAR = 12; // with control, for the cross
const SETTLE = 700;
const SNAP = 0.25;
const SAYS = {
  choose: "Tap a thing to choose it; drag it, or press the arrow keys.",
  trace: "Tap the corners in turn. Keys: arrows move the cross an inch (Shift a quarter, Control a foot), Enter sets a corner, Backspace takes the last one back.",
  points: "Tap two points whose distance you know, far apart. Keys: arrows move the cross, Enter sets a point.",
};

class Drawing {
  constructor(root) {
    this.root = root;
    this.at = root.dataset.draw;
    this.form = root.querySelector("form[data-walls]");
    this.mode = "choose";
    this.drag = null;
    this.by = null; // how far the chosen thing was nudged and not yet written
    this.cross = null;
    this.end = null; // where the typed chain ends [in]
    this.heading = null;
    root.classList.add("live");
    this.form.addEventListener("input", (e) => { if (["walls", "start"].includes(e.target.name)) this.later(); });
    for (const button of root.querySelectorAll("[data-mode]")) button.addEventListener("click", () => this.turn(button.dataset.mode));
    for (const figure of root.querySelectorAll("[data-drawing]")) {
      figure.addEventListener("pointerdown", (e) => this.down(e));
      figure.addEventListener("pointermove", (e) => this.move(e));
      figure.addEventListener("pointerup", (e) => this.up(e));
      figure.addEventListener("pointercancel", () => this.cancel());
      figure.addEventListener("click", (e) => this.click(e), true);
      figure.addEventListener("keydown", (e) => this.key(e));
      figure.addEventListener("dragstart", (e) => e.preventDefault());
    }
    root.addEventListener("click", (e) => {
      const nudge = e.target.closest("button[data-nudge]");
      if (nudge) this.nudge(...nudge.dataset.nudge.split(" ").map(Number));
    });
    this.zoom = 1;
    for (const button of root.querySelectorAll("[data-zoom]")) button.addEventListener("click", () => this.larger(Number(button.dataset.zoom)));
    window.addEventListener("pagehide", () => this.settle());
    this.shows();
    if (this.form.elements.walls.value.trim() || this.form.elements.start.value.trim()) this.ask();
  }

  get figure() {
    const all = [...this.root.querySelectorAll("[data-drawing]")];
    return all.find((f) => f.offsetParent !== null) ?? all[0];
  }
  get svg() { return this.figure.querySelector("svg"); }
  get scale() { return Number(this.svg.dataset.scale); }
  get held() { return this.figure.querySelector(".thing.held"); }
  say(words) { this.root.querySelector("[data-said]").textContent = words; }

  /** Where in the house a pointer is [in]. */
  inches(event) {
    const { left, top } = this.svg.dataset;
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return { x: Number(left) + p.x / this.scale, y: Number(top) - p.y / this.scale };
  }

  /** Where a place in the house is on the drawing. */
  on(svg, p) {
    const { scale, left, top } = svg.dataset;
    return { x: (p.x - Number(left)) * Number(scale), y: (Number(top) - p.y) * Number(scale) };
  }

  // ------------------------------------------------------------------ modes
  turn(mode) {
    this.mode = mode;
    for (const b of this.root.querySelectorAll("[data-mode]")) b.setAttribute("aria-pressed", String(b.dataset.mode === mode));
    this.root.toggleAttribute("data-tapping", mode !== "choose");
    this.root.querySelector("[data-mode-says]").textContent = SAYS[mode];
    for (const svg of this.root.querySelectorAll("[data-drawing] svg")) {
      svg.setAttribute("tabindex", mode === "choose" ? "-1" : "0");
    }
    this.taps = [];
    if (mode === "choose") {
      this.cross = null;
    } else {
      const { left, top } = this.svg.dataset;
      const box = this.svg.viewBox.baseVal;
      this.cross = this.end && mode === "trace" ? { ...this.end }
        : { x: Math.round(Number(left) + box.width / 2 / this.scale), y: Math.round(Number(top) - box.height / 2 / this.scale) };
      this.svg.focus({ preventScroll: true });
      if (mode === "trace") this.form.closest("details").open = true;
    }
    this.draw();
  }

  /** Show the plan larger or smaller; the middle of what is seen stays in the middle. */
  larger(by) {
    const { figure } = this;
    const was = this.zoom;
    this.zoom = Math.min(16, Math.max(1, was * by));
    const x = (figure.scrollLeft + figure.clientWidth / 2) / was;
    const y = (figure.scrollTop + figure.clientHeight / 2) / was;
    this.fit();
    figure.scrollTo(x * this.zoom - figure.clientWidth / 2, y * this.zoom - figure.clientHeight / 2);
  }

  fit() {
    for (const svg of this.root.querySelectorAll("[data-drawing] svg")) {
      svg.style.width = `${this.zoom * 100}%`;
      svg.style.maxWidth = "none";
      svg.parentElement.classList.toggle("zoomed", this.zoom > 1);
    }
  }

  /** Bring the cross into sight. */
  follow() {
    const { figure, svg } = this;
    const p = this.on(svg, this.cross);
    const k = svg.clientWidth / svg.viewBox.baseVal.width;
    const [x, y] = [p.x * k, p.y * k];
    if (x < figure.scrollLeft + 20 || x > figure.scrollLeft + figure.clientWidth - 20) figure.scrollLeft = x - figure.clientWidth / 2;
    if (y < figure.scrollTop + 20 || y > figure.scrollTop + figure.clientHeight - 20) figure.scrollTop = y - figure.clientHeight / 2;
  }

  tap(p) {
    if (this.mode === "points") this.point(p);
    if (this.mode === "trace") this.corner(p);
  }

  point(p) {
    const form = this.root.querySelector("form[data-points]");
    const under = Under.of(this.svg);
    if (!form || !under) return;
    const { u, v } = under.pixel(p);
    const second = this.taps.length === 1;
    const [x, y] = second ? ["bx", "by"] : ["ax", "ay"];
    form.elements[x].value = u.toFixed(1);
    form.elements[y].value = v.toFixed(1);
    form.dispatchEvent(new Event("input", { bubbles: true }));
    this.taps = second ? [] : [p];
    if (second) {
      this.turn("choose");
      form.closest("details").open = true;
      form.elements.distance.focus();
      this.say("Both points are set. Now type how far apart they are.");
    } else {
      this.say("First point set. Now the second.");
    }
    this.draw();
  }

  corner(p) {
    const { walls, start } = this.form.elements;
    if (!walls.value.trim() && !this.began) {
      start.value = startWords(p);
      this.began = true;
      this.end = p;
      this.heading = null;
      this.say("The first corner is set. Tap the next.");
      this.later(0);
      return;
    }
    const from = this.end ?? { x: 0, y: 0 };
    if (this.first && Math.hypot(p.x - this.first.x, p.y - this.first.y) * this.scale < 14) {
      this.write("close");
      this.say("Closed. Check the lengths, then make the room.");
      this.turn("choose");
      return;
    }
    const square = this.root.querySelector("[data-square]")?.checked ?? true;
    const said = wallWords(from, p, square);
    if (said) this.write(said.words);
  }

  write(words) {
    const { walls } = this.form.elements;
    const was = walls.value.trim().replace(/[,;]$/, "");
    walls.value = was ? `${was}, ${words}` : words;
    walls.dispatchEvent(new Event("input", { bubbles: true }));
    this.later(0);
  }

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

  // --------------------------------------------------------- walls in words
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
    const points = (said.points ?? []).map(([x, y]) => ({ x, y }));
    this.chain = points;
    this.first = points[0];
    this.end = points.at(-1) ?? null;
    this.draw();
  }

  /** Draw the chain, the taps and the cross over both drawings. */
  draw() {
    for (const svg of this.root.querySelectorAll("[data-drawing] svg")) {
      let over = svg.querySelector("[data-tried]");
      if (!over) continue;
      over.replaceChildren();
      const make = (name, attrs) => {
        const made = document.createElementNS(svg.namespaceURI, name);
        for (const [k, v] of Object.entries(attrs)) made.setAttribute(k, v);
        over.append(made);
      };
      const at = (this.chain ?? []).map((p) => this.on(svg, p));
      if (at.length > 1) make("polyline", { points: at.map((p) => `${p.x},${p.y}`).join(" "), fill: "none", stroke: "#0B5563", "stroke-width": 3 });
      for (const p of at) make("circle", { cx: p.x, cy: p.y, r: 5, fill: "#0B5563" });
      for (const tap of this.taps ?? []) {
        const p = this.on(svg, tap);
        make("circle", { cx: p.x, cy: p.y, r: 7, fill: "none", stroke: "#B3400E", "stroke-width": 3 });
      }
      if (this.cross) {
        const p = this.on(svg, this.cross);
        make("path", { d: `M${p.x - 14} ${p.y}h28M${p.x} ${p.y - 14}v28`, class: "cross", "stroke-width": 2, fill: "none" });
      }
    }
  }

  // ------------------------------------------------------------ hands and keys
  down(event) {
    if (event.button !== 0) return;
    if (this.mode !== "choose") { this.pressed = { x: event.clientX, y: event.clientY }; return; }
    const thing = event.target.closest(".thing.held:not(.room, .sketch)");
    if (!thing) return;
    event.preventDefault();
    thing.focus({ preventScroll: true });
    this.settle();
    this.drag = { pointer: event.pointerId, from: this.inches(event), thing, moved: false };
    this.figure.setPointerCapture(event.pointerId);
  }

  move(event) {
    if (!this.drag || event.pointerId !== this.drag.pointer) return;
    const now = this.inches(event);
    const by = { x: snap(now.x - this.drag.from.x), y: snap(now.y - this.drag.from.y) };
    if (!this.drag.moved && Math.hypot(by.x, by.y) * this.scale < 4) return;
    this.drag.moved = true;
    this.by = by;
    this.slide();
  }

  up(event) {
    if (this.mode !== "choose" && this.pressed) {
      const still = Math.hypot(event.clientX - this.pressed.x, event.clientY - this.pressed.y) < 12;
      this.pressed = null;
      if (still) { this.cross = this.inches(event); this.tap(this.cross); this.draw(); }
      return;
    }
    if (!this.drag || event.pointerId !== this.drag.pointer) return;
    const moved = this.drag.moved;
    this.drag = null;
    if (moved) { this.dragged = true; this.settle(); }
  }

  cancel() {
    this.pressed = null;
    if (!this.drag) return;
    this.drag = null;
    this.by = null;
    this.slide();
  }

  click(event) {
    if (this.mode !== "choose" || this.dragged) { event.preventDefault(); event.stopPropagation(); }
    this.dragged = false;
  }

  key(event) {
    if (event.altKey || event.metaKey) return;
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (this.mode !== "choose") {
      if (way) {
        event.preventDefault();
        const step = event.shiftKey ? FINE : event.ctrlKey ? FAR : STEP;
        this.cross = { x: this.cross.x + way[0] * step, y: this.cross.y + way[1] * step };
        this.follow();
        this.draw();
      } else if (event.key === "Enter") { event.preventDefault(); this.tap(this.cross); }
      else if (event.key === "Backspace" && this.mode === "trace") { event.preventDefault(); this.back(); }
      else if (event.key === "Escape") { event.preventDefault(); this.turn("choose"); }
      return;
    }
    const thing = event.target.closest(".thing");
    if (event.key === " " && thing) { event.preventDefault(); thing.dispatchEvent(new MouseEvent("click", { bubbles: true, cancelable: true })); }
    if (!way || event.ctrlKey || !thing?.matches(".held:not(.room, .sketch)")) return;
    event.preventDefault();
    const step = event.shiftKey ? FINE : STEP;
    this.nudge(way[0] * step, way[1] * step);
  }

  nudge(dx, dy) {
    if (!this.held) return;
    this.by = { x: (this.by?.x ?? 0) + dx, y: (this.by?.y ?? 0) + dy };
    this.slide();
    clearTimeout(this.later2);
    this.later2 = setTimeout(() => this.settle(), SETTLE);
  }

  slide() {
    const by = along(this.held, this.by);
    for (const svg of this.root.querySelectorAll("[data-drawing] svg")) {
      const thing = svg.querySelector(".thing.held");
      if (!thing) continue;
      const k = Number(svg.dataset.scale);
      thing.classList.toggle("moving", Boolean(by));
      if (by) thing.setAttribute("transform", `translate(${by.x * k} ${-by.y * k})`);
      else thing.removeAttribute("transform");
    }
  }

  /** Write where the thing was moved to: kept on this device first, then sent. */
  settle() {
    clearTimeout(this.later2);
    const thing = this.held;
    const by = along(thing, this.by);
    this.by = null;
    if (!thing || !by || (!by.x && !by.y)) return;
    const { kind, id, x, y } = thing.dataset;
    const fields = { _nonce: newId(), _back: location.pathname + location.search };
    let command = "place";
    if (kind === "opening" || kind === "window") {
      command = `edit-${kind}`;
      const field = this.root.querySelector(".chosen [name=from_corner]");
      fields[kind] = id;
      fields.wall = this.root.querySelector(".chosen [name=wall]").value;
      fields.from_corner = `${Math.round((Number(thing.dataset.from) + by.along) * 64) / 64} in`;
      if (field) field.value = fields.from_corner;
    } else {
      Object.assign(fields, { thing: kind, id, x: `${Number(x) + by.x} in`, y: `${Number(y) + by.y} in` });
    }
    put({
      url: `${this.root.dataset.do}/${command}`,
      body: new URLSearchParams(fields).toString(),
      type: "application/x-www-form-urlencoded",
      label: `move ${id}`,
    }, (result) => {
      if (!result) { this.say("Kept on this device; written when the signal is back."); return; }
      if (result.ok) { this.refresh(); return; }
      this.say(result.said.message ?? "Not taken.");
      result.drop();
      this.slide();
    });
  }

  /** Take the page as the server has it now; what was typed elsewhere on it stays. */
  async refresh() {
    let text;
    try {
      const response = await fetch(location.href, { headers: { Accept: "text/html" } });
      if (!response.ok) return;
      text = await response.text();
    } catch { return; }
    if (this.drag || this.by) return;
    const fresh = new DOMParser().parseFromString(text, "text/html");
    const focused = document.activeElement?.closest?.(".thing")?.dataset.id;
    for (const old of this.root.querySelectorAll("[data-drawing]")) {
      const now = fresh.querySelector(`[data-drawing="${old.dataset.drawing}"]`);
      if (now) old.innerHTML = now.innerHTML;
    }
    this.fit();
    for (const what of [".chosen", ".drawing > section > .buttons"]) {
      const old = document.querySelector(what);
      const now = fresh.querySelector(what);
      if (old && now && !typedIn(old)) old.innerHTML = now.innerHTML;
    }
    if (focused) this.figure.querySelector(`.thing[data-id="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
    this.draw();
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

/** A move; of what is in a wall only along that wall. */
function along(thing, by) {
  if (!thing || !by) return null;
  if (!thing.dataset.wall) return by;
  const [ax, ay, bx, by_] = thing.dataset.wall.split(" ").map(Number);
  const long = Math.hypot(bx - ax, by_ - ay);
  const u = { x: (bx - ax) / long, y: (by_ - ay) / long };
  const s = snap(by.x * u.x + by.y * u.y);
  return { x: s * u.x, y: s * u.y, along: s };
}

function startWords(p) {
  const part = (v, plus, minus) => `${Math.abs(Math.round(v * 16) / 16)} in ${v < 0 ? minus : plus}`;
  return [Math.abs(p.x) >= 1 / 32 ? part(p.x, "east", "west") : "", Math.abs(p.y) >= 1 / 32 ? part(p.y, "north", "south") : ""].filter(Boolean).join(", ");
}

function snap(value) { return Math.round(value / SNAP) * SNAP; }

function typedIn(element) {
  return [...element.querySelectorAll("input, select, textarea")].some((f) => f === document.activeElement
    || (f.type !== "hidden" && f.tagName === "INPUT" && f.value !== f.defaultValue));
}

const root = document.querySelector("[data-draw]");
if (root) new Drawing(root);
