// The run sheet: takes the checks and the step cards that the page holds and makes them a sheet to tick, undo, count,
// stop early and record.  Once started, a sheet lives from what is kept on the phone, not from the page; only the figures
// of a card come from the page, and only as long as the plan is the one the sheet was started with.

import { both, button, fill, h, own } from "./dom.js";
import {
  clock, day, drop, exportButtons, flat, keep, kept, recordKey, recordOf, sheetKey, stateText, tidy, toDo,
} from "./kept.js";

const { words, methods, ...data } = JSON.parse(document.getElementById("sheet-data").textContent);
const source = document.getElementById("sheet-steps");
const place = document.getElementById("sheet");
const key = sheetKey(data.plan);

let sheet = kept(key); // null: none; undefined: one that cannot be read
let older = null; // name of the warning when the plan has changed since
let view = "steps"; // steps, stop or record
let record = null;

// -- the page as data ------------------------------------------------------------------------------------------------

/** A text of the page in both unit systems, as plain text; a number stays with its unit. */
function pair(node) {
  return ["x-u", "x-m"].map((hidden) => {
    const copy = node.cloneNode(true);
    copy.querySelectorAll(hidden).forEach((part) => part.remove());
    copy.querySelectorAll("x-m, x-u").forEach((part) => { part.textContent = part.textContent.replaceAll(" ", "\u00a0"); });
    return copy.textContent.replace(/[ \n]+/g, " ").trim();
  });
}

/** The steps of one method as the page of this build has them. */
function stepsOf(method) {
  return [...source.querySelectorAll(`section:not([data-method]), [data-method="${method}"]`)].flatMap((section) => {
    const { part } = section.dataset;
    if (part === "work") return cardsOf(section).map((card, at) => workStep(section, card, at, methods[method].moves[at]));
    return [...section.querySelectorAll("li")].map((item, at) => ({
      id: part + (at + 1),
      part,
      number: at + 1,
      title: item.querySelector("strong").textContent.replace(/\.$/, ""),
      text: pair(item.querySelector("span")),
    }));
  });
}

const cardsOf = (section) => [...section.querySelectorAll(".fw-card")];

/** One move as its card has it; the first one with the count table. */
function workStep(section, card, at, move) {
  const [aside, enough] = ["aside", "enough"].map((name) => card.querySelector(`[data-${name}]`));
  const counts = [...section.querySelectorAll("[data-do]")].map((row) => ({
    do: row.dataset.do, first: row.dataset.first.split(",").map(Number), text: pair(row),
  }));
  return {
    id: `work${at + 1}`,
    part: "work",
    number: at + 1,
    heading: pair(card.querySelector(".fw-card-head")),
    text: pair(card.querySelector(".fw-card-say")),
    stop: pair(card.querySelector("[data-stop]")),
    ...(aside && { aside: pair(aside) }),
    ...(enough && { enough: pair(enough) }),
    ...(at === 0 && { counts }),
    ...move,
  };
}

/** Name of the warning when the kept sheet has other numbers than this build. */
function age() {
  if (!sheet) return null;
  if (sheet.plan.rope && sheet.plan.rope !== data.plan.rope) return "older_rope";
  if (!own(methods, sheet.method.id)) return "older_gone";
  return JSON.stringify(stepsOf(sheet.method.id)) === JSON.stringify(sheet.steps) ? null : "older_text";
}

// -- what is done with a sheet ---------------------------------------------------------------------------------------

const MINUTE = 60_000; // ms
const now = () => new Date().toISOString();
const current = () => toDo(sheet)[sheet.done.length];
const lastDone = () => toDo(sheet)[sheet.done.length - 1];
const nextText = () => (current() ? fill(words.next, { step: current().title }) : words.all_done);

function say(...texts) {
  status.textContent = texts.join(" ");
}

function save() {
  full.hidden = keep(key, sheet);
}

function change(...texts) {
  save();
  draw();
  say(...texts);
  place.querySelector("[aria-current]")?.scrollIntoView({ block: "start" });
}

