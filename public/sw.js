// Keeps one version of the app on the device, whole or not at all, and serves it from there.
// The build puts the two lists in; a changed file gives another version, and with it another text of this script.
"use strict";

const VERSION = "unfinished";
/** Every file of the site: [path relative to this script, its digest as subresource integrity spells it]. */
const FILES = [];

// Two sites on one host share the host's caches: the name says whose this one is.
const PLACE = new URL(self.registration.scope).pathname;
const CACHE = `quarterlight-${VERSION}@${PLACE}`;
const isOurs = (name) => name.startsWith("quarterlight-") && name.endsWith(`@${PLACE}`);

const here = (path) => new URL(path, self.registration.scope).href;
// Hosts answer for the folder what they may redirect for index.html, and a redirect cannot open a page.
const INDEX = here("./");
const KEPT = new Set(FILES.map(([path]) => (path === "index.html" ? INDEX : here(path))));

const fetchChecked = async (path, integrity) => {
  const url = path === "index.html" ? INDEX : here(path);
  const asked = new Request(url, { cache: "no-cache", integrity, credentials: "same-origin" });
  const response = await fetch(asked).catch(() => {
    // The browser does not tell which of the two it was.
    throw new Error(`${path}: it did not arrive, or not as it was built`);
  });
  if (!response.ok) throw new Error(`${path}: the server answered ${response.status}`);
  return [url, response];
};

const install = async () => {
  try {
    const pairs = await Promise.all(FILES.map(([path, integrity]) => fetchChecked(path, integrity)));
    const cache = await caches.open(CACHE);
    await Promise.all(pairs.map(([url, response]) => cache.put(url, response)));
  } catch (fault) {
    await caches.delete(CACHE);
    const pages = await self.clients.matchAll({ includeUncontrolled: true });
    for (const page of pages) page.postMessage({ kind: "not-stored", why: String(fault?.message ?? fault) });
    throw fault;
  }
};

const activate = async () => {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => isOurs(name) && name !== CACHE).map((name) => caches.delete(name)));
  await self.clients.claim();
};

const answer = async (request) => {
  const url = new URL(request.url);
  url.hash = "";
  url.search = "";
  // A page of ours is the same page whatever its query; the hash never reaches the network.
  const wanted = KEPT.has(url.href) ? url.href : request.mode === "navigate" ? INDEX : undefined;
  if (wanted === undefined) return fetch(request);
  const cache = await caches.open(CACHE);
  // A browser short of room may have dropped the cache: then the network is all there is.
  return (await cache.match(wanted)) ?? fetch(request);
};

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => {
  if (event.data === "take-over") self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(self.registration.scope)) return;
  event.respondWith(answer(request));
});
