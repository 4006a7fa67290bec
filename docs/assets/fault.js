// Fills a report in: the page it is about is the one whose link led here.

import { button, h } from "./dom.js";

const { to, day, revisions, words } = JSON.parse(document.getElementById("fault-data").textContent);
const base = firmwrap.base.href;
const about = document.referrer.startsWith(base) ? document.referrer.slice(base.length) : null;
const crane = /^machines\/([^/]+)\//.exec(about ?? "")?.[1];

const facts = [
  [words.page, about === null ? words.unknown : `/${about}`],
  ...(crane && Object.hasOwn(revisions, crane) ? [[words.revision, revisions[crane]]] : []),
  [words.day, day],
  [words.build, firmwrap.build ?? ""],
];
const subject = `${words.subject}: ${facts[0][1]}`;
const report = `${words.what}\n\n\n${facts.map((fact) => fact.join(": ")).join("\n")}\n`;
const names = to.startsWith("mailto:") ? ["subject", "body"] : ["title", "body"];
const parts = [subject, report].map((text, at) => `${names[at]}=${encodeURIComponent(text)}`);

const said = h("p", { role: "status", class: "fw-said" });
const copy = async () => {
  try {
    await navigator.clipboard.writeText(report);
    said.textContent = words.copied;
  } catch {
    said.replaceChildren(h("textarea", { readonly: true, rows: 8, "aria-label": words.copy }, report));
  }
};
document.getElementById("fault").replaceChildren(...facts.flatMap(([name, value]) => [h("dt", {}, name), h("dd", {}, value)]));
document.getElementById("fault-ways").replaceChildren(
  h("a", { class: "fw-button", href: `${to}${to.includes("?") ? "&" : "?"}${parts.join("&")}` }, words.write),
  button(words.copy, copy), said);