function start(id) {
  const method = { id, title: methods[id].title };
  data.plan.build = firmwrap.build ?? "";
  sheet = { ...data, method, started: now(), steps: stepsOf(id), done: [], answers: {}, counts: {}, notes: {} };
  import("./offline.js").then(({ persist }) => persist()); // after a tap, and from here on there is something to lose
  change(fill(words.started, { time: clock(sheet.started), method: method.title }), nextText());
}

function tick() {
  const step = current();
  if (!step) return write();
  if (ends(step)) return stopEarly();
  if (uncounted(step)) return undefined;
  sheet.done.push(now());
  return change(fill(words.ticked, { step: step.title, time: clock(sheet.done.at(-1)) }), nextText());
}

/** Take back what was done last: the answer of the count, the end after a pass, a tick, or the start of an empty sheet. */
function undo() {
  const counting = current();
  if (counting?.counts && sheet.answers[counting.id]) {
    delete sheet.answers[counting.id];
    delete sheet.counts[counting.id];
    return change(fill(words.undone, { step: counting.title }));
  }
  if (!sheet.done.length) {
    drop(key);
    return begin();
  }
  if (sheet.enough && lastDone().part === "work") delete sheet.enough;
  else sheet.done.pop();
  return change(fill(words.undone, { step: current().title }));
}

function endAfter(pass) {
  sheet.enough = pass;
  change(fill(words.enough_said, { pass }), nextText());
}

/** The record takes the place of the sheet, unless the phone does not keep it. */
function write() {
  record = recordOf(sheet, words, now());
  full.hidden = keep(recordKey(record), record);
  if (full.hidden) drop(key);
  show("record");
}

// -- counting --------------------------------------------------------------------------------------------------------

// The count before anything is hung has three answers, and the work goes on only after one of the first two: as planned;
// off by no more wraps than the rule allows, counted, and by the count table still this rope; off by more.

const wrapsOff = (step, count = sheet.counts[step.id]) => flat(sheet, count) - flat(sheet, step.drum);

/** What the count table says of the count of a step that has one. */
function says(step) {
  const count = sheet.counts[step.id];
  return count && step.counts?.findLast((row) => flat(sheet, row.first) <= flat(sheet, count));
}

/** Whether the count ends the job here. */
const ends = (step) => Boolean(step.counts) && (sheet.answers[step.id] === "off-by-more" || says(step)?.do === "not-this-rope");

/** Whether a step still wants its count. */
const uncounted = (step) => Boolean(step.counts) && !sheet.counts[step.id];

function answer(step, given) {
  sheet.answers[step.id] = given;
  if (given === "as-planned") sheet.counts[step.id] = [...step.drum];
  change(fill(words.answers[given], sheet), ...(ends(step) ? [words.count_ends] : []));
  (given === "off" ? counting.querySelector("button") : tickButton).focus();
}

/** What is said of a count on the card: what the table says of it, that the job ends here, that a later count is off. */
function countText(step) {
  const texts = [];
  if (ends(step)) texts.push(h("strong", {}, words.count_ends));
  else if (says(step)) texts.push(h("span", {}, both(says(step).text)));
  if (!step.counts && sheet.counts[step.id] && Math.abs(wrapsOff(step)) > sheet.tolerance) {
    const off = Math.abs(wrapsOff(step));
    texts.push(h("strong", {}, fill(words.count_off_later, { off, tolerance: sheet.tolerance })));
  }
  return texts;
}

/** A place on the drum so many wraps on; the layer follows. */
function moved([layer, wrap], by) {
  const { wraps } = sheet;
  if (wrap + by < 1 && layer > 1) return [layer - 1, wraps[layer - 2] + wrap + by];
  if (wrap + by > wraps[layer - 1] && layer < wraps.length) return [layer + 1, wrap + by - wraps[layer - 1]];
  return [layer, Math.min(Math.max(wrap + by, 0), wraps[layer - 1])];
}

/** A field for counted wraps between two buttons, and one to take the planned count.  `get` gives the count or
    undefined, `set` takes it; `most` is how many wraps it may be off. */
