// Judges what is due by the date of this phone. The page was judged on the day of its data; a phone whose date is before
// that day is wrong, and is not believed.

const now = new Date();
const local = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");

for (const line of document.querySelectorAll("[data-due]")) {
  const day = local > line.dataset.asOf ? local : line.dataset.asOf;
  const over = day > line.dataset.due;
  for (const said of line.querySelectorAll("[data-then], [data-over]")) said.hidden = "over" in said.dataset !== over;
}
