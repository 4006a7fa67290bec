// The page of what is kept on this phone: unfinished sheets and records, each to export or delete.

import { button, fill, h } from "./dom.js";
import { dayAndClock, drop, everything, exportButtons, keep, period, recordOf, stateText, toDo } from "./kept.js";

const { words } = JSON.parse(document.getElementById("kept-data").textContent);
const place = document.getElementById("kept");
const status = h("p", { role: "status", class: "fw-said", tabindex: -1 });
const list = h("div");

/** Delete only at the second tap, on another button than the first. */
function deleteButtons(key) {
  const made = h("div", { class: "fw-buttons" });
  const ask = () => made.replaceChildren(button(words.delete, sure));
  const remove = () => {
    drop(key);
    draw();
    status.textContent = words.deleted;
    status.focus();
  };
  const sure = () => {
    const stay = button(words.keep, () => { ask(); made.firstChild.focus(); });
    made.replaceChildren(stay, button(words.delete_sure, remove));
    stay.focus();
  };
  ask();
  return made;
}

function title({ plan, method }) {
  return `${plan.name}, ${plan.boom_name}, ${plan.configuration_name}: ${method.title}`;
}

function recordItem({ key, value: record }) {
  const exported = ({ at, as }) => fill(words.exported, { time: `${dayAndClock(at)}`, kind: words[as] });
  const said = h("p", { class: record.exported ? "fw-small" : "fw-off" }, record.exported ? exported(record.exported) : words.not_exported);
  const done = (as) => {
    record.exported = { at: new Date().toISOString(), as };
    if (!keep(key, record)) status.textContent = words.full;
    said.className = "fw-small";
    said.textContent = exported(record.exported);
  };
  return h("li", {},
    h("h3", {}, title(record)),
    h("p", {}, period(record, words), " ", stateText(record, words)),
    record.older_numbers && h("p", {}, words.older),
    said,
    exportButtons(record, words, done),
    deleteButtons(key));
}

function sheetItem({ key, value: sheet }) {
  const all = toDo(sheet).length;
  const record = recordOf(sheet, words, new Date().toISOString());
  return h("li", {},
    h("h3", {}, title(sheet)),
    h("p", {}, fill(words.begun, { from: dayAndClock(sheet.started), done: sheet.done.length, all })),
    h("p", {}, h("a", { class: "fw-button", href: new URL(`${sheet.plan.address}sheet/`, firmwrap.base).href }, words.open)),
    exportButtons(record, words, () => {}),
    deleteButtons(key));
}

/** What cannot be read is named and can be deleted, never passed over. */
function item(one) {
  try {
    return one.kind === "sheet" ? sheetItem(one) : recordItem(one);
  } catch {
    return h("li", {}, h("p", {}, fill(words.unreadable, one)), deleteButtons(one.key));
  }
}

function section(heading, kept) {
  return kept.length ? [h("h2", {}, heading), h("ul", { class: "fw-run" }, kept.map(item))] : [];
}

function draw() {
  const kept = everything() ?? [];
  const sheets = kept.filter((one) => one.kind === "sheet");
  const records = kept.filter((one) => one.kind === "record");
  const parts = [...section(words.unfinished, sheets), ...section(words.records, records)];
  list.replaceChildren(...(parts.length ? parts : [h("p", {}, everything() ? words.none : words.closed)]));
}

place.append(status, list);
draw();
addEventListener("storage", draw);