function counter(planned, hint, get, set, most = Infinity) {
  const field = h("input", { type: "number", inputmode: "numeric", min: 0, step: 1 });
  const layerText = h("span");
  const warn = h("p", { role: "alert", class: "fw-off" });
  const same = button("", () => put(get() ? undefined : planned));
  function put(count) {
    if (count && Math.abs(flat(sheet, count) - flat(sheet, planned)) > most) {
      warn.textContent = fill(words.count_more, { tolerance: most });
      return;
    }
    set(count);
    show();
  }
  function show() {
    const [layer, wrap] = get() || planned;
    layerText.textContent = fill(words.layer_short, { layer });
    field.setAttribute("aria-label", fill(words.count_in, { layer }));
    field.value = get() ? wrap : "";
    field.placeholder = wrap;
    field.max = sheet.wraps[layer - 1];
    same.textContent = get() ? words.clear : words.as_planned;
    warn.replaceChildren();
  }
  field.addEventListener("change", () => {
    const [layer] = get() || planned;
    const typed = Number(field.value);
    if (Number.isInteger(typed) && field.value !== "" && typed >= 0 && typed <= field.max) return put([layer, typed]);
    put(undefined);
    if (typed) warn.textContent = fill(words.count_wrong, { layer, most: sheet.wraps[layer - 1] });
    return undefined;
  });
  const step = (by) => () => put(moved(get() || planned, by));
  const made = h("div", { class: "fw-counter" },
    button("−", step(-1), { "aria-label": words.less }),
    h("label", {}, layerText, " ", field),
    button("+", step(1), { "aria-label": words.more }),
    most === Infinity && same,
    hint && h("p", { class: "fw-small" }, hint),
    warn);
  show();
  return made;
}

/** The counter of a step in the bar; what a count means stands on the card. */
function stepCounter(step, said) {
  const set = (count) => {
    if (count) sheet.counts[step.id] = count;
    else delete sheet.counts[step.id];
    save();
    said.replaceChildren(...countText(step));
    label();
  };
  return counter(step.drum, "", () => sheet.counts[step.id], set, step.counts ? sheet.tolerance : Infinity);
}

/** The three answers of the count; after the second one the counter. */
function answers(step, said) {
  const given = sheet.answers[step.id];
  if (given === "off-by-more") return [];
  if (given === "off") return [stepCounter(step, said)];
  const made = ["as-planned", "off", "off-by-more"].map((one) =>
    button(fill(words.answers[one], sheet), () => answer(step, one), { "aria-pressed": String(given === one) }));
  return [h("div", { class: "fw-answers", role: "group", "aria-label": words.count_question }, made)];
}

// -- drawing ---------------------------------------------------------------------------------------------------------

const status = h("p", { role: "status", class: "fw-said" });
const full = h("p", { role: "alert", class: "fw-banner", hidden: true }, words.full);
const old = h("div", { class: "fw-banner", role: "note" });
const body = h("div");
const undoButton = button(words.undo, undo);
const stopButton = button(words.stop, () => show("stop"));
const tickButton = button("", tick, { class: "fw-button fw-main" });
const counting = h("div");
const bar = h("div", { class: "fw-run-bar" }, counting, h("div", { class: "fw-run-buttons" }, undoButton, stopButton, tickButton));

/** Another view, its heading focused, so that what it says is read out. */
function show(which) {
  view = which;
  say();
  draw();
  place.querySelector("h2").focus();
}

/** What the bar offers now. */
function label() {
  const step = current();
  tickButton.textContent = !step ? words.finish : ends(step) ? words.end : words.tick;
  tickButton.setAttribute("aria-disabled", String(Boolean(step) && !ends(step) && uncounted(step)));
  stopButton.hidden = !step || ends(step);
}

