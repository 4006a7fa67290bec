// Runs right under the bar, before the first paint: light or dark, what is known of the copy on this phone; later the
// menu, the title in the header, the search.  The copy itself is looked after by offline.js, which comes when the page
// stands.  Words and settings stand in front of this file as `firmwrap`, put there when the site is built.

firmwrap.base = new URL("..", document.currentScript.src);
document.documentElement.className = "js"; // the theme shows what needs a script

firmwrap.stored = (key) => {
  try { return JSON.parse(localStorage.getItem("firmwrap." + key)); } catch (error) { return null; }
};
firmwrap.store = (key, value) => {
  try { localStorage.setItem("firmwrap." + key, JSON.stringify(value)); } catch (error) { /* private window: for this page only */ }
};

// Light or dark: as the system has it until the button in the header says otherwise.
(() => {
  const modes = ["system", "light", "dark"];
  const system = matchMedia("(prefers-color-scheme: dark)");
  let mode = modes.includes(firmwrap.stored("light")) ? firmwrap.stored("light") : "system";
  const show = () => {
    const dark = mode === "dark" || (mode === "system" && system.matches);
    document.body.dataset.mdColorScheme = dark ? "slate" : "default";
    document.body.dataset.light = mode;
    const button = document.querySelector("[data-light]:not(body)");
    if (!button) return;
    button.title = firmwrap.words.light[mode];
    button.setAttribute("aria-label", button.title);
  };
  show();
  document.addEventListener("DOMContentLoaded", show);
  system.addEventListener("change", show);
  document.addEventListener("click", (event) => {
    if (!event.target.closest("button[data-light]")) return;
    mode = modes[(modes.indexOf(mode) + 1) % modes.length];
    firmwrap.store("light", mode);
    show();
  });
})();

// The menu of a small screen: opened by its button, closed by it or by Escape.
(() => {
  const drawer = () => document.getElementById("__drawer");
  const button = () => document.querySelector("[data-menu]");
  document.addEventListener("click", (event) => {
    if (!event.target.closest("[data-menu]")) return;
    drawer().click();
    if (drawer().checked) document.querySelector(".md-nav--primary a").focus();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !drawer().checked) return;
    drawer().click();
    button().focus();
  });
  document.addEventListener("change", (event) => {
    if (event.target === drawer()) button().setAttribute("aria-expanded", event.target.checked);
  });
})();

// The bar: how old the data is, and what was last found out about the copy, if that was a moment ago.
(() => {
  const bar = document.querySelector(".fw-bar");
  const line = bar.querySelector("b");
  const { words, oldAfterDays } = firmwrap;
  const days = Math.floor((Date.now() - Date.parse(bar.querySelector("time").textContent)) / 86_400_000);
  const old = days > oldAfterDays;
  firmwrap.build = bar.dataset.build;
  // States: current, kept, behind, offline, outdated, failed.  `update`: a newer copy is whole and waits for the tap.
  firmwrap.tell = (state, update) => {
    const action = document.createElement("u");
    action.textContent = update ? words.update : state === "outdated" ? words.again : "";
    line.replaceChildren(old ? words.old.replace("{days}", days) + " " : "", words[state] ?? "", " ", action);
    bar.classList.toggle("fw-old", old);
    bar.classList.toggle("fw-outdated", state === "outdated");
    bar.classList.toggle("fw-action", action.textContent !== "");
    if (state) firmwrap.store("copy", { build: firmwrap.build, state, update, at: Date.now() });
  };
  if (!firmwrap.build) return; // while serving nothing is kept
  line.setAttribute("role", "status");
  const last = firmwrap.stored("copy");
  const fresh = last && last.build === firmwrap.build && Math.abs(Date.now() - last.at) < 60_000;
  firmwrap.tell(navigator.onLine === false ? "offline" : fresh && last.state, fresh && last.update);
  addEventListener("load", () => import("./offline.js"));
})();

// The header names the page once its heading has left the screen.
document.addEventListener("DOMContentLoaded", () => {
  const title = document.querySelector(".md-header__title");
  new IntersectionObserver(([heading]) => {
    title.classList.toggle("md-header__title--active", !heading.isIntersecting && heading.boundingClientRect.top < 0);
  }).observe(document.querySelector("h1"));
});

// Search: the theme's bundle, its worker and the index are half of a page's weight, and come when the search is opened.
document.addEventListener("DOMContentLoaded", () => {
  const open = document.getElementById("__search");
  const field = document.forms.namedItem("search").query;
  const come = () => {
    open.removeEventListener("change", come);
    field.removeEventListener("focus", come);
    open.checked = true;
    field.focus();
    // At an address with a mark (#steps) the bundle closes an open search when it starts, by a click of its own.
    const stay = (click) => click.isTrusted || click.preventDefault();
    if (document.querySelector(":target")) open.addEventListener("click", stay, { once: true });
    const config = document.createElement("script"); // what the bundle reads before it runs
    config.type = "application/json";
    config.id = "__config";
    config.textContent = JSON.stringify({
      base: firmwrap.base.href,
      features: [],
      search: new URL(`${firmwrap.search.asking}#${firmwrap.search.worker}`, firmwrap.base).href,
      translations: firmwrap.words.search,
    });
    const bundle = document.createElement("script");
    bundle.src = new URL(firmwrap.search.bundle, firmwrap.base);
    document.head.append(config, bundle);
  };
  open.addEventListener("change", come);
  field.addEventListener("focus", come);
});
