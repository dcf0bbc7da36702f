// Lengths on the page: the twin of roomwright.lengths, held equal by tests/vectors/lengths.json.
// docs/lengths.md describes the notation. Inches are plain numbers here: the page previews, the
// server holds the exact length.

const MAX_TEXT = 200;
const MAX_TERMS = 32;
const UNMARKED_FEET = 100; // a number without a mark is read as feet only below this
const EXAMPLE = `15'-3 1/2", 183 1/2 or 4.66 m`;

export class LengthError extends Error {
  constructor(message, readings = []) {
    super(message);
    this.name = "LengthError";
    this.readings = readings; // what the text could mean, ready to type
  }
}

const fail = (message) => {
  throw new LengthError(message);
};
const ambiguous = (said, readings, shown = readings.join(" or ")) => {
  throw new LengthError(
    `“${said.trim()}” can be read two ways: ${shown}. Type the one you mean.`,
    readings,
  );
};

// ------------------------------------------------------------------------------------- printing

const gcd = (a, b) => (b ? gcd(b, a % b) : a);

function mixed(count, perInch) {
  const whole = Math.floor(count / perInch);
  const rest = count % perInch;
  if (!rest) return `${whole}`;
  const part = `${rest / gcd(rest, perInch)}/${perInch / gcd(rest, perInch)}`;
  return whole ? `${whole} ${part}` : part;
}

function steps(x, perInch) {
  if (!Number.isFinite(x)) fail(`${x} is not a length: give a number of inches.`);
  const count = Math.floor(Math.abs(x) * perInch + 0.5); // halves away from zero
  return [x < 0 && count ? "-" : "", count];
}

/** Inches as a tape reads, to the nearest 1/perInch: 15'-3 1/2". */
export function tape(x, perInch = 16) {
  const [sign, count] = steps(x, perInch);
  const feet = Math.floor(count / (12 * perInch));
  const rest = count % (12 * perInch);
  if (!feet) return `${sign}${mixed(rest, perInch)}"`;
  const zero = rest > 0 && rest < perInch ? "0 " : "";
  return `${sign}${feet}'-${zero}${mixed(rest, perInch)}"`;
}

/** Inches alone, to the nearest 1/perInch: 183 1/2". */
export function inches(x, perInch = 16) {
  const [sign, count] = steps(x, perInch);
  return `${sign}${mixed(count, perInch)}"`;
}

// ---------------------------------------------------------------------------- characters, tokens

