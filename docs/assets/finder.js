// The finder on the start page: looks up, in a table made with the plans, which of them can be done with the weights at
// hand.  Nothing is calculated here.

import { both, fillBoth, h } from "./dom.js";

const TOO_LITTLE = -1; // answers of a plan that are no row of its heavier loads
const TOO_HEAVY = -2;

const place = document.getElementById("finder");
const status = h("p", { role: "status", class: "fw-said fw-line" }); // stays in view while choosing
const result = h("div");
let words;

/** One choice by touch: a large tile for each text, one of them chosen. */
function choice(name, legend, texts, chosen, choose) {
  return h("fieldset", { class: "fw-choice" }, h("legend", {}, legend), texts.map((text, at) =>
    h("label", {}, h("input", { type: "radio", name, checked: at === chosen, change: () => choose(at) }), h("span", {}, text))));
}

function show(crane, weights, boom) {
  const slug = Object.keys(crane.booms)[boom - 1]; // none: any length
  const asked = crane.plans.filter((plan) => !slug || plan.boom === slug);
  const can = asked.filter((plan) => plan.answers && plan.answers[weights] !== TOO_LITTLE);
  const cannot = asked.filter((plan) => !can.includes(plan));
  const parts = { found: can.length, all: asked.length, weights: crane.weights[weights] };
  status.replaceChildren(...fillBoth(words.found, parts));
  const list = (title, plans, text) => (plans.length ? [h("h3", {}, title), h("ul", { class: "fw-found" }, plans.map((plan) =>
    h("li", {}, h("a", { href: new URL(plan.page, firmwrap.base).href }, both(crane.booms[plan.boom]), ", ", plan.configuration),
      text(plan).map((line) => h("p", {}, line)))))] : []);
  result.replaceChildren(
    ...list(words.can, can, (plan) => canText(plan, plan.answers[weights], weights < plan.planned)),
    ...list(words.cannot, cannot, (plan) => [plan.refused ? `${words.no_plan}: ${plan.refused}` : fillBoth(words.needs, plan)]));
}

/** What a plan does with the weights at hand; `less`: they are fewer than planned, yet enough. */
function canText(plan, answer, less) {
  const numbers = fillBoth(words.numbers, plan);
  const hang = fillBoth(less ? words.hang_less : words.hang, plan);
  if (answer === 0) return [numbers, hang];
  if (answer === TOO_HEAVY) return [numbers, [hang, " ", words.too_heavy]];
  const [radius, firm] = plan.heavier[answer];
  return [numbers, [hang, " ", fillBoth(words.heavier, { radius, firm, net: plan.net })]];
}

function draw(cranes) {
  const rest = h("div");
  const pick = (at) => {
    const crane = cranes[at];
    let weights = 0;
    let boom = 0;
    const again = () => show(crane, weights, boom);
    rest.replaceChildren(
      choice("weights", words.weights, crane.weights.map(both), weights, (chosen) => { weights = chosen; again(); }),
      choice("boom", words.boom, [words.any, ...Object.values(crane.booms).map(both)], boom, (chosen) => { boom = chosen; again(); }));
    again();
  };
  place.replaceChildren(
    choice("crane", words.crane, cranes.map((crane) => crane.name), null, pick), rest, status, result);
}

async function load() {
  try {
    const table = await (await fetch(new URL("assets/finder.json", firmwrap.base))).json();
    words = table.words;
    draw(table.cranes);
  } catch {
    words = undefined;
    place.replaceChildren(h("p", { role: "alert" }, place.dataset.failed));
  }
}

const box = place.closest("details");
box.addEventListener("toggle", () => { if (box.open && !words) load(); });
