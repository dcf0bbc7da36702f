// The outbox: what a builder did is kept on this device first, then sent, and only forgotten once
// the server has said that it has it. Each entry carries its own command id, so sending it twice
// does no harm. What the server refuses is parked in sight, never dropped.

const PREFIX = "roomwright.out.";
const RETRY = [1000, 2000, 5000, 10000, 20000];
const TIMEOUT = 15000;
const OPENED = new Date().toISOString();

let banner = null;
let flushing = null;
let failures = 0;
let timer = 0;
let counter = 0;
const listeners = new Map(); // key of an entry -> who is told
const memory = new Map(); // where the device keeps nothing (private windows), this page does

/** A random id (version 4 UUID); crypto.randomUUID is missing on plain http. */
export function newId() {
  const b = crypto.getRandomValues(new Uint8Array(16));
  b[6] = (b[6] & 0x0f) | 0x40;
  b[8] = (b[8] & 0x3f) | 0x80;
  const h = [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
  return `${h.slice(0, 8)}-${h.slice(8, 12)}-${h.slice(12, 16)}-${h.slice(16, 20)}-${h.slice(20)}`;
}

function write(entry) {
  const text = JSON.stringify(entry);
  try {
    localStorage.setItem(entry.key, text);
  } catch {
    memory.set(entry.key, text);
  }
}

function forget(key) {
  memory.delete(key);
  try {
    localStorage.removeItem(key);
  } catch { /* nothing kept there */ }
}

/** Every entry still here, oldest first. */
export function entries() {
  const found = new Map(memory);
  try {
    for (let i = 0; i < localStorage.length; i += 1) {
      const key = localStorage.key(i);
      if (key.startsWith(PREFIX)) found.set(key, localStorage.getItem(key));
    }
  } catch { /* nothing kept there */ }
  return [...found.values()].map((text) => JSON.parse(text)).sort((a, b) => (a.key < b.key ? -1 : 1));
}

/**
 * Keep one command, then try to send it. `told` hears null when it has to wait for signal, and the
 * server's answer once there is one.
 */
export function put({ url, body, type, label }, told = () => {}) {
  counter += 1;
  const key = `${PREFIX}${String(Date.now()).padStart(15, "0")}.${String(counter).padStart(6, "0")}.${newId().slice(0, 8)}`;
  listeners.set(key, told);
  write({ key, url, body, type, label, at: new Date().toISOString() });
  show();
  flush();
}

function tell(key, value) {
  listeners.get(key)?.(value);
  if (value) listeners.delete(key);
}

async function send(entry) {
  const response = await fetch(entry.url, {
    method: "POST",
    headers: { "Content-Type": entry.type, Accept: "application/json" },
    body: entry.body,
    signal: AbortSignal.timeout ? AbortSignal.timeout(TIMEOUT) : undefined,
  });
  if (response.status >= 500) throw new Error(`server says ${response.status}`);
  let said = {};
  try {
    said = await response.json();
  } catch { /* an answer in words only */ }
  return { ok: response.ok, status: response.status, said };
}

/** Send what waits, in order; stop at the first that finds no server. */
export function flush() {
  flushing ??= run().finally(() => {
    flushing = null;
    show();
    if (!failures && entries().some((e) => !e.refused)) flush(); // came in while we sent
  });
  return flushing;
}

async function run() {
  clearTimeout(timer);
  for (const entry of entries()) {
    if (entry.refused) continue;
    let result;
    try {
      result = await send(entry);
    } catch {
      failures += 1;
      timer = setTimeout(flush, RETRY[Math.min(failures, RETRY.length) - 1]);
      tell(entry.key, null);
      show();
      return;
    }
    failures = 0;
    if (result.ok) {
      forget(entry.key);
    } else {
      write({ ...entry, refused: result.said.message ?? `refused (${result.status})` });
    }
    tell(entry.key, { ...result, drop: () => { forget(entry.key); show(); } });
  }
}

function line(entry) {
  const item = document.createElement("li");
  const words = document.createElement("span");
  words.textContent = `${entry.label}: ${entry.refused} `;
  const button = document.createElement("button");
  button.className = "plain";
  button.textContent = "let it go";
  button.addEventListener("click", () => { forget(entry.key); show(); });
  item.append(words, button);
  return item;
}

function show() {
  if (!banner) return;
  const all = entries();
  const refused = all.filter((e) => e.refused);
  const waiting = all.length - refused.length;
  const left = all.some((e) => !e.refused && e.at < OPENED); // from an earlier page
  const inside = banner.firstElementChild;
  inside.replaceChildren();
  if (waiting && (failures || left)) {
    const text = document.createElement("span");
    text.textContent = `${waiting} waiting for signal. Kept on this device; sent by itself.`;
    inside.append(text);
  }
  if (refused.length) {
    const text = document.createElement("span");
    text.textContent = `${refused.length} not taken. Nothing was written for:`;
    const list = document.createElement("ul");
    list.append(...refused.map(line));
    inside.append(text, list);
  }
  banner.classList.toggle("refused", refused.length > 0);
  banner.hidden = !inside.childElementCount;
}

/** Watch for signal, and send what an earlier page left. */
export function start(element) {
  banner = element;
  show();
  for (const event of ["online", "pageshow"]) window.addEventListener(event, () => flush());
  document.addEventListener("visibilitychange", () => { if (!document.hidden) flush(); });
  window.addEventListener("storage", show);
}

/** Let every form marked data-keep go through the outbox. */
export function keepForms(root) {
  root.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || form.dataset.keep === undefined) return;
    if (event.defaultPrevented) return;
    const button = event.submitter;
    if (button?.getAttribute("formmethod") === "get") return;
    event.preventDefault();
    const fields = new FormData(form, button);
    if (button) button.disabled = true; // sent or waiting: a second press would be a second entry
    put({
      url: button?.hasAttribute("formaction") ? button.formAction : form.action,
      body: new URLSearchParams(fields).toString(),
      type: "application/x-www-form-urlencoded",
      label: form.dataset.keep || "your entry",
    }, (result) => {
      if (!result) return;
      if (button) button.disabled = false;
      if (result.ok) {
        form.dispatchEvent(new CustomEvent("kept", { bubbles: true, detail: result.said }));
        location.assign(result.said.goto ?? location.href);
      } else {
        result.drop(); // it still stands in the form, with the reason beside it
        refuse(form, result.said);
      }
    });
  });
}

function refuse(form, said) {
  form.querySelector(":scope > .error")?.remove();
  const words = document.createElement("p");
  words.className = "error";
  words.setAttribute("role", "alert");
  words.textContent = said.message ?? "not taken";
  form.prepend(words);
  for (const field of form.elements) field.removeAttribute("aria-invalid");
  const field = said.field && form.elements.namedItem(said.field);
  if (field instanceof HTMLElement) {
    field.setAttribute("aria-invalid", "true");
    field.dispatchEvent(new Event("input", { bubbles: true })); // what it reads, or asks, shows beside it
    field.focus();
  }
}
