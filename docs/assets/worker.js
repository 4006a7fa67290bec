// The copy of the site on this phone: the service worker, /sw.js once the site is built.
//
// One cache per build, filled from the build's own list of [address, hash].  A file is stored only if its hash is the
// listed one; a cache is used only when it is whole; a file that has not changed is taken over from the copy before.
// Which cache is in use changes only when the reader taps "update", even if the browser starts this worker earlier.
// `BUILD` stands in front of this file, put there by the build.

const SCOPE = registration.scope;
const at = (path) => new URL(path, SCOPE).href;
const OURS = `firmwrap ${SCOPE} `;
const NAME = OURS + BUILD.build;
const VERSION = at("version.json");
const AWAY = at("offline/"); // the page for an address that is not on the phone

// Entries that are no addresses of the site.  In the cache of a build: the list it is filled from; build, day and the
// cranes saved by hand, written last, when all is there.  In a cache of its own: which one is in use.
const LIST = at("offline/list");
const WHOLE = at("offline/whole");
const CHOICE = `firmwrap in use ${SCOPE}`;
const CHOSEN = at("offline/chosen");

// What a stored answer keeps of the server's: its kind, and what the server says for protection.
const HEADERS = [
  "content-type", "content-security-policy", "x-content-type-options", "referrer-policy", "permissions-policy",
  "cross-origin-opener-policy", "cross-origin-resource-policy",
];

class NotThisBuild extends Error {}

addEventListener("install", (event) => event.waitUntil(install()));
addEventListener("activate", (event) => event.waitUntil(activate()));
addEventListener("message", (event) => event.waitUntil(answer(event).then(refill)));
addEventListener("fetch", (event) => {
  const { method, mode, url } = event.request;
  if (method !== "GET" || !url.startsWith(SCOPE)) return;
  if (url === VERSION) event.respondWith(version());
  else event.respondWith(mode === "navigate" ? page(event.request) : part(event.request));
});

async function install() {
  const published = await (await version()).json();
  if (published?.build !== BUILD.build) throw new NotThisBuild("the files of this build are still on their way");
  await fill(NAME, await savedIn(await others()));
}

async function activate() {
  if (!(await chosen())) await choose(NAME); // the first copy on this phone
  await tidy();
}

// ---- which copy is in use

async function chosen() {
  const name = await (await (await caches.open(CHOICE)).match(CHOSEN))?.text();
  return name && (await caches.has(name)) ? name : undefined;
}

let inUse; // a promise of its name, once somebody asked
const choices = self.BroadcastChannel && new BroadcastChannel(CHOICE); // a worker about to be replaced hears of it, too
if (choices) choices.onmessage = () => (inUse = undefined);

async function choose(name) {
  await (await caches.open(CHOICE)).put(CHOSEN, new Response(name));
  inUse = undefined;
  choices?.postMessage(name);
}

async function copyInUse() {
  inUse ??= chosen();
  const name = await inUse;
  if (name && !(await caches.has(name))) inUse = undefined; // the browser cleared it
  return caches.open(name ?? NAME);
}

// The browser may clear the copy while this worker lives: it is fetched anew, once for all that ask.
let refilling;
async function refill() {
  if (await about(await copyInUse())) return;
  refilling ??= fill(NAME, []).then(() => choose(NAME)).catch(() => {}).finally(() => (refilling = undefined));
  await refilling;
}

async function namesOfOthers() {
  return (await caches.keys()).filter((name) => name.startsWith(OURS) && name !== NAME);
}

async function others() {
  return Promise.all((await namesOfOthers()).map((name) => caches.open(name)));
}

async function tidy() {
  const used = await chosen();
  const old = (await namesOfOthers()).filter((name) => name !== used);
  await Promise.all(old.map((name) => caches.delete(name)));
}

async function about(cache) {
  return (await cache.match(WHOLE))?.json();
}

// Cranes saved by hand in these copies.
async function savedIn(copies) {
  const found = await Promise.all(copies.map(async (cache) => (await about(cache))?.cranes ?? []));
  return [...new Set(found.flat())];
}

// ---- filling a copy

// The list's files, and those of cranes saved by hand.  What arrived before the signal was lost (a TypeError, by the
// standard of fetch) stays for the next try.  Anything else, above all a file that does not fit because the build on the
// server is not whole: start anew.
async function fill(name, byHand) {
  const cache = await caches.open(name);
  const whole = await about(cache);
  try {
    const list = (await listIn(cache)) ?? (await fetchList(cache));
    const cranes = byHand.filter((id) => Object.hasOwn(list.cranes, id));
    await collect(cache, [list.files, ...cranes.map((id) => list.cranes[id].files)].flat());
    const { build, day } = whole ?? BUILD;
    await cache.put(WHOLE, json({ build, day, cranes }));
  } catch (error) {
    if (!whole && !(error instanceof TypeError)) await caches.delete(name);
    throw error;
  }
}

async function collect(cache, wanted) {
  const there = new Set((await cache.keys()).map((request) => request.url));
  const missing = wanted.filter(([path]) => !there.has(at(path)));
  const takenOver = await copiesBefore();
  const fetchNext = async () => {
    for (let next = missing.pop(); next; next = missing.pop()) {
      const [url, hash] = [at(next[0]), next[1]];
      await cache.put(url, (await takenOver(url, hash)) ?? (await fitting(url, hash)));
      if (missing.length % 16 === 0) await report(wanted.length - missing.length, wanted.length);
    }
  };
  try {
    await Promise.all(Array.from({ length: 6 }, fetchNext));
  } finally {
    missing.length = 0; // one failed: the others stop as well
  }
}

