// Drawing a level: what a tap or a key on the plan does. Walls in words, the scanned plan under
// them, and moving what is chosen are each a module of their own.
import { Chain } from "./draw-chain.js";
import { Moving } from "./draw-moving.js";
import { Scan } from "./draw-under.js";
import { View } from "./draw-view.js";

const STEP = 1; // inches an arrow key moves
const FINE = 0.25; // with shift
const FAR = 12; // with control, for the cross
const STILL = 12; // px: a press that moves less is a tap
const SAYS = {
  choose: "Tap a thing to choose it; drag it, or press the arrow keys.",
  trace: "Tap the corners in turn. Keys: arrows move the cross an inch (Shift a quarter, Control a foot), Enter sets a corner, Backspace takes the last one back.",
  points: "Tap two points whose distance you know, far apart. Keys: arrows move the cross, Enter sets a point.",
};
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

class Drawing {
  constructor(root) {
    this.root = root;
    this.view = new View(root);
    this.chain = new Chain(root, this.view);
    this.moving = new Moving(root, this.view);
    this.scan = new Scan(root, this.view);
    this.mode = "choose";
    this.cross = null; // what the keys move, where they tap [in]
    root.classList.add("live");
    for (const button of root.querySelectorAll("[data-mode]")) button.addEventListener("click", () => this.turn(button.dataset.mode));
    for (const figure of this.view.figures) {
      figure.addEventListener("pointerdown", (e) => this.down(e));
      figure.addEventListener("pointermove", (e) => this.moving.move(e));
      figure.addEventListener("pointerup", (e) => this.up(e));
      figure.addEventListener("pointercancel", () => this.cancel());
      figure.addEventListener("click", (e) => this.click(e), true);
      figure.addEventListener("keydown", (e) => this.key(e));
      figure.addEventListener("dragstart", (e) => e.preventDefault());
    }
  }

  /** Let a tap choose things, set corners, or set the two known points. */
  turn(mode) {
    const { view, chain } = this;
    this.mode = mode;
    for (const b of this.root.querySelectorAll("[data-mode]")) b.setAttribute("aria-pressed", String(b.dataset.mode === mode));
    this.root.toggleAttribute("data-tapping", mode !== "choose");
    this.root.querySelector("[data-mode-says]").textContent = SAYS[mode];
    for (const svg of view.drawings) svg.setAttribute("tabindex", mode === "choose" ? "-1" : "0");
    this.scan.taps = [];
    if (mode === "choose") {
      this.cross = null;
    } else {
      this.cross = chain.end && mode === "trace" ? { ...chain.end } : view.middle;
      view.svg.focus({ preventScroll: true });
      if (mode === "trace") chain.form.closest("details").open = true;
    }
    view.paint({ taps: [], cross: this.cross });
  }

  tap(p) {
    const ended = this.mode === "points" ? this.scan.point(p) : this.chain.corner(p);
    if (ended) this.turn("choose");
  }

  down(event) {
    if (event.button !== 0) return;
    if (this.mode === "choose") this.moving.down(event);
    else this.pressed = { x: event.clientX, y: event.clientY };
  }

  up(event) {
    if (this.mode !== "choose" && this.pressed) {
      const still = Math.hypot(event.clientX - this.pressed.x, event.clientY - this.pressed.y) < STILL;
      this.pressed = null;
      if (!still) return;
      this.cross = this.view.inches(event);
      this.view.paint({ cross: this.cross });
      this.tap(this.cross);
      return;
    }
    this.dragged = this.moving.up(event) || this.dragged;
  }

  cancel() {
    this.pressed = null;
    this.moving.cancel();
  }

  click(event) {
    if (this.mode !== "choose" || this.dragged) { event.preventDefault(); event.stopPropagation(); }
    this.dragged = false;
  }

  key(event) {
    if (event.altKey || event.metaKey) return;
    const way = WAYS[event.key];
    if (this.mode !== "choose") {
      this.keyOfCross(event, way);
      return;
    }
    const thing = event.target.closest(".thing");
    if (event.key === " " && thing) { event.preventDefault(); thing.dispatchEvent(new MouseEvent("click", { bubbles: true, cancelable: true })); }
    if (!way || event.ctrlKey || !this.moving.moves(event.target)) return;
    event.preventDefault();
    const step = event.shiftKey ? FINE : STEP;
    this.moving.nudge(way[0] * step, way[1] * step);
  }

  keyOfCross(event, way) {
    const does = {
      Enter: () => this.tap(this.cross),
      Backspace: this.mode === "trace" ? () => this.chain.back() : null,
      Escape: () => this.turn("choose"),
    }[event.key];
    if (!way && !does) return;
    event.preventDefault();
    if (does) { does(); return; }
    const step = event.shiftKey ? FINE : event.ctrlKey ? FAR : STEP;
    this.cross = { x: this.cross.x + way[0] * step, y: this.cross.y + way[1] * step };
    this.view.follow(this.cross);
    this.view.paint({ cross: this.cross });
  }
}

const root = document.querySelector("[data-draw]");
if (root) new Drawing(root);
