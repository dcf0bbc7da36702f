// Moving a piece on the plan: by drag, by arrow keys, by the buttons beside it, by typed numbers.
// The server answers each place with the verdicts and the drawing (one request in flight, the
// latest place wins); on release one command goes through the outbox.
import { parse } from "../tape.js";
import { newId, put } from "./outbox.js";

const STEP = 1; // inches an arrow key moves
const FINE = 0.25; // with shift
const SETTLE = 700; // ms after the last key until the move is written
const SNAP = 0.25; // inches a drag comes to rest on

class Plan {
  constructor(root) {
    this.root = root; // the whole room: plan, verdicts, forms
    this.at = root.dataset.plan; // the room's address
    this.ask = null; // the request in flight
    this.next = null; // the latest place still to be asked
    this.drag = null;
    this.place = null; // where the piece is while it moves, {piece, x, y}
    this.timer = 0;
    root.addEventListener("pointerdown", (e) => this.down(e));
    // where there are raw updates they come at once; plain moves wait for the next frame
    const moves = "onpointerrawupdate" in window ? "pointerrawupdate" : "pointermove";
    root.addEventListener(moves, (e) => this.move(e));
    root.addEventListener("pointerup", (e) => this.up(e));
    root.addEventListener("pointercancel", () => this.cancel());
    root.addEventListener("keydown", (e) => this.key(e));
    root.addEventListener("click", (e) => this.click(e));
    root.addEventListener("input", (e) => this.typed(e));
    window.addEventListener("pagehide", () => this.settle());
    let wide = this.figure;
    window.addEventListener("resize", () => { // the other drawing shows: it may be of an older place
      if (this.figure !== wide) this.refresh();
      wide = this.figure;
    });
    root.classList.add("live");
    this.hold();
  }

  // two drawings stand on the page, one for a large screen and one for a phone; one is shown
  get figure() {
    const all = [...this.root.querySelectorAll("[data-drawing]")];
    return all.find((f) => f.offsetParent !== null) ?? all[0];
  }
  get svg() { return this.figure.querySelector("svg"); }
  get chosen() { return this.root.querySelector("[data-chosen]")?.dataset; }
  get scale() { return Number(this.svg.dataset.scale); } // drawn units an inch

  /** Where in the house a pointer is, in inches; holds though drawings differ in scale. */
  inches(event) {
    const { left, top } = this.svg.dataset;
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return { x: Number(left) + point.x / this.scale, y: Number(top) - point.y / this.scale };
  }

  hold() {
    for (const piece of this.root.querySelectorAll(".piece[data-piece]")) {
      piece.classList.toggle("held", piece.dataset.piece === this.chosen?.chosen);
    }
  }

  // ------------------------------------------------------------------ drag
  down(event) {
    if (event.button !== 0 || this.drag) return;
    const grabbed = event.target.closest("[data-drawing] .piece.held");
    if (!grabbed) return;
    event.preventDefault();
    grabbed.focus({ preventScroll: true });
    this.settle();
    const at = this.here();
    this.drag = { pointer: event.pointerId, from: this.inches(event), x: at.x, y: at.y, moved: false };
    this.figure.setPointerCapture(event.pointerId); // on the figure: the drawing in it is replaced
    this.figure.classList.add("dragging");
  }

  move(event) {
    if (!this.drag || event.pointerId !== this.drag.pointer) return;
    const now = this.inches(event);
    const x = this.drag.x + now.x - this.drag.from.x;
    const y = this.drag.y + now.y - this.drag.from.y;
    if (!this.drag.moved && Math.hypot(x - this.drag.x, y - this.drag.y) < SNAP) return;
    this.drag.moved = true;
    const to = { x: snap(x, SNAP), y: snap(y, SNAP) };
    if (to.x !== this.place?.x || to.y !== this.place?.y) this.show(to.x, to.y);
  }

  up(event) {
    if (!this.drag || event.pointerId !== this.drag.pointer) return;
    const moved = this.drag.moved;
    this.release();
    if (moved) this.settle();
  }

  cancel() {
    if (!this.drag) return;
    this.release();
    this.place = null;
    this.refresh();
  }

  release() {
    this.drag = null;
    this.figure.classList.remove("dragging");
  }

