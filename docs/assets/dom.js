// Small helpers of the scripts that draw on a page.  Texts are never read as HTML.

/** An element with attributes, event handlers (functions) and children. */
export function h(name, attributes = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") made.addEventListener(key, value);
    else if (value !== false && value !== undefined) made.setAttribute(key, value === true ? "" : value);
  }
  made.append(...children.flat(2).filter((child) => child !== undefined && child !== null && child !== false));
  return made;
}

export const button = (text, click, more = {}) => h("button", { type: "button", class: "fw-button", click, ...more }, text);

/** "Step {step} of {all}" with its parts put in. */
export const fill = (text, parts = {}) => text.replace(/\{(\w+)\}/g, (whole, name) => own(parts, name) ?? whole);

/** The value under a name that was handed over; never one that every object has, like "constructor". */
export const own = (values, name) => (Object.hasOwn(values, name) ? values[name] : undefined);

/** A text in both unit systems as nodes; the unit switch hides one. */
export function both([metric, us]) {
  return metric === us ? [metric] : [h("x-m", { class: "fw-whole" }, metric), h("x-u", { class: "fw-whole" }, us)];
}

/** As `fill`, for parts that are texts in both unit systems. */
export const fillBoth = (text, parts) => both([0, 1].map((at) => fill(text, Object.fromEntries(
  Object.entries(parts).map(([name, part]) => [name, Array.isArray(part) ? part[at] : part]),
))));
