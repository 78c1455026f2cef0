// What this device keeps (IndexedDB) and what is known of its clock. The same file runs in a page and in the worker, before
// queue.js, which keeps entries in it.
(() => {
  "use strict";
  const NAME = "tenpads", VERSION = 1;
  const kept = (request) => new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });
  let opened = null;

  function open() {
    opened = opened || new Promise((done, failed) => {
      const request = indexedDB.open(NAME, VERSION);
      request.onupgradeneeded = () => {
        request.result.createObjectStore("entries", { keyPath: "id" }).createIndex("owner", "owner");
        request.result.createObjectStore("meta");
      };
      request.onsuccess = () => {
        request.result.onclose = request.result.onversionchange = () => { request.result.close(); opened = null; };
        done(request.result);
      };
      request.onerror = () => { opened = null; failed(request.error); };
    });
    return opened;
  }

  // Runs `work` in one transaction over both stores; done once the disk has it, failed with nothing changed.
  async function within(mode, work) {
    const base = await open();
    const transaction = base.transaction(["entries", "meta"], mode);
    const ended = new Promise((done, failed) => {
      transaction.oncomplete = done;
      transaction.onabort = () => failed(transaction.error || new DOMException("aborted", "AbortError"));
    });
    ended.catch(() => {});
    let found;
    try {
      found = await work(transaction.objectStore("entries"), transaction.objectStore("meta"));
    } catch (wrong) {
      try { transaction.abort(); } catch { /* it is over already */ }
      throw transaction.error || wrong;
    }
    await ended;
    return found;
  }

  const read = (key) => within("readonly", (_, meta) => kept(meta.get(key)));
  const write = (key, value) => within("readwrite", (_, meta) =>
    kept(value === undefined ? meta.delete(key) : meta.put(value, key)));
  const random = (bytes) => Array.from(crypto.getRandomValues(new Uint8Array(bytes)), (b) => b.toString(16).padStart(2, "0")).join("");

  // --- the clock -----------------------------------------------------------------------------------------------------
  // `skew` is what the server's clock was ahead of this one when they last met; `high` the latest moment seen, so that a
  // clock that was set back is noticed.
  const clock = { skew: 0, high: 0 };
  const now = () => new Date(Date.now() + clock.skew);
  const day = (when) => [when.getFullYear(), when.getMonth() + 1, when.getDate()].map((n) => String(n).padStart(2, "0")).join("-");

  async function learnClock(text) {
    const server = Date.parse(text || "");
    if (!server) return;
    clock.skew = Math.abs(server - Date.now()) < 5000 ? 0 : server - Date.now();
    clock.high = Math.max(server, 0);
    await write("clock", { ...clock });
  }

  async function loadClock() {
    Object.assign(clock, (await read("clock")) || {});
    return { skew: clock.skew, behind: now().getTime() < clock.high - 60000 };
  }

  function localTime(when) {
    const ahead = -when.getTimezoneOffset(), part = (n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
    const shifted = new Date(when.getTime() + ahead * 60000).toISOString().slice(0, 19);
    return `${shifted}${ahead < 0 ? "-" : "+"}${part(ahead / 60)}:${part(Math.abs(ahead) % 60)}`;
  }

  self.tenpads = Object.assign(self.tenpads || {}, {
    store: { kept, within, read, write, random, clock, now, dayOf: day, today: () => day(now()), learnClock, loadClock, localTime },
  });
})();
