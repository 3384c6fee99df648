"use strict";
// Keeps the empty form and the last advice for places without a signal. VERSION changes with any file of the page.
const CACHE = "warmheap-VERSION", LAST = "warmheap-last", SHELL = "/form";
const FILES = ["SCRIPT", "ICON"];

self.addEventListener("install", (event) => event.waitUntil(
  caches.open(CACHE).then((cache) => cache.addAll([SHELL, ...FILES])).then(() => self.skipWaiting())));

self.addEventListener("activate", (event) => event.waitUntil(
  caches.keys()
    .then((names) => Promise.all(names.filter((name) => name !== CACHE && name !== LAST).map((name) => caches.delete(name))))
    .then(() => self.clients.claim())));

const kept = async (request, key) => (await caches.match(key, {ignoreVary: true})) ?? fetch(request);

const asked = async (request) => {
  let answer;
  try { answer = await fetch(request); } catch { return Response.redirect("/form?offline", 303); }
  if (answer.ok && answer.headers.get("warmheap-page") === "answer") {
    await (await caches.open(LAST)).put("/form/last", answer.clone());
  }
  return answer;
};

self.addEventListener("fetch", (event) => {
  const {request} = event, {pathname, search, origin} = new URL(request.url);
  if (origin !== self.location.origin) return;
  if (request.method === "POST" && request.mode === "navigate" && pathname === SHELL) event.respondWith(asked(request));
  if (request.method !== "GET") return;
  if (FILES.includes(pathname + search)) event.respondWith(kept(request, request.url));
  else if (request.mode === "navigate" && (pathname === "/" || pathname === SHELL)) event.respondWith(kept(request, SHELL));
  else if (request.mode === "navigate" && pathname === "/form/last") event.respondWith(kept(request, "/form/last"));
});
