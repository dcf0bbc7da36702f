// What every page does with script: forms that keep what was typed, and the count of what waits.
import { keepDrafts } from "./draft.js";
import { keepForms, start } from "./outbox.js";
import { showReadings } from "./reading.js";

start(document.getElementById("waiting"));
keepForms(document);
keepDrafts(document);
showReadings(document);

const plan = document.querySelector("[data-plan]");
if (plan) import("./plan.js").then((module) => module.start(plan));
const tried = document.querySelector("[data-try]");
if (tried) import("./try.js").then((module) => module.start(tried));
