// The worker: opens kept pages where there is no signal, and sends what waits when the browser says that there is one. With a
// signal it changes nothing: the network is always asked first. Headed by `tenpadsKeeps`, which the server writes.
"use strict";
importScripts(...self.tenpadsKeeps.scripts);
const { version, shell, assets } = self.tenpadsKeeps;
const SHELL = `shell-${version}`, SLOW_MS = 5000, queue = self.tenpads.queue;
const copies = (who) => `kept-${who}`;

self.addEventListener("install", (event) => event.waitUntil((async () => {
  const cache = await caches.open(SHELL);
  await cache.addAll(assets.map((path) => new Request(path, { cache: "no-cache" })));
  await cache.put(shell, await fetch(shell, { credentials: "omit", cache: "no-cache" }));
  await renewCopies().catch(() => {});
  await self.skipWaiting();
})()));

self.addEventListener("activate", (event) => event.waitUntil((async () => {
  const old = (await caches.keys()).filter((name) => name.startsWith("shell-") && name !== SHELL);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
})()));

self.addEventListener("fetch", (event) => {
  const { request } = event, url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (request.mode === "navigate") event.respondWith(opened(event, url));
  else if (assets.includes(url.pathname)) event.respondWith(fetch(request).catch(() => kept(SHELL, url.pathname)));
});

async function kept(name, key) {
  const found = await (await caches.open(name)).match(key);
  return found || Response.error();
}

const whose = async () => { try { return await queue.read("who"); } catch { return undefined; } };

async function copyOf(url) {
  const who = await whose();
  if (!who || !(await caches.has(copies(who)))) return undefined;
  const cache = await caches.open(copies(who));
  return (await cache.match(url.pathname + url.search)) || (url.pathname === "/" ? cache.match("/me/check-in") : undefined);
}

async function opened(event, url) {
  const copy = await copyOf(url), asked = ++turn;
  const network = fetch(event.request);
  network.then((answer) => answer.ok && copy && keep(url.pathname + url.search, answer.clone(), asked)).catch(() => {});
  event.waitUntil(network.catch(() => {}));
  try {
    if (!copy) return await network;
    const slow = new Promise((done) => setTimeout(() => done(copy), SLOW_MS));
    return await Promise.race([network, slow]);
  } catch {
    return copy || kept(SHELL, shell);
  }
}

// Keeps a page for whom it says it is for, and for nobody else. The copy says of itself when it was made. What was asked for
// before the copy that is there is older than it, whenever it comes.
let turn = 0;
const turns = new Map();
async function keep(address, answer, asked) {
  const text = await answer.text(), who = await whose();
  if (asked < (turns.get(address) || 0)) return;
  if (answer.redirected || !who || !text.includes(`<meta name="kept-for" content="${who}">`)) return;
  const made = (text.match(/<meta name="made-at" content="([^"]+)">/) || [])[1] || "";
  const body = text.replace('data-kept=""', `data-kept="${made}"`);
  const headers = { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": answer.headers.get("Content-Security-Policy") || "default-src 'none'" };
  turns.set(address, asked);
  const cache = await caches.open(copies(who));
  await cache.put(address, new Response(body, { headers }));
}

async function fetchCopies(pages) {
  for (const page of pages) {
    try {
      const asked = ++turn, answer = await fetch(page, { credentials: "same-origin", cache: "no-store" });
      if (answer.ok) await keep(page, answer, asked);
    } catch { return; }
  }
}

// Copies ask for the scripts of their own time: before other scripts take over, they are made anew.
async function renewCopies() {
  const who = await whose();
  if (!who || !(await caches.has(copies(who)))) return;
  const pages = await (await caches.open(copies(who))).keys();
  await fetchCopies(pages.map((page) => new URL(page.url)).map((url) => url.pathname + url.search));
}

// Copies of everybody but the one named; of everybody where none is.
async function forgetAllBut(who) {
  const others = (await caches.keys()).filter((name) => name.startsWith("kept-") && name !== copies(who));
  await Promise.all(others.map((name) => caches.delete(name)));
}

self.addEventListener("message", (event) => {
  const { what, who, pages } = event.data || {};
  const done = { keep: () => fetchCopies(pages), forget: () => forgetAllBut(who) }[what];
  if (!done) return;
  event.waitUntil(done().then(() => event.ports[0] && event.ports[0].postMessage("done")));
});

self.addEventListener("sync", (event) => {
  event.waitUntil(queue.flush().then((told) => { if (told.offline) throw new Error("still no signal"); }));
});
