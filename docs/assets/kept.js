// What the run sheet keeps on this phone, and how it leaves the phone: only by the hand that exports it.
// Used by sheet.js and records.js, on pages with frame.js (`firmwrap`).  A sheet holds all of its own numbers and texts, so that no later build changes them.

import { button, fill, h, own } from "./dom.js";

const SHEET = "firmwrap.sheet.1:";
const RECORD = "firmwrap.record.1:";

// -- times and typed text -----------------------------------------------------------------------------------------

const two = (number) => String(number).padStart(2, "0");

/** Local clock time and local day of a time kept as ISO text. */
export function clock(iso) {
  const at = new Date(iso);
  return `${two(at.getHours())}:${two(at.getMinutes())}`;
}
export function day(iso) {
  const at = new Date(iso);
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
}
export const dayAndClock = (iso) => `${day(iso)} ${clock(iso)}`;

/** From when to when a record was made; the day once where it is the same. */
export function period({ started, ended }, words) {
  const to = day(started) === day(ended) ? clock(ended) : dayAndClock(ended);
  return fill(words.from_to, { from: dayAndClock(started), to });
}

/** What was typed, on one line, without characters nobody sees. */
export const tidy = (text) => text.replace(/\s+/g, " ").replace(/\p{C}/gu, "").trim().slice(0, 300);

// -- keeping ---------------------------------------------------------------------------------------------------------