function draw() {
  source.hidden = Boolean(sheet);
  bar.hidden = !sheet || view !== "steps";
  old.hidden = !sheet || !older;
  if (!old.hidden) {
    const text = fill(words[older], { day: day(sheet.started), now: data.plan.rope, ...sheet.plan });
    old.replaceChildren(h("strong", {}, older === "older_rope" ? words.older_rope_title : words.older_title), h("p", {}, text));
  }
  counting.replaceChildren();
  body.replaceChildren(...(sheet ? { steps: stepsView, stop: stopView, record: recordView }[view]() : startView()));
  if (sheet) label();
}

function startView() {
  const offers = Object.entries(methods).map(([id, { title }]) =>
    button(fill(words.start, { method: title }), () => start(id), { class: "fw-button fw-main" }));
  return [...(sheet === null ? [] : [h("p", { class: "fw-banner" }, words.sheet_unreadable)]), h("div", { class: "fw-start" }, offers)];
}

/** Name of the warning when the phone's clock was put back or leapt while the sheet was open. */
function clockJumped() {
  const times = [sheet.started, ...sheet.done, now()].map(Date.parse);
  const between = times.slice(1).map((time, at) => time - times[at]);
  if (Math.min(...between) < -MINUTE) return "clock_back";
  return Math.max(...between) > 12 * 60 * MINUTE ? "clock_ahead" : null;
}

function stepsView() {
  const steps = toDo(sheet);
  const done = sheet.done.length;
  const parts = [h("p", { class: "fw-small" }, fill(words.progress, { done, all: steps.length }))];
  const jumped = clockJumped();
  if (jumped) parts.unshift(h("p", { class: "fw-banner", role: "alert" }, words[jumped]));
  steps.forEach((step, at) => {
    const before = steps[at - 1];
    if (!before || before.part !== step.part) parts.push(h("h2", {}, own(words.part, step.part) || sheet.method.title));
    if (step.pass && step.pass !== before.pass) parts.push(h("h3", {}, fill(words.pass, step)));
    if (!before || before.part !== step.part || before.pass !== step.pass) parts.push(h("ol", { class: "fw-run" }));
    parts.at(-1).append(at < done ? doneItem(step, sheet.done[at]) : at === done ? nowItem(step) : nextItem(step));
  });
  if (current()?.part === "work") parts.push(source.querySelector(".fw-card-key").cloneNode(true));
  return parts;
}

function head(step, mark, ...more) {
  return h("p", { class: "fw-run-head" }, h("span", { class: "fw-mark" }, mark), " ", h("strong", {}, step.title), ...more);
}

function doneItem(step, time) {
  const [layer, wrap] = sheet.counts[step.id] || [];
  const note = sheet.notes[step.id];
  const said = [layer && fill(words.counted, { layer, wrap }), note && fill(words.said, { note })].filter(Boolean);
  const mark = h("span", { role: "img", "aria-label": words.done }, "✓");
  return h("li", { class: "fw-done" },
    head(step, mark, " ", h("time", { datetime: time }, clock(time))),
    said.length > 0 && h("p", { class: "fw-small" }, said.join(" ")));
}

function nextItem(step) {
  return h("li", {}, head(step, `${step.number}`), h("p", {}, both(step.text)));
}

function nowItem(step) {
  if (step.part === "work") return workItem(step);
  return h("li", { class: "fw-now", "aria-current": "step" },
    head(step, `${step.number}`),
    h("p", { class: "fw-run-text" }, both(step.text)),
    stepNote(step));
}

/** The card of a move: what it shows comes from the page, what it says from the sheet. */
function workItem(step) {
  const card = !older && cardsOf(source.querySelector(`[data-method="${sheet.method.id}"]`))[step.number - 1];
  const piece = (name) => {
    const made = card?.querySelector?.(name)?.cloneNode(true);
    made?.removeAttribute("id");
    return made;
  };
  const said = h("p", { role: "alert", class: "fw-off" }, countText(step));
  counting.replaceChildren(...(step.counts ? answers(step, said) : [stepCounter(step, said)]));
  return h("li", { class: "fw-now fw-card", "aria-current": "step" },
    enoughOffer(step),
    piece(".fw-card-bar"),
    piece(".fw-card-where"),
    h("p", { class: "fw-card-head" }, both(step.heading ?? [step.title, step.title])),
    said,
    piece(".fw-card-boxes") ?? drumText(step.drum),
    piece(".fw-card-figures"),
    h("p", { class: "fw-card-say" }, both(step.text)),
    h("details", { class: "fw-card-more" },
      h("summary", {}, words.more_on),
      step.aside && h("p", {}, both(step.aside)),
      step.counts && h("div", { class: "fw-counts" }, step.counts.map((row) => h("p", {}, both(row.text)))),
      !step.counts && h("p", { class: "fw-small" }, step.before ? words.count_up : step.after ? words.count_down : words.count_any),
      h("p", {}, h("b", {}, words.stop_here), " ", both(step.stop)),
      stepNote(step)));
}

