// Keeps the page itself, so that it opens while the computer sleeps. Never a recording, never a draft.
const KEPT = "ashdraft-table-1";
const FILES = [
  "/table", "/static/base.css", "/static/table/table.css", "/static/table/table.js",
  "/static/table/capture.js", "/static/table/cutter.js", "/static/table/store.js",
  "/static/table/sender.js", "/static/table/microphone.js", "/static/table/show.js",
];

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(KEPT).then((kept) => kept.addAll(FILES)).then(() => self.skipWaiting()));
});
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (event) => {
  const { pathname } = new URL(event.request.url);
  if (event.request.method !== "GET" || !FILES.includes(pathname)) return;
  event.respondWith(
    fetch(event.request).then(async (answer) => {
      if (answer.ok) (await caches.open(KEPT)).put(pathname, answer.clone());
      return answer;
    }).catch(async () => (await caches.match(pathname)) ?? Response.error()),
  );
});