/** Keep a value; false when the phone does not (private window, storage full). */
export function keep(key, value) {
  try {
    localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

/** The value kept under this key: null when there is none, undefined when it cannot be read. */
export function kept(key) {
  let text = null;
  try {
    text = localStorage.getItem(key);
    return JSON.parse(text);
  } catch {
    return text === null ? null : undefined;
  }
}

export function drop(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // no storage, nothing kept
  }
}

export const sheetKey = (plan) => SHEET + plan.address;
export const recordKey = (record) => `${RECORD}${record.started} ${record.plan.address}`;

/** Everything kept: [{key, kind}], records newest first; `kept` reads the values, one by one, for they may be many.
    Null where the browser keeps nothing. */
export function everything() {
  let keys = [];
  try {
    keys = Object.keys(localStorage);
  } catch {
    return null;
  }
  return keys
    .filter((key) => key.startsWith(SHEET) || key.startsWith(RECORD))
    .sort()
    .reverse()
    .map((key) => ({ key, kind: key.startsWith(SHEET) ? "sheet" : "record" }));
}

// -- a sheet ---------------------------------------------------------------------------------------------------------

/** The steps of a sheet that are to be done: without the passes after the one that was enough. */
export const toDo = (sheet) => sheet.steps.filter((step) => !sheet.enough || !(step.pass > sheet.enough));

/** Wraps from the barrel up to a place [layer, wraps in it]. */
export const flat = (sheet, [layer, wraps]) => sheet.wraps.slice(0, layer - 1).reduce((sum, each) => sum + each, wraps);

/** The entries for the log of the rope, one for each pass that changed the drum. */
function logOf(sheet, words) {
  const steps = toDo(sheet);
  const passes = [...new Set(steps.map((step) => step.pass).filter(Boolean))];
  return passes.map((pass) => entryOf(sheet, words, steps, pass)).filter(Boolean);
}

function entryOf(sheet, words, steps, pass) {
  const mine = steps.map((step, at) => ({ ...step, at })).filter((step) => step.pass === pass);
  const done = mine.filter((step) => step.at < sheet.done.length);
  const broken = sheet.broken && mine.find((step) => step.at === sheet.done.length);
  const last = done[done.length - 1];
  if (!last && !broken) return null;
  // Broken off in the middle of a move that pays out: the rope may be off the drum as far as that move takes it.
  let entry = structuredClone(broken && (broken.out || !last) ? broken.entry : last.entry);
  let counted = last && last.after && sheet.counts[last.id];
  const end = broken && broken.begun && sheet.broken.count;
  if (end && flat(sheet, end) > flat(sheet, broken.begun.pre_tensioning.drum_before)) {
    entry = structuredClone(broken.begun);
    counted = end;
  }
  if (!entry) return null;
  const wound = entry.pre_tensioning;
  const start = mine.find((step) => step.before);
  const before = start && sheet.counts[start.id];
  if (wound && before) wound.drum_before = before;
  if (wound && counted) wound.drum_after = counted;
  // a first pass has no count of where firm rope begins: the plan's number stands, to the cautious side
  const count = (before || !start) && counted ? words.log_count : words.log_no_count;
  const parts = { configuration: sheet.plan.configuration_name, pass, count };
  const said = mine.map((step) => sheet.notes[step.id]).concat(broken ? sheet.broken.note : []);
  const note = [fill(wound ? words.log_part : words.log_nothing, parts), sheet.older && words.log_older, ...said];
  return { day: day(broken ? sheet.broken.at : sheet.done[last.at]), ...entry, note: note.filter(Boolean).join("; ") };
}

/** The record of a sheet as it stands now: plain data, nothing in it that is not known. */
export function recordOf(sheet, words, now) {
  const steps = toDo(sheet);
  const state = sheet.broken ? "broken-off" : sheet.done.length === steps.length ? "finished" : "unfinished";
  return {
    format: 1,
    plan: sheet.plan,
    method: sheet.method,
    state,
    older_numbers: Boolean(sheet.older),
    started: sheet.started,
    ended: sheet.broken ? sheet.broken.at : sheet.done[sheet.done.length - 1] || now,
    ...(sheet.broken && { broken_at: steps[sheet.done.length].title }),
    log: logOf(sheet, words),
    steps: steps.map((step, at) => ({
      part: step.part,
      ...(step.pass && { pass: step.pass }),
      number: step.number,
      title: step.title,
      text: step.text,
      ...(step.drum && { planned: step.drum }),
      ...(sheet.done[at] && { done: sheet.done[at] }),
      ...(sheet.answers?.[step.id] && { answer: sheet.answers[step.id] }),
      ...(sheet.counts[step.id] && { counted: sheet.counts[step.id] }),
      ...(sheet.notes[step.id] && { note: sheet.notes[step.id] }),
    })),
  };
}

// -- the three forms of a record -------------------------------------------------------------------------------------

export const asJson = (record) => `${JSON.stringify(record, null, 2)}\n`;

/** A cell of a table; one that begins like a formula or a command is held as text, as in the log of the site. */
function cell(value) {
  const text = String(value ?? "");
  return `"${(/^[=+\-@|%＝＋－＠]/.test(text.trim()) ? `'${text}` : text).replace(/"/g, '""')}"`;
}

export function asCsv(record, words) {
  const rows = record.steps.map((step) => [
    own(words.parts, step.part), step.pass, step.number, step.title,
    step.done && day(step.done), step.done && clock(step.done),
    ...(step.planned || ["", ""]), ...(step.counted || ["", ""]), own(words.answered, step.answer), step.note,
  ]);
  return `${[words.columns, ...rows].map((row) => row.map(cell).join(",")).join("\r\n")}\r\n`;
}

export const stateText = (record, words) =>
  (record.broken_at ? fill(words.broken_at, { step: record.broken_at }) : own(words.state, record.state) ?? "");

export function asText(record, words) {
  const { plan } = record;
  const place = ([layer, wrap]) => ({ layer, wrap });
  const steps = record.steps.map((step) => {
    const said = [
      `${step.done ? clock(step.done) : words.not_done}  ${step.number} ${step.title}`,
      step.planned && fill(words.planned, place(step.planned)),
      own(words.answered, step.answer),
      step.counted && fill(words.was_counted, place(step.counted)),
      step.note,
    ];
    return said.filter(Boolean).join("; ");
  });
  const log = record.log.map((entry) => JSON.stringify(entry));
  return [
    `${words.record}: ${plan.name}, ${plan.boom_name}, ${plan.configuration_name}`,
    own(words.not_approved, plan.status),
    fill(words.plan, { address: firmwrap.inside(plan.address) }),
    fill(words.data, plan),
    record.older_numbers && words.older,
    fill(words.method, { method: record.method.title }),
    period(record, words),
    stateText(record, words),
    "",
    ...steps,
    "",
    ...(log.length ? [words.log, ...log] : [words.no_log]),
    "",
    words.sign,
    words.decide,
    "",
  ].filter((line) => line !== false && line !== undefined).join("\n");
}

// -- out of the phone ------------------------------------------------------------------------------------------------

const KINDS = {
  json: { type: "application/json", make: asJson },
  csv: { type: "text/csv", make: asCsv },
  text: { type: "text/plain", ending: "txt", make: asText },
};

function fileName(record, kind) {
  const name = [record.plan.machine, record.plan.boom, day(record.started), clock(record.started).replace(":", "")];
  return `${name.join("-")}.${KINDS[kind].ending || kind}`;
}

/** Hand a record over: by the phone's own share sheet where it takes files, else as a download.  What to say, or null
    when the phone was told to forget it. */
async function exported(record, kind, words) {
  const name = fileName(record, kind);
  const text = KINDS[kind].make(record, words);
  // A share sheet that knows no JSON takes it as text.
  for (const [as, type] of [[name, KINDS[kind].type], [`${name}.txt`, "text/plain"]]) {
    const file = new File([text], as, { type });
    if (!navigator.canShare?.({ files: [file] })) continue;
    try {
      await navigator.share({ files: [file], title: name });
      return words.shared;
    } catch (error) {
      if (error.name === "AbortError") return null;
      break;
    }
  }
  const url = URL.createObjectURL(new Blob([text], { type: KINDS[kind].type }));
  h("a", { href: url, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
  return fill(words.saved, { file: name });
}

/** The buttons that export one record, with what came of it said underneath; `done(kind)` after each export. */
export function exportButtons(record, words, done) {
  const said = h("p", { role: "status", class: "fw-small" });
  const by = (kind) => async () => {
    const text = await exported(record, kind, words);
    said.textContent = text ?? words.cancelled;
    if (text !== null) done(kind);
  };
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(asText(record, words));
      said.textContent = words.copied;
      done("text");
    } catch {
      const text = h("textarea", { readonly: true, rows: 12 }, asText(record, words));
      said.replaceChildren(words.not_copied, text);
      text.select();
    }
  };
  const buttons = [...Object.keys(KINDS).map((kind) => button(words[kind], by(kind))), button(words.copy, copy)];
  return h("div", { class: "fw-export" }, h("div", { class: "fw-buttons" }, ...buttons), said);
}
