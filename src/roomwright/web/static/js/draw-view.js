// The drawing as it is seen: from the screen to the house and back, its zoom, what is drawn over
// it, and its page taken anew from the server.

export class View {
  constructor(root) {
    this.root = root;
    this.zoom = 1;
    this.over = {}; // what is drawn over the plan: chain, taps, cross [in]
    for (const button of root.querySelectorAll("[data-zoom]")) {
      button.addEventListener("click", () => this.larger(Number(button.dataset.zoom)));
    }
  }

  get figures() { return [...this.root.querySelectorAll("[data-drawing]")]; }
  get drawings() { return this.root.querySelectorAll("[data-drawing] svg"); }
  get figure() { return this.figures.find((f) => f.offsetParent !== null) ?? this.figures[0]; }
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

  /** Where the middle of the drawing is in the house, to the inch. */
  get middle() {
    const { left, top } = this.svg.dataset;
    const box = this.svg.viewBox.baseVal;
    return { x: Math.round(Number(left) + box.width / 2 / this.scale), y: Math.round(Number(top) - box.height / 2 / this.scale) };
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
    for (const svg of this.drawings) {
      svg.style.width = `${this.zoom * 100}%`;
      svg.style.maxWidth = "none";
      svg.parentElement.classList.toggle("zoomed", this.zoom > 1);
    }
  }

  /** Bring a place in the house into sight. */
  follow(place) {
    const { figure, svg } = this;
    const p = on(svg, place);
    const k = svg.clientWidth / svg.viewBox.baseVal.width;
    const [x, y] = [p.x * k, p.y * k];
    if (x < figure.scrollLeft + 20 || x > figure.scrollLeft + figure.clientWidth - 20) figure.scrollLeft = x - figure.clientWidth / 2;
    if (y < figure.scrollTop + 20 || y > figure.scrollTop + figure.clientHeight - 20) figure.scrollTop = y - figure.clientHeight / 2;
  }

  /** Draw a chain of walls, taps and a cross over both drawings; what is not given stays. */
  paint(over = {}) {
    Object.assign(this.over, over);
    const { chain = [], taps = [], cross = null } = this.over;
    for (const svg of this.drawings) {
      const layer = svg.querySelector("[data-tried]");
      if (!layer) continue;
      layer.replaceChildren();
      const make = (name, attrs) => {
        const made = document.createElementNS(svg.namespaceURI, name);
        for (const [k, v] of Object.entries(attrs)) made.setAttribute(k, v);
        layer.append(made);
      };
      const at = chain.map((p) => on(svg, p));
      if (at.length > 1) make("polyline", { points: at.map((p) => `${p.x},${p.y}`).join(" "), fill: "none", stroke: "#0B5563", "stroke-width": 3 });
      for (const p of at) make("circle", { cx: p.x, cy: p.y, r: 5, fill: "#0B5563" });
      for (const p of taps.map((tap) => on(svg, tap))) make("circle", { cx: p.x, cy: p.y, r: 7, fill: "none", stroke: "#B3400E", "stroke-width": 3 });
      if (cross) {
        const p = on(svg, cross);
        make("path", { d: `M${p.x - 14} ${p.y}h28M${p.x} ${p.y - 14}v28`, class: "cross", "stroke-width": 2, fill: "none" });
      }
    }
  }

  /** Take the page as the server has it now; what was typed elsewhere on it stays. */
  async refresh(busy) {
    let text;
    try {
      const response = await fetch(location.href, { headers: { Accept: "text/html" } });
      if (!response.ok) return;
      text = await response.text();
    } catch { return; }
    if (busy()) return;
    const fresh = new DOMParser().parseFromString(text, "text/html");
    const focused = document.activeElement?.closest?.(".thing")?.dataset.id;
    for (const old of this.figures) {
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
    this.paint();
  }
}

/** Where a place in the house is on a drawing. */
function on(svg, p) {
  const { scale, left, top } = svg.dataset;
  return { x: (p.x - Number(left)) * Number(scale), y: (Number(top) - p.y) * Number(scale) };
}

function typedIn(element) {
  return [...element.querySelectorAll("input, select, textarea")].some((f) => f === document.activeElement
    || (f.type !== "hidden" && f.tagName === "INPUT" && f.value !== f.defaultValue));
}
