// What every page does with script: forms that keep what was typed, and the count of what waits.
import { keepDrafts } from "./draft.js";
import { keepForms, start } from "./outbox.js";
import { showReadings } from "./reading.js";

start(document.getElementById("waiting"));
keepForms(document);
keepDrafts(document);
showReadings(document);