function stepNote(step) {
  return noteField(sheet.notes[step.id], (text) => {
    if (text) sheet.notes[step.id] = text;
    else delete sheet.notes[step.id];
    save();
  });
}

const wrapsText = ([layer, wrap]) =>
  fill(wrap === sheet.wraps[layer - 1] ? words.layer_full : wrap === 1 ? words.wrap : words.wraps, { wrap });

function drumText([layer, wrap]) {
  return h("p", { class: "fw-drum" }, h("span", {}, words.expect), " ",
    h("b", {}, fill(words.layer, { layer })), " ", h("b", {}, wrapsText([layer, wrap])));
}

function noteField(value, set) {
  const field = h("input", { type: "text", maxlength: 300, value, autocomplete: "off" });
  field.addEventListener("input", () => set(tidy(field.value)));
  return h("label", { class: "fw-note" }, words.note, field);
}

/** Before every pass but the first: what the passes so far are enough for, and the way to end with them. */
function enoughOffer(step) {
  const before = lastDone();
  if (before?.part !== "work" || step.part !== "work" || before.pass === step.pass) return null;
  return h("div", { class: "fw-enough" },
    h("p", {}, words.enough_title, " ", both(before.enough)),
    button(words.enough, () => endAfter(before.pass)));
}

/** End the job at the step that is open, with what is known of the drum. */
function stopEarly(known = {}) {
  sheet.broken = { at: now(), ...known };
  write();
}

function stopView() {
  const step = current();
  const known = {};
  const stop = step.stop || [words.stop_nothing, words.stop_nothing];
  return [
    h("h2", { tabindex: -1 }, words.stop_title),
    h("p", {}, fill(words.stop_at, { step: step.title })),
    h("p", { class: "fw-run-text fw-stop" }, both(stop)),
    h("ul", {}, words.stop_then.map((text) => h("li", {}, text))),
    ...(step.begun ? [counter(step.drum, words.stop_count, () => known.count, (count) => { known.count = count; })] : []),
    noteField("", (text) => { known.note = text; }),
    h("div", { class: "fw-buttons" },
      button(words.stop_back, () => show("steps")),
      button(words.finish, () => stopEarly(known), { class: "fw-button fw-main" })),
  ];
}

function recordView() {
  const exported = (kind) => {
    record.exported = { at: now(), as: kind };
    full.hidden = keep(recordKey(record), record);
  };
  return [
    h("h2", { tabindex: -1 }, words.record),
    h("p", {}, stateText(record, words)),
    h("p", { class: "fw-banner" }, words.export_now),
    exportButtons(record, words, exported),
    button(words.anew, begin),
  ];
}

// -- begin -----------------------------------------------------------------------------------------------------------

/** Nothing started: the page as it came. */
function begin() {
  sheet = record = older = null;
  view = "steps";
  full.hidden = true;
  say();
  draw();
}

if (sheet) sheet.answers ??= {}; // one begun before the count had answers
older = age();
if (older && !sheet.older) {
  sheet.older = true;
  keep(key, sheet);
}
place.append(full, old, status, body, bar);
draw();

// The same sheet open in another window: show what stands there now.
addEventListener("storage", (event) => {
  if (event.key !== key || view === "record") return;
  sheet = kept(key);
  older = age();
  view = "steps";
  say(words.other_window);
  draw();
});
