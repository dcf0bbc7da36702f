// Tapping over a scanned plan: from the house to the picture's pixels, and from two taps to words.

const MARKS = 8; // a tapped length goes to this part of an inch at best; typing it corrects it
const SQUARE = 12; // degrees: within this a wall snaps to a right angle, if wanted

/** The map from pixels to the house: x = a u + c v + e, y = b u + d v + f. */
export class Under {
  static of(svg) {
    const image = svg.querySelector("image[data-under]");
    return image ? new Under(image.dataset.under.split(" ").map(Number)) : null;
  }

  /** Marks of an inch that a tap is good for: eighths, or no finer than a pixel of the picture. */
  static marks(svg) {
    const image = svg.querySelector("image[data-under]");
    const under = Under.of(svg);
    if (!under || image.getAttribute("visibility") === "hidden") return MARKS;
    const pixel = Math.hypot(under.a, under.b);
    let marks = MARKS;
    while (marks > 1 && 1 / marks < pixel) marks /= 2;
    return marks;
  }

  constructor([a, b, c, d, e, f]) { Object.assign(this, { a, b, c, d, e, f }); }

  /** Which pixel lies at a place of the house [in]. */
  pixel({ x, y }) {
    const { a, b, c, d, e, f } = this;
    const under = a * d - b * c;
    return { u: (d * (x - e) - c * (y - f)) / under, v: (a * (y - f) - b * (x - e)) / under };
  }
}

const NAMES = ["east", "north", "west", "south"];

/** A wall from one place to another in words that can be typed; null if it has no length. */
export function wallWords(from, to, square, perInch = MARKS) {
  const dx = to.x - from.x;
  const dy = to.y - from.y;
  const angle = (Math.atan2(dy, dx) * 180 / Math.PI + 360) % 360;
  const quarter = Math.round(angle / 90) % 4;
  const off = Math.abs(((angle - quarter * 90 + 540) % 360) - 180);
  const straight = square && off <= SQUARE;
  const long = straight ? Math.abs(quarter % 2 ? dy : dx) : Math.hypot(dx, dy);
  const marks = Math.round(long * perInch);
  if (!marks) return null;
  const way = straight || off < 0.01 ? NAMES[quarter] : `at ${angle.toFixed(2)} degrees`;
  return { words: `${tape(marks, perInch)} ${way}`, long: marks / perInch };
}

/** Where a chain begins, in words that can be typed; empty at 0, 0. */
export function startWords(p, perInch = MARKS) {
  const part = (v, plus, minus) => {
    const marks = Math.round(Math.abs(v) * perInch);
    return marks ? `${tape(marks, perInch)} ${v < 0 ? minus : plus}` : "";
  };
  return [part(p.x, "east", "west"), part(p.y, "north", "south")].filter(Boolean).join(", ");
}

/** So many marks of an inch as the tape reads them. */
function tape(marks, perInch) {
  const inches = Math.floor(marks / perInch);
  let top = marks % perInch;
  let under = perInch;
  while (top && top % 2 === 0) { top /= 2; under /= 2; }
  const part = top ? `${top}/${under}` : "";
  const feet = Math.floor(inches / 12);
  const rest = [inches % 12 || !part ? String(inches % 12) : "", part].filter(Boolean).join(" ");
  return feet ? `${feet}'-${rest}"` : `${rest}"`;
}
