// The page of the offline copy: what is kept, and the buttons for it.
import { ask, look, persist, registration, worker } from "./offline.js";

const words = JSON.parse(document.getElementById("words").textContent);
const put = (name, text) => { document.getElementById("copy-" + name).textContent = text; };
const say = (text, parts) => text.replace(/\{(\w+)\}/g, (all, name) => parts[name]);
const size = (bytes) => (bytes < 1e6 ? `${Math.ceil(bytes / 1e3)} kB` : `${Math.ceil(bytes / 1e5) / 10} MB`);

// The address that was asked for and is not here; only an address of this site is offered again.
const missing = new URLSearchParams(location.search).get("missing");
if (missing !== null) {
  const box = document.getElementById("missing");
  const again = new URL("./" + missing, firmwrap.base);
  if (again.href.startsWith(firmwrap.base.href)) box.querySelector("a").href = again.href;
  box.hidden = false;
}

async function show() {
  const found = await registration();
  const active = found?.active;
  const kept = await navigator.storage?.persisted?.();
  put("kept", kept ? words.kept : words.notKept);
  document.getElementById("keep").hidden = kept || !active;
  if (!active) {
    put("state", worker ? words.coming : words.never);
    return;
  }
  const copy = await ask(active, "state");
  const newer = copy.newer || (found.waiting && (await ask(found.waiting, "state")).newer);
  document.querySelector("[data-update]").hidden = !newer;
  put("state", copy.whole === false ? words.lost : newer ? words.waiting : words.whole);
  put("day", copy.day);
  put("files", say(words.files, { files: copy.files, size: size(copy.bytes) }));
  put("build", copy.build);
  showCranes(active, copy);
}

// Cranes that are saved by hand: with the plans of one saved, the button removes them again.
function showCranes(active, { cranes, saved }) {
  document.getElementById("cranes").hidden = cranes.length === 0;
  const rows = cranes.map(({ id, name, bytes }) => {
    const here = saved.includes(id);
    const button = document.createElement("button");
    button.type = "button";
    button.className = "fw-button";
    button.textContent = say(here ? words.remove : words.save, { name, size: size(bytes) });
    button.onclick = async () => {
      button.disabled = true;
      if (!here) persist();
      const { failed } = await ask(active, here ? "remove" : "save", { crane: id });
      if (failed) button.textContent = words.notSaved;
      else show();
    };
    const row = document.createElement("li");
    row.append(button);
    return row;
  });
  document.querySelector("#cranes ul").replaceChildren(...rows);
}

document.getElementById("keep").onclick = async () => {
  if (await persist()) show();
  else put("kept", words.refused);
};

addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  const button = document.getElementById("install");
  button.hidden = false;
  button.onclick = async () => {
    persist();
    await event.prompt();
    button.hidden = true;
  };
});

worker?.addEventListener("message", ({ data }) => {
  if (data.of) put("state", say(words.progress, data));
  if (data.done === data.of) look().then(show);
});
worker?.ready.then(show);
show();
