// Stands between the search box and the theme's search, in its thread: hands it a query as the index wants it.  The
// theme takes every word as the beginning of one; for a length, a code or a single letter that finds what nobody asked
// for.  Where the theme's own file lies stands behind the # of the address of this one.

const LOADS = "+heavy +lifts"; // a mass is in no page of the index: how to lift it is
const SMALL = new Set(["in", "on", "of", "to", "at", "is", "it", "the", "tomorrow"]); // "in" begins "interpolated"
const LENGTH = /(^|\s)(\d+(?:\.\d+)?)\s*(m|ft|metres?|meters?|feet|foot)(?=\s|$)/g;
const MASS = /(^|\s)\d+(?:[.,]\d+)?\s*(t|to|tons?|tonnes?|kg|lbs?)(?=\s|$)/g;

/** A query with lengths, codes and numbers as whole words that must be there, without single letters and small words. */
function asked(query) {
  return query.toLowerCase()
    .replace(/(^|\s)(minus\s+|-)\d+/g, "$1+minus") // degrees below freezing, whatever their number
    .replace(LENGTH, (_, before, number, unit) => `${before}+${number}${unit[0] === "m" ? "m" : "ft"}`)
    .replace(MASS, (_, before) => before + LOADS)
    .split(/\s+/)
    .map((word) => (/^(\d[\d.]*|r\d\d+)$/.test(word) ? `+${word}` : word))
    .filter((word) => word.length > 1 && !SMALL.has(word))
    .join(" ");
}

addEventListener("message", (event) => {
  if (event.data.type !== 2 || event.data.asked) return; // 2: a query
  event.stopImmediatePropagation();
  dispatchEvent(new MessageEvent("message", { data: { type: 2, data: asked(event.data.data), asked: true } }));
});
importScripts(new URL(`../${location.hash.slice(1)}`, location));
