// The page of what is kept on this phone: unfinished sheets and records, each to export or delete.

import { button, fill, h, own } from "./dom.js";
import { dayAndClock, drop, everything, exportButtons, keep, kept, period, recordOf, stateText, toDo } from "./kept.js";

const { words } = JSON.parse(document.getElementById("kept-data").textContent);
const place = document.getElementById("kept");
const status = h("p", { role: "status", class: "fw-said", tabindex: -1 });
const list = h("div");
const AT_ONCE = 50;

/** Delete only at the second tap, on another button than the first. */
function deleteButtons(key, gone) {
  const made = h("div", { class: "fw-buttons" });
  const ask = () => made.replaceChildren(button(words.delete, sure));
  const remove = () => {
    drop(key);
    gone();
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

function recordItem(key, record, gone) {
  const exported = ({ at, as }) => fill(words.exported, { time: `${dayAndClock(at)}`, kind: own(words, as) ?? "" });
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
    deleteButtons(key, gone));
}

function sheetItem(key, sheet, gone) {
  const all = toDo(sheet).length;
  const record = recordOf(sheet, words, new Date().toISOString());
  return h("li", {},
    h("h3", {}, title(sheet)),
    h("p", {}, fill(words.begun, { from: dayAndClock(sheet.started), done: sheet.done.length, all })),
    h("p", {}, h("a", { class: "fw-button", href: firmwrap.inside(`${sheet.plan.address}sheet/`) }, words.open)),
    exportButtons(record, words, () => {}),
    deleteButtons(key, gone));
}

/** What cannot be read is named and can be deleted, never passed over. */
function item(one, gone) {
  try {
    return (one.kind === "sheet" ? sheetItem : recordItem)(one.key, kept(one.key), gone);
  } catch {
    return h("li", {}, h("p", {}, fill(words.unreadable, one)), deleteButtons(one.key, gone));
  }
}

/** A list of a phone that was never cleared is long: it grows by a tap. */
function section(heading, all) {
  if (!all.length) return [];
  const shown = h("ul", { class: "fw-run" });
  const more = button("", () => grow());
  const add = (one) => {
    const made = item(one, () => {
      all.splice(all.indexOf(one), 1);
      made.remove();
      if (!all.length) draw(); // its heading goes, too
    });
    return made;
  };
  const grow = () => {
    const at = shown.childElementCount;
    shown.append(...all.slice(at, at + AT_ONCE).map(add));
    const left = all.length - shown.childElementCount;
    more.textContent = fill(words.show_more, { left });
    more.hidden = left === 0;
  };
  grow();
  return [h("h2", {}, heading), shown, more];
}

function draw() {
  const all = everything() ?? [];
  const sheets = all.filter((one) => one.kind === "sheet");
  const records = all.filter((one) => one.kind === "record");
  const parts = [...section(words.unfinished, sheets), ...section(words.records, records)];
  list.replaceChildren(...(parts.length ? parts : [h("p", {}, everything() ? words.none : words.closed)]));
}

place.append(status, list);
draw();
addEventListener("storage", draw);
