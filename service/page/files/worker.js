"use strict";
// Keeps the empty form and every advice for places without a signal. VERSION changes with any file of the page.
const CACHE = "warmheap-VERSION", ANSWERS = "warmheap-answers", TOLD = "/form/told", SHELL = "/form", MOST_ANSWERS = 100;
const FILES = ["SCRIPT", "ICON"];

// The form as the browser has just loaded it, which costs no second download.
const form = async () => {
  const page = await fetch("/", {headers: {accept: "text/html"}});
  if (!page.ok) throw new Error("no form");
  return page;
};

self.addEventListener("install", (event) => event.waitUntil(
  caches.open(CACHE).then((cache) => Promise.all([cache.addAll(FILES), form().then((page) => cache.put(SHELL, page))]))
    .then(() => self.skipWaiting())));

self.addEventListener("activate", (event) => event.waitUntil(
  caches.keys()
    .then((names) => Promise.all(names.filter((name) => name !== CACHE && name !== ANSWERS).map((name) => caches.delete(name))))
    .then(() => self.clients.claim())));

const kept = async (request, key) => (await caches.match(key, {ignoreVary: true})) ?? fetch(request);

const OUT_OF_REACH = "/form?offline";
const asked = async (request) => {
  try { return await fetch(request); } catch { return Response.redirect(OUT_OF_REACH, 303); }
};

const answered = async (request) => {
  const cache = await caches.open(ANSWERS), kept = await cache.match(request.url, {ignoreVary: true});
  if (kept) return kept;
  const answer = await asked(request);
  if (answer.ok && answer.headers.get("warmheap-page") === "answer") {
    await cache.put(request.url, answer.clone()).catch(() => {});
    const all = await cache.keys();
    await Promise.all(all.slice(0, -MOST_ANSWERS).map((each) => cache.delete(each)));
  }
  return answer;
};

self.addEventListener("fetch", (event) => {
  const {request} = event, {pathname, search, origin} = new URL(request.url);
  if (origin !== self.location.origin) return;
  if (request.method === "POST" && request.mode === "navigate" && pathname === SHELL) event.respondWith(asked(request));
  if (request.method !== "GET") return;
  if (FILES.includes(pathname + search)) event.respondWith(kept(request, request.url));
  else if (request.mode !== "navigate") return;
  else if (pathname === "/" || pathname === SHELL) event.respondWith(kept(request, SHELL));
  else if (pathname === TOLD) event.respondWith(answered(request));
});
