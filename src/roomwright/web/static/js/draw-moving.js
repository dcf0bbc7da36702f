// The chosen thing moved by drag, by arrow keys or by buttons: shown at once, written a moment later.
import { newId, put } from "./outbox.js";

const SETTLE = 700; // ms after the last nudge until it is written
const SNAP = 0.25; // inches
const HELD = ".held:not(.room, .sketch)";

export class Moving {
  constructor(root, view) {
    this.root = root;
    this.view = view;
    this.drag = null;
    this.by = null; // how far the chosen thing was moved and not yet written [in]
    root.addEventListener("click", (e) => {
      const nudge = e.target.closest("button[data-nudge]");
      if (nudge) this.nudge(...nudge.dataset.nudge.split(" ").map(Number));
    });
    window.addEventListener("pagehide", () => this.settle());
  }

  get busy() { return Boolean(this.drag || this.by); }

  down(event) {
    const thing = event.target.closest(`.thing${HELD}`);
    if (!thing) return;
    event.preventDefault();
    thing.focus({ preventScroll: true });
    this.settle();
    this.drag = { pointer: event.pointerId, from: this.view.inches(event), moved: false };
    this.view.figure.setPointerCapture(event.pointerId);
  }

  move(event) {
    if (!this.drag || event.pointerId !== this.drag.pointer) return;
    const now = this.view.inches(event);
    const by = { x: snap(now.x - this.drag.from.x), y: snap(now.y - this.drag.from.y) };
    if (!this.drag.moved && Math.hypot(by.x, by.y) * this.view.scale < 4) return;
    this.drag.moved = true;
    this.by = by;
    this.slide();
  }

  /** The drag ended; true if something was moved. */
  up(event) {
    if (!this.drag || event.pointerId !== this.drag.pointer) return false;
    const { moved } = this.drag;
    this.drag = null;
    if (moved) this.settle();
    return moved;
  }

  cancel() {
    if (!this.drag) return;
    this.drag = null;
    this.by = null;
    this.slide();
  }

  /** Whether an arrow key on this element moves it. */
  moves(element) { return Boolean(element.closest(".thing")?.matches(HELD)); }

  nudge(dx, dy) {
    if (!this.view.held) return;
    this.by = { x: (this.by?.x ?? 0) + dx, y: (this.by?.y ?? 0) + dy };
    this.slide();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.settle(), SETTLE);
  }

  /** Show the thing where it was moved to. */
  slide() {
    const by = along(this.view.held, this.by);
    for (const svg of this.view.drawings) {
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
    clearTimeout(this.timer);
    const thing = this.view.held;
    const by = along(thing, this.by);
    this.by = null;
    if (!thing || !by || (!by.x && !by.y)) return;
    const { command, fields } = this.asked(thing, by);
    put({
      url: `${this.root.dataset.do}/${command}`,
      body: new URLSearchParams(fields).toString(),
      type: "application/x-www-form-urlencoded",
      label: `move ${thing.dataset.id}`,
    }, (result) => {
      if (!result) { this.view.say("Kept on this device; written when the signal is back."); return; }
      if (result.ok) { this.view.refresh(() => this.busy); return; }
      this.view.say(result.said.message ?? "Not taken.");
      result.drop();
      this.slide();
    });
  }

  /** The command that moves a thing so far, and its fields. */
  asked(thing, by) {
    const { kind, id, x, y } = thing.dataset;
    const fields = { _nonce: newId(), _back: location.pathname + location.search };
    if (kind !== "opening" && kind !== "window") {
      return { command: "place", fields: { ...fields, thing: kind, id, x: `${Number(x) + by.x} in`, y: `${Number(y) + by.y} in` } };
    }
    const corner = `${Math.round((Number(thing.dataset.from) + by.along) * 64) / 64} in`;
    const field = this.root.querySelector(".chosen [name=from_corner]");
    if (field) field.value = corner;
    const wall = this.root.querySelector(".chosen [name=wall]").value;
    return { command: `edit-${kind}`, fields: { ...fields, [kind]: id, wall, from_corner: corner } };
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

function snap(value) { return Math.round(value / SNAP) * SNAP; }