const SAME_AS = [
  ["'", /[\u2018\u2019\u201b\u2032\u02b9\u02bc\u00b4\u0060\u2035]/g],
  ['"', /[\u201c\u201d\u201e\u201f\u2033\u02ba\u3003\u2036]/g],
  ["-", /[\u2010-\u2015\u2212\ufe58\ufe63]/g],
  ["/", /[\u2044\u2215]/g],
  ["", /[\u200b-\u200f\u2060\ufeff\u00ad]/g],
];
const VULGAR = /([0-9])?([\u00bc-\u00be\u2150-\u215f\u2189])(?=([0-9/])?)/g;
const METERS = { mm: 1, millimeter: 1, millimetre: 1, cm: 10, centimeter: 10, centimetre: 10 };
Object.assign(METERS, { m: 1000, meter: 1000, metre: 1000 }); // in mm
const UNIT = { "'": 12, ft: 12, foot: 12, feet: 12, '"': 1, in: 1, inch: 1, inches: 1 };
for (const [name, mm] of Object.entries(METERS)) {
  UNIT[name] = mm / 25.4;
  if (name.length > 2) UNIT[`${name}s`] = mm / 25.4;
}
const TOKEN =
  /(\s*)(?:([0-9]+)\s*\/\s*([0-9]+)|([0-9][0-9.,]*|[.,][0-9]+)|(''|"|')|([a-z]+)\.?|([+-]))/y;
const END = { kind: "end", text: "", value: 0, gap: true };

function flatten(text) {
  let flat = text.replace(/[\uff01-\uff5e]/g, (c) => String.fromCharCode(c.charCodeAt(0) - 0xfee0));
  for (const [plain, odd] of SAME_AS) flat = flat.replace(odd, plain);
  flat = flat.replace(VULGAR, (_, digit, sign, close) => {
    const after = close && sign !== "\u215f" ? " " : "";
    return `${digit ? `${digit} ` : ""}${sign.normalize("NFKC").replace("\u2044", "/")}${after}`;
  });
  return flat.toLowerCase().replace(/\band\b/g, " ").trim();
}

function number(text, said) {
  const bare = text.replace(/,+$/, "");
  if (/^([0-9]*\.?[0-9]+|[0-9]+\.)$/.test(bare)) return Number(bare);
  if (/^[1-9][0-9]{0,2}((,[0-9]{3})+\.[0-9]+|(,[0-9]{3}){2,})$/.test(bare)) {
    return Number(bare.replaceAll(",", ""));
  }
  if (/^[1-9][0-9]{0,2}(\.[0-9]{3})+,[0-9]+$/.test(bare)) {
    return Number(bare.replaceAll(".", "").replace(",", "."));
  }
  if (/^[1-9][0-9]{0,2},[0-9]{3}$/.test(bare)) {
    ambiguous(said, ["", "."].map((by) => said.replaceAll(bare, bare.replace(",", by))));
  }
  if (/^[0-9]*,[0-9]+$/.test(bare)) return Number(bare.replace(",", "."));
  return fail(`“${text}” is not a number: type it with digits and one point, like 183.5.`);
}

function fraction(top, under, said) {
  if (Number(under) === 0) {
    fail(`“${top}/${under}” divides by zero: type a fraction like 1/2 or 3/16.`);
  }
  const value = Number(top) / Number(under);
  if (value >= 1 && [2, 4, 8, 16, 32, 64].includes(Number(under))) {
    // "31/2" is how "3 1/2" looks once a spreadsheet or a phone has lost its space
    for (let cut = 1; cut < top.length; cut += 1) {
      if (top[cut] !== "0" && Number(top.slice(cut)) < Number(under)) {
        const ways = [
          `${top.slice(0, cut)} ${top.slice(cut)}/${under}`,
          mixed(Number(top), Number(under)),
        ];
        const lost = new RegExp(`(?<![0-9])${top}\\s*/\\s*${under}`, "g");
        ambiguous(said, ways.map((way) => said.replace(lost, way)));
      }
    }
  }
  return value;
}

function unreadable(text, what) {
  const said = text.trim();
  if (["x", "×", "*", "by", ";", ","].includes(what)) {
    fail(`“${said}” looks like more than one length: give one length here.`);
  }
  if (what === "e") fail(`“${said}” has an exponent: write the number out, like ${EXAMPLE}.`);
  fail(`“${what}” in “${said}” is not part of a length: type it like ${EXAMPLE}.`);
}

function tokens(text) {
  const flat = flatten(text);
  const found = [];
  let at = 0;
  while (at < flat.length) {
    TOKEN.lastIndex = at;
    const m = TOKEN.exec(flat);
    if (!m) unreadable(text, [...flat.slice(at).trim()][0] ?? "");
    const [all, space, top, under, digits, quote, word, sign] = m;
    const token = { kind: "op", text: all.trim(), value: 0, gap: space !== "" && at > 0 };
    at += all.length;
    if (top) {
      token.kind = "frac";
      token.value = fraction(top, under, flat);
    } else if (digits) {
      token.kind = "num";
      token.value = number(digits, flat);
      if (digits.endsWith(",")) fail(`“${text.trim()}” looks like a list: give one length here.`);
    } else if (!sign) {
      const name = quote === "''" ? '"' : (quote ?? word);
      if (!Object.hasOwn(UNIT, name)) unreadable(text, name);
      token.value = UNIT[name];
      token.kind = { 12: "ft", 1: "in" }[token.value] ?? "metric";
      if (flat[at] === ",") at += 1; // "15 feet, 3 inches"
    }
    found.push(token);
  }
  return found;
}

// --------------------------------------------------------------------------------------- grammar

class Reader {
  constructor(text) {
    this.text = text.trim();
    this.tokens = tokens(text);
    this.unmarked = false; // a number without a unit was read
    this.metricSeen = false;
  }

  peek(i) {
    return this.tokens[i] ?? END;
  }

  dash(i) {
    return this.peek(i).kind === "op" && this.peek(i).text === "-";
  }

  pastInches(i) {
    return this.peek(i).kind === "in" ? i + 1 : i;
  }

  twoLengths() {
    fail(`“${this.text}” looks like more than one length: give one here, like ${EXAMPLE}.`);
  }

  /** The whole text with tokens i to j - 1 typed each of these ways. */
  instead(i, j, ways) {
    const typed = (list) => list.map((t) => (t.gap ? " " : "") + t.text).join("");
    const before = typed(this.tokens.slice(0, i)) + (this.peek(i).gap ? " " : "");
    return ways.map((way) => `${before}${way}${typed(this.tokens.slice(j))}`.trim());
  }

  sum() {
    let total = 0;
    let sign = 1;
    let i = 0;
    for (let terms = 1; ; terms += 1) {
      if (this.peek(i).kind === "op") {
        sign = this.dash(i) ? -1 : 1;
        i += 1;
      }
      const [value, next] = this.term(i, terms === 1);
      total += sign * value;
      i = next;
      if (terms > MAX_TERMS) fail(`A sum may have ${MAX_TERMS} lengths at most: add up in steps.`);
      if (i >= this.tokens.length) {
        if (this.unmarked && this.metricSeen) {
          fail(`“${this.text}”: write the unit on each length, 12 cm + 3 cm.`);
        }
        return total;
      }
      if (this.peek(i).kind !== "op") this.twoLengths();
    }
  }

  /** A whole number, a decimal, a fraction, or a whole number with a fraction. */
  quantity(i) {
    const t = this.peek(i);
    if (t.kind === "frac") return { value: t.value, next: i + 1, whole: false, mixed: false };
    if (t.kind === "op" && i) fail(`“${this.text}” has two signs in a row: keep one.`);
    if (t.kind !== "num") fail(`“${this.text}” lacks a number: type a length like ${EXAMPLE}.`);
    const whole = /^[0-9]+$/.test(t.text);
    const alone = { value: t.value, next: i + 1, whole, mixed: false };
    let j = i + 1;
    if (this.dash(j) && this.peek(j + 1).kind === "frac") {
      const gap = this.peek(j).gap;
      j += 1;
      const part = this.peek(j);
      if (!whole || (gap && part.gap) || part.value >= 1) return alone; // a subtraction
      if (gap || part.gap) {
        const ways = [" ", " - "].map((by) => `${t.text}${by}${part.text}`);
        ambiguous(this.text, this.instead(i, j + 1, ways), ways.join(" or "));
      }
    }
    const part = this.peek(j);
    if (part.kind !== "frac") return alone;
    if (!whole) fail(`“${this.text}” mixes a decimal and a fraction: use one of them.`);
    if (part.value >= 1) {
      fail(
        `“${part.text}” in “${this.text}” is one inch or more: a fraction after a whole ` +
          "number is less than 1, like 15 1/2.",
      );
    }
    return { value: t.value + part.value, next: j + 1, whole: false, mixed: true };
  }

  /** One length: feet and inches, inches alone, or metric. */
  term(i, first) {
    const q = this.quantity(i);
    const { kind } = this.peek(q.next);
    if (kind === "metric") return this.metric(q);
    if (kind === "ft") return this.feet(q, i);
    if (kind === "in") return this.inchMark(q.value, q.next, q.whole);
    return this.bare(q, i, first);
  }

  metric(q) {
    this.metricSeen = true;
    let unit = this.peek(q.next);
    let total = q.value * unit.value;
    let j = q.next + 1;
    while (["num", "frac"].includes(this.peek(j).kind)) {
      const more = this.quantity(j);
      const smaller = this.peek(more.next);
      if (smaller.kind !== "metric" || smaller.value >= unit.value) {
        fail(`“${this.text}”: give one metric number with its unit, 4.66 m.`);
      }
      total += more.value * smaller.value;
      j = more.next + 1;
      unit = smaller;
    }
    return [total, j];
  }

  feet(q, i) {
    const feet = q.value * 12;
    let j = q.next + 1;
    const t = this.peek(j);
    const dash = this.dash(j);
    if (dash) j += 1;
    if (!["num", "frac"].includes(this.peek(j).kind)) return [feet, q.next + 1];
    const r = this.quantity(j);
    const { kind } = this.peek(r.next);
    if (dash) {
      if (kind === "ft" || kind === "metric" || !q.whole) return [feet, q.next + 1];
      const tight = !t.gap && !this.peek(j).gap;
      if (r.value >= 12 && !tight) return [feet, q.next + 1];
      if (r.value >= 12 || !tight) {
        const ways = [tape(feet + r.value, 64), tape(feet - r.value, 64)];
        const shown = `${ways[0]}, or ${tape(feet)} less ${inches(r.value, 64)} which is ${ways[1]}`;
        ambiguous(this.text, this.instead(i, this.pastInches(r.next), ways), shown);
      }
    }
    if (kind === "ft" || kind === "metric") this.twoLengths();
    if (!q.whole) {
      fail(
        `“${this.text}”: feet with a fraction or a decimal stand alone (15.25'); ` +
          `with inches, the feet are whole (15'-3").`,
      );
    }
    if (kind !== "in") return [feet + r.value, r.next];
    const [value, next] = this.inchMark(r.value, r.next, r.whole);
    return [feet + value, next];
  }

  /** After the inch mark at `i` a fraction may still follow, as in 15' 3" 1/2. */
  inchMark(value, i, whole) {
    const j = i + 1;
    const dash = this.dash(j);
    const part = this.peek(dash ? j + 1 : j);
    if (!whole || part.kind !== "frac" || part.value >= 1) return [value, j];
    if (dash) {
      if (this.peek(j).gap && part.gap) return [value, j];
      const both = [inches(value + part.value, 64), inches(value - part.value, 64)];
      ambiguous(this.text, this.instead(i - 1, this.pastInches(j + 2), both));
    }
    return [value + part.value, this.pastInches(j + 1)];
  }

  /** A number without a mark is inches, unless inches and a fraction follow it. */
  bare(q, i, first) {
    const j = q.next;
    const t = this.peek(j);
    if (t.kind === "num" || t.kind === "frac") {
      if (!q.whole) this.twoLengths();
      const r = this.quantity(j);
      const { kind } = this.peek(r.next);
      const ends = ["in", "op", "end"].includes(kind);
      if (ends && q.value < UNMARKED_FEET && r.value < 12 && r.mixed) {
        return [q.value * 12 + r.value, this.pastInches(r.next)];
      }
      if (kind === "metric") fail(`“${this.text}”: write a metric number in one piece, 1200 mm.`);
      if (kind === "ft" || r.value >= 12) this.twoLengths();
      const joined = tape(q.value * 12 + r.value, 64);
      const shown = `${joined}, or two lengths, ${inches(q.value)} and ${inches(r.value)}`;
      ambiguous(this.text, this.instead(i, this.pastInches(r.next), [joined]), shown);
    }
    this.unmarked = true;
    const after = this.peek(j + 1);
    if (!this.dash(j) || !q.whole || after.kind !== "num") return [q.value, j];
    if (t.gap && after.gap && !first) return [q.value, j];
    const r = this.quantity(j + 1);
    const ends = ["in", "op", "end"].includes(this.peek(r.next).kind);
    if (ends && q.value < UNMARKED_FEET && r.value < 12) {
      const joined = tape(q.value * 12 + r.value, 64);
      const minus = `${inches(q.value)} - ${inches(r.value, 64)}`;
      const ways = this.instead(i, this.pastInches(r.next), [joined, minus]);
      ambiguous(this.text, ways, `${joined}, or ${minus} which is ${inches(q.value - r.value, 64)}`);
    }
    return [q.value, j];
  }
}

/** One length in any notation, in inches; LengthError says what to type instead. */
export function parse(text) {
  if (text.length > MAX_TEXT) {
    fail(
      `A length of ${text.length} characters is too long to be one (the limit is ` +
        `${MAX_TEXT}): type it like ${EXAMPLE}.`,
    );
  }
  if (!text.trim()) fail(`No length was typed: type it like ${EXAMPLE}.`);
  try {
    return new Reader(text).sum();
  } catch (e) {
    if (e instanceof LengthError) e.readings = e.readings.filter(reads);
    throw e;
  }
}

/** Whether a way to type what was meant can be read in its turn: `0 0"0` has none. */
function reads(text) {
  try {
    parse(text);
    return true;
  } catch {
    return false;
  }
}