async function fitting(url, hash) {
  const answer = await fetch(url, { cache: "no-cache" });
  if (!answer.ok) throw new NotThisBuild(`${url}: ${answer.status}`);
  const body = await answer.arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", body)).slice(0, 16);
  if (Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("") !== hash) {
    throw new NotThisBuild(`${url}: not the file of this build`);
  }
  const kept = HEADERS.filter((name) => answer.headers.has(name)).map((name) => [name, answer.headers.get(name)]);
  return new Response(body, { headers: kept });
}

async function listIn(cache) {
  return (await cache.match(LIST))?.json();
}

async function fetchList(cache) {
  const fresh = await fitting(at(BUILD.list), BUILD.listHash);
  await cache.put(LIST, fresh.clone());
  return fresh.json();
}

// A function that finds a file of this hash in the copies of other builds.  What stands in a cache was checked once.
async function copiesBefore() {
  const found = new Map();
  for (const cache of await others()) {
    const list = await listIn(cache);
    const groups = list ? [list.files, ...Object.values(list.cranes).map((crane) => crane.files)] : [];
    for (const [path, hash] of groups.flat()) found.set(`${at(path)} ${hash}`, cache);
  }
  return (url, hash) => found.get(`${url} ${hash}`)?.match(url);
}

// ---- answering the site's requests

const soon = (promise) => Promise.race([promise, new Promise((_, reject) => setTimeout(reject, BUILD.wait))]);

async function version() {
  try {
    return await soon(fetch(VERSION, { cache: "no-store" }));
  } catch (error) {
    return json(null);
  }
}

async function part(request) {
  return (await (await copyInUse()).match(request)) ?? fetch(request);
}

// Pages come from the network as long as it is quick, from the copy otherwise.
async function page(request) {
  const cache = await copyInUse();
  const url = new URL(request.url);
  url.search = url.hash = "";
  url.pathname = url.pathname.replace(/\/index\.html$/, "/");
  const kept = await cache.match(url.href);
  if (kept) return (await soon(current(request.url, cache)).catch(() => undefined)) ?? kept;
  try {
    return await fetch(request);
  } catch (error) {
    if (url.href === AWAY) return Response.error(); // nothing is left to send anybody to
    if (await cache.match(url.href + "/")) return Response.redirect(url.href + "/");
    return Response.redirect(`${AWAY}?missing=${encodeURIComponent(request.url.slice(SCOPE.length))}`);
  }
}

// The page from the network, if all of it comes and it belongs to the build published now, which is no older than the
// copy's: a page of a build that is half uploaded is not shown to somebody who has a whole one.  A page that says it is
// of the copy's build is the one in the copy, whose hash was checked, or it is not shown.
async function current(url, cache) {
  const answer = await fetch(url, { cache: "no-cache" });
  if (!answer.ok || answer.redirected) return undefined;
  const text = await answer.clone().text();
  const build = /<\/html>\s*$/.test(text) && /data-build="(\w+)"/.exec(text)?.[1];
  if (!build) return undefined;
  const [own, published] = [await about(cache), await (await version()).json()];
  const fits = build !== own?.build && build === published?.build && !(published.day < own?.day);
  return fits ? answer : undefined;
}

// ---- talking with the pages

const orders = {
  async state() {
    const cache = await copyInUse();
    const whole = await about(cache);
    const { build, day, cranes: saved } = whole ?? { ...BUILD, cranes: [] };
    const { files, bytes, cranes } = (await listIn(cache)) ?? { files: [], bytes: 0, cranes: {} };
    const byHand = Object.entries(cranes).map(([id, { name, bytes }]) => ({ id, name, bytes }));
    const newer = Boolean(whole) && build !== BUILD.build && !(BUILD.day < day);
    return { build, day, files: files.length, bytes, cranes: byHand, saved, newer, whole: Boolean(whole) };
  },
  async save({ crane }) {
    const saved = await savedIn([await copyInUse()]);
    await fill((await chosen()) ?? NAME, [...new Set([...saved, crane])]);
  },
  async remove({ crane }) {
    const cache = await copyInUse();
    const { cranes, ...rest } = await about(cache);
    await cache.put(WHOLE, json({ ...rest, cranes: cranes.filter((id) => id !== crane) }));
    const { files } = (await listIn(cache)).cranes[crane];
    await Promise.all(files.map(([path]) => cache.delete(at(path))));
  },
  // To this worker's own build, with what was saved by hand since it was fetched.
  async update() {
    await fill(NAME, await savedIn(await others()));
    await choose(NAME);
    if (registration.waiting) skipWaiting(); // not awaited: it settles when the worker before this one is gone
    else await tidy(); // the browser had started this worker already
  },
};

async function answer(event) {
  const { order } = event.data;
  if (!Object.hasOwn(orders, order)) return;
  const reply = await orders[order](event.data).catch((error) => ({ failed: error.message }));
  event.ports[0].postMessage(reply ?? {});
}

async function report(done, of) {
  for (const client of await clients.matchAll({ includeUncontrolled: true })) client.postMessage({ done, of });
}

function json(value) {
  return new Response(JSON.stringify(value), { headers: { "content-type": "application/json" } });
}
