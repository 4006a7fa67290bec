// Runs right under the header, before the first paint: light or dark, what is known of the copy on this phone, the
// menu; later the bar of a crane and the search.  The copy itself is looked after by offline.js, which comes when the
// page stands.  Words and settings stand in front of this file as `firmwrap`, put there when the site is built.

firmwrap.base = new URL("..", document.currentScript.src);

// An address of this site; what was stored or handed over may be any, and then leads to the start page.
firmwrap.inside = (address) => {
  try {
    const { href } = new URL(address, firmwrap.base);
    return href.startsWith(firmwrap.base.href) ? href : firmwrap.base.href;
  } catch (error) {
    return firmwrap.base.href;
  }
};
document.documentElement.className = "js"; // the theme shows what needs a script

firmwrap.stored = (key) => {
  try { return JSON.parse(localStorage.getItem("firmwrap." + key)); } catch (error) { return null; }
};
firmwrap.store = (key, value) => {
  try { localStorage.setItem("firmwrap." + key, JSON.stringify(value)); } catch (error) { /* private window: for this page only */ }
};

// Light or dark: as the system has it until the button in the menu says otherwise.
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
    button.querySelector("span").textContent = firmwrap.words.light[mode];
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

// The menu: the browser opens it from its button, and closes it by Escape or a tap beside it; an older one is helped.
(() => {
  const menu = document.getElementById("fw-menu");
  const button = document.querySelector("[data-menu]");
  const told = (open) => button.setAttribute("aria-expanded", open);
  if ("popover" in menu) {
    menu.addEventListener("toggle", ({ newState }) => told(newState === "open"));
    menu.addEventListener("beforetoggle", ({ newState }) => newState === "open" && setTimeout(() => menu.querySelector("a").focus()));
  } else {
    button.addEventListener("click", () => told(menu.classList.toggle("fw-open")));
  }
})();

// What is known of the data and of the copy on this phone: all of it in the menu; what has to be acted on, in a line as
// well - under the header if it is known before the first paint, else at the foot of the screen.
(() => {
  const aside = document.querySelector(".fw-told");
  const notice = aside.querySelector(".fw-act");
  const line = document.querySelector(".fw-copy b");
  const { words, oldAfterDays } = firmwrap;
  const days = Math.floor((Date.now() - Date.parse(document.querySelector(".fw-copy time").textContent)) / 86_400_000);
  const old = days > oldAfterDays && words.old.replace("{days}", days);
  let early = true;
  firmwrap.build = aside.dataset.build;
  // States: current, kept, behind, offline, older, outdated, failed.  `update`: a newer copy is whole and waits for the tap.
  firmwrap.tell = (state, update) => {
    if (!Object.hasOwn(words, state)) state = ""; // what was stored may be anything
    line.textContent = words[state] ?? "";
    const act = state === "outdated" || state === "failed" || update;
    const said = [old, act && (update && state === "offline" ? words.behind : words[state])].filter(Boolean).join(" ");
    if (said !== (notice.querySelector("span")?.textContent ?? "")) {
      notice.classList.toggle("fw-act--late", !early);
      notice.replaceChildren();
      if (said) {
        const text = document.createElement("span");
        text.textContent = said;
        notice.append(text);
      }
    }
    notice.querySelector("button")?.remove();
    if (act) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "fw-button";
      button.textContent = update ? words.update : words.again;
      notice.append(button);
    }
    if (state) firmwrap.store("copy", { build: firmwrap.build, state, update, at: Date.now() });
  };
  const last = firmwrap.stored("copy");
  const fresh = last && last.build === firmwrap.build && Math.abs(Date.now() - last.at) < 60_000;
  firmwrap.tell(navigator.onLine === false ? "offline" : fresh && last.state, fresh && last.update);
  early = false;
  if (firmwrap.build) addEventListener("load", () => import("./offline.js")); // while serving nothing is kept
})();

// Plan, in the bar of a crane, leads to the plan of it that was opened last.
document.addEventListener("DOMContentLoaded", () => {
  const way = document.querySelector("[data-plan]");
  if (!way) return;
  const opened = firmwrap.stored("opened") ?? {};
  const { plan: crane, opened: now } = way.dataset;
  if (now) firmwrap.store("opened", { ...opened, [crane]: now });
  if (now || Object.hasOwn(opened, crane)) way.href = firmwrap.inside(now ?? opened[crane]);
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
  const button = document.querySelector("[data-search]");
  const to = (on) => {
    open.checked = on;
    open.dispatchEvent(new Event("change"));
    (on ? field : button).focus();
  };
  button.addEventListener("click", () => to(true));
  document.querySelector("[data-close]").addEventListener("click", () => to(false));
  open.addEventListener("change", () => open.checked || button.focus());
});
