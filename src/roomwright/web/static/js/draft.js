// Long forms (data-draft) keep what has been typed on this device until it is sent.

const PREFIX = "roomwright.draft.";

export function keepDrafts(root) {
  for (const form of root.querySelectorAll("form[data-draft]")) keep(form);
}

function keep(form) {
  const key = PREFIX + form.dataset.draft;
  try {
    restore(form, JSON.parse(localStorage.getItem(key) ?? "null"));
    form.addEventListener("input", () => localStorage.setItem(key, JSON.stringify(read(form))));
    form.addEventListener("kept", () => localStorage.removeItem(key));
  } catch { /* this device keeps nothing: the form still works */ }
}

function read(form) {
  return [...new FormData(form)].filter(([, value]) => typeof value === "string");
}

function restore(form, kept) {
  if (!kept || form.dataset.filled !== undefined) return;
  const left = new Map();
  for (const [name, value] of kept) left.set(name, [...(left.get(name) ?? []), value]);
  for (const field of form.elements) {
    if (!field.name || field.type === "hidden" || field.type === "file" || field.type === "submit") continue;
    const values = left.get(field.name);
    if (field.type === "checkbox" || field.type === "radio") field.checked = Boolean(values?.includes(field.value));
    else if (values?.length) field.value = values.shift();
  }
}
