// Looks after the copy of the site on this phone: registers the worker, finds out whether the page is current, hands
// the reader's taps on.  What the page then says is in frame.js.

const { base, build, tell } = firmwrap;
export const worker = build ? navigator.serviceWorker : undefined; // none while MkDocs serves

// What is published now, null without a signal.
async function published() {
  try {
    const answer = await fetch(new URL("version.json", base), { cache: "no-store" });
    return answer.ok ? await answer.json() : null;
  } catch (error) {
    return null;
  }
}

export const registration = () => worker?.getRegistration(base);

// Of a large fleet only some pages are on the phone.
const isKept = () => self.caches?.match(location.href, { ignoreSearch: true });

// Is a newer copy whole?  The worker that fetched it waits, or the browser has started it, but the old copy is in use.
async function isNewer(registered) {
  return Boolean(registered?.active && (await ask(registered.waiting ?? registered.active, "state")).newer);
}

export async function look() {
  if (!build) return;
  const [newest, registered, kept] = await Promise.all([published(), registration(), isKept()]);
  const newer = await isNewer(registered);
  const here = newer ? "behind" : registered?.active && kept ? "kept" : "current";
  const other = newest?.day < document.querySelector(".fw-copy time").textContent ? "older" : "outdated";
  tell(!newest ? "offline" : newest.build === build ? here : other, newer);
}

// An order to a worker, and its answer.
export function ask(to, order, more) {
  return new Promise((resolve) => {
    const channel = new MessageChannel();
    channel.port1.onmessage = (event) => resolve(event.data);
    to.postMessage({ order, ...more }, [channel.port2]);
  });
}

// Asked only after a tap: some browsers put the question to their user.
export async function persist() {
  return (await navigator.storage?.persist?.()) ?? false;
}

export async function update() {
  const registered = await registration();
  if (!(await isNewer(registered))) return location.reload();
  persist();
  const waiting = registered.waiting;
  const started = waiting && new Promise((resolve) => {
    waiting.addEventListener("statechange", () => waiting.state === "activated" && resolve());
  });
  const { failed } = await ask(waiting ?? registered.active, "update");
  if (failed) return tell("failed", true);
  // A worker that is busy is not replaced for minutes; by then it keeps to the copy in use like any other.
  await Promise.race([started, new Promise((resolve) => setTimeout(resolve, 3000))]);
  location.reload();
}

// A crane of a large fleet, saved by hand: its button stands on its page.
async function save(button) {
  const { words } = firmwrap;
  const active = (await registration())?.active;
  button.disabled = true;
  button.textContent = words.saving;
  persist();
  const { failed } = active ? await ask(active, "save", { crane: button.dataset.save }) : { failed: true };
  button.textContent = failed ? words.notSaved : words.saved;
  button.disabled = !failed;
}

async function showSaved() {
  const button = document.querySelector("[data-save]");
  const active = button && (await registration())?.active;
  if (active && (await ask(active, "state")).saved.includes(button.dataset.save)) {
    button.textContent = firmwrap.words.saved;
    button.disabled = true;
  }
}

document.addEventListener("click", (event) => {
  const { target } = event;
  if (target.closest(".fw-act button, [data-update]")) {
    event.preventDefault();
    update();
  } else if (target.closest("[data-save]")) {
    save(target.closest("[data-save]"));
  }
});
document.addEventListener("visibilitychange", async () => {
  if (document.visibilityState !== "visible") return;
  await (await registration())?.update().catch(() => {});
  look();
});
addEventListener("online", look);
addEventListener("offline", look);
addEventListener("appinstalled", persist);

// A new copy says so when it is whole.
function watch(coming) {
  coming?.addEventListener("statechange", () => ["installed", "activated"].includes(coming.state) && look());
}
await worker?.register(new URL("sw.js", base), { scope: base.pathname, updateViaCache: "none" }).catch(() => {});
const registered = await registration();
registered?.addEventListener("updatefound", () => watch(registered.installing));
watch(registered?.installing);
look();
showSaved();
