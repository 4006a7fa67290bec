// Light or dark, as chosen last time or else as the system has it, before the first paint.  Inline in the theme,
// external here for the content policy; unlike the theme's own it also serves the first visit, so nothing flashes.
(function () {
  const saved = __md_get("__palette");
  const colour = saved && saved.color ? saved.color : { media: "(prefers-color-scheme)" };
  if (colour.media === "(prefers-color-scheme)") {
    const light = matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
    const input = document.querySelector(`[data-md-color-media='(prefers-color-scheme: ${light})']`);
    for (const part of ["scheme", "primary", "accent"]) colour[part] = input.getAttribute("data-md-color-" + part);
  }
  for (const [key, value] of Object.entries(colour)) document.body.setAttribute("data-md-color-" + key, value);
})();