  // ------------------------------------------------------ keys and buttons
  key(event) {
    const piece = event.target.closest("[data-drawing] .piece");
    if (!piece || event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.choose(piece.dataset.piece);
      return;
    }
    if (event.key === "Escape" && this.place) {
      event.preventDefault();
      this.cancelMove();
      return;
    }
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!way || piece.dataset.piece !== this.chosen?.chosen) return;
    event.preventDefault();
    const step = event.shiftKey ? FINE : STEP;
    this.nudge(way[0] * step, way[1] * step);
  }

  nudge(dx, dy) {
    const at = this.here();
    this.show(at.x + dx, at.y + dy);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.settle(), SETTLE);
  }

  cancelMove() {
    clearTimeout(this.timer);
    this.place = null;
    this.refresh();
  }

  click(event) {
    const nudge = event.target.closest("[data-nudge]");
    if (nudge) {
      event.preventDefault();
      const [dx, dy] = nudge.dataset.nudge.split(" ").map(Number);
      this.nudge(dx, dy);
      return;
    }
    const link = event.target.closest("a[data-choose]");
    if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
      event.preventDefault();
      this.choose(link.dataset.choose);
      return;
    }
    const piece = event.target.closest("[data-drawing] .piece[data-piece]");
    if (piece && piece.dataset.piece !== this.chosen?.chosen) this.choose(piece.dataset.piece);
  }

  typed(event) {
    const form = event.target.closest("form[data-place]");
    if (!form) return;
    if ([...form.querySelectorAll("[data-length]")].some((field) => field.value.trim() && !readable(field.value))) return;
    const fields = [...new FormData(form)].filter(([name, value]) => !name.startsWith("_") && value.trim());
    this.request({ ...Object.fromEntries(fields), typed: true });
  }

  // ------------------------------------------------------------- answering
  here() {
    if (this.place) return this.place;
    const { x, y } = this.chosen;
    return { x: Number(x), y: Number(y) };
  }

  show(x, y) {
    this.place = { piece: this.chosen.chosen, x, y };
    this.slide();
    this.request(this.place);
  }

  /** Slide the drawn piece at once; what no longer holds on the drawing is hidden. */
  slide() {
    const piece = this.svg.querySelector(".piece.held");
    if (!piece) return;
    const dx = (this.place.x - Number(piece.dataset.x)) * this.scale;
    const dy = (Number(piece.dataset.y) - this.place.y) * this.scale;
    this.figure.classList.add("moving");
    for (const part of this.svg.querySelectorAll(`.piece.held, .label[data-piece="${CSS.escape(piece.dataset.piece)}"]`)) {
      part.setAttribute("transform", `translate(${dx} ${dy})`);
    }
  }

  /** Lay what holds there over the drawing. */
  lay(parts) {
    let over = this.svg.querySelector(".overlay");
    if (!over) {
      over = document.createElementNS(this.svg.namespaceURI, "g");
      over.setAttribute("class", "overlay");
      over.setAttribute("font-family", "Overpass, sans-serif");
      this.svg.append(over);
    }
    over.innerHTML = parts;
  }

  request(body) {
    this.next = body;
    this.ask ??= this.run().finally(() => { this.ask = null; });
  }

  async run() {
    while (this.next) {
      const { typed, ...body } = this.next;
      this.next = null;
      try {
        const response = await fetch(`${this.at}/preview`, {
          method: "POST",
          headers: { "Content-Type": "application/json", Accept: "application/json" },
          body: JSON.stringify({ ...body, ...(typed ? { drawn: this.figure.clientWidth } : { over: this.frame() }) }),
        });
        const said = await response.json();
        if (response.ok) this.render(said, typed);
        else this.complain(said.message);
      } catch {
        this.complain("No signal. What you do is kept on this device; it is checked when the signal is back.");
        return;
      }
    }
  }

  /** Where the drawing that is shown stands in the house. */
  frame() {
    const { scale, left, top } = this.svg.dataset;
    return { scale: Number(scale), left: Number(left), top: Number(top), base: this.svg.id };
  }

  render(said, typed) {
    if (said.parts !== undefined) this.lay(said.parts);
    else this.draw(said.plan);
    swap(this.root.querySelector("[data-verdicts]"), said.verdicts);
    this.complain(said.said);
    if (!typed) this.fill(said.fields);
    this.root.dispatchEvent(new CustomEvent("answered", { detail: said }));
  }

  /** Put another drawing in the place of the one that is shown. */
  draw(svg, figure = this.figure) {
    const focused = figure.contains(document.activeElement) && document.activeElement.dataset.piece;
    figure.innerHTML = svg;
    figure.classList.remove("moving");
    this.hold();
    if (focused) figure.querySelector(`.piece[data-piece="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
  }

  fill(fields) {
    const form = this.root.querySelector("form[data-place]");
    if (!form) return;
    for (const [name, value] of Object.entries(fields)) {
      const field = form.elements.namedItem(name);
      if (field && field !== document.activeElement) field.value = value;
    }
  }

  complain(words) {
    this.root.querySelector("[data-said]").textContent = words;
  }

  // --------------------------------------------------------------- writing
  /** Write the move, if the piece was moved: first onto this device, then to the server. */
  settle() {
    clearTimeout(this.timer);
    const place = this.place;
    if (!place) return;
    this.place = null;
    const chosen = this.chosen;
    chosen.x = place.x;
    chosen.y = place.y;
    const fields = { _nonce: newId(), _back: location.pathname, piece: chosen.chosen, x: place.x, y: place.y };
    put({
      url: `${this.root.dataset.do}/move`,
      body: new URLSearchParams(fields).toString(),
      type: "application/x-www-form-urlencoded",
      label: `move the ${chosen.name}`,
    }, (result) => {
      if (this.place || this.drag) return; // moved on already
      if (result) this.refresh();
      else this.complain("Kept on this device; written when the signal is back.");
    });
  }

  choose(id) {
    this.settle();
    const url = `${this.at}?piece=${encodeURIComponent(id)}`;
    history.replaceState(null, "", url);
    return this.refresh();
  }

  /** Take the page as the server has it now. */
  async refresh() {
    let text;
    try {
      const url = new URL(location.href);
      url.searchParams.set("drawing", this.figure.dataset.drawing);
      const response = await fetch(url, { headers: { Accept: "text/html" } });
      if (!response.ok) return;
      text = await response.text();
    } catch {
      return;
    }
    if (this.place || this.drag) return;
    const fresh = new DOMParser().parseFromString(text, "text/html");
    for (const old of this.root.querySelectorAll("[data-drawing]")) {
      const now = fresh.querySelector(`[data-drawing="${old.dataset.drawing}"]`);
      if (now) this.draw(now.innerHTML, old);
    }
    const focus = document.activeElement?.id;
    for (const name of ["verdicts", "panel", "chosen", "undo"]) {
      const now = fresh.querySelectorAll(`[data-${name}]`);
      this.root.querySelectorAll(`[data-${name}]`).forEach((old, i) => {
        if (!now[i] || (name === "panel" && typedIn(old))) return;
        if (name === "chosen") Object.assign(old.dataset, { ...now[i].dataset });
        else swap(old, now[i].innerHTML);
      });
    }
    this.hold();
    if (focus && document.activeElement?.id !== focus) document.getElementById(focus)?.focus({ preventScroll: true });
    this.root.dispatchEvent(new CustomEvent("refreshed"));
  }
}

/** Replace what an element holds; what was folded open stays open. */
function swap(element, html) {
  const open = [...element.querySelectorAll("details")].map((d) => d.open);
  const same = open.length;
  element.innerHTML = html;
  const now = [...element.querySelectorAll("details")];
  if (now.length === same) now.forEach((d, i) => { d.open = open[i]; });
}

/** Whether something stands in a form here that was typed and not sent. */
function typedIn(element) {
  return [...element.querySelectorAll("form:not([data-place]) :is(input, select)")].some((field) =>
    field.type !== "hidden" && (field.tagName === "SELECT"
      ? [...field.options].some((o) => o.selected !== o.defaultSelected && field.selectedIndex > 0)
      : field.value !== field.defaultValue));
}

function readable(text) {
  try {
    parse(text);
    return true;
  } catch {
    return false; // what is wrong with it stands beside the field
  }
}

function snap(value, to) {
  return Math.round(value / to) * to;
}

const root = document.querySelector("[data-plan]");
if (root) new Plan(root);
