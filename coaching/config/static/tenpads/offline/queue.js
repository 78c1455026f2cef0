// Entries kept on this device until the server has taken them. The same file runs in a page and in the worker. Nothing leaves
// the store before the server has said that it is stored; what the server refuses stays and says so. Documented in
// DEVELOPERS.md, "What works without a signal".
(() => {
  "use strict";
  const { kept, within, read, write, random, clock, now, dayOf, today, learnClock, loadClock, localTime } = self.tenpads.store;
  const NAME = "tenpads", LOCK = "tenpads-flush", PATIENCE_MS = 20000;

  // --- putting in ----------------------------------------------------------------------------------------------------
  // Keeps one entry for the person this device is kept for. Throws what IndexedDB throws (QuotaExceededError where the device
  // is full), and then nothing is kept. `more.about` is what a decision was about; `more.day` which day it tells of.
  async function put(kind, athlete, body, more = {}) {
    await loadClock();
    const said = new Date();
    const entry = await within("readwrite", async (entries, meta) => {
      const owner = await kept(meta.get("who"));
      if (!owner) throw new Error("nobody is signed in on this device");
      const own = (await kept(meta.get(`own:${owner}`))) || { device: random(8), seq: 0 };
      own.seq += 1;
      const made = {
        id: random(16), owner, kind, athlete, body, ...more, device: own.device, seq: own.seq, state: "waiting",
        said_at: localTime(said), skew_s: Math.round(clock.skew / 1000), made: now().toISOString(),
        timezone: Intl.DateTimeFormat().resolvedOptions().timeZone || "",
      };
      await kept(entries.add(made));
      await kept(meta.put(own, `own:${owner}`));
      await kept(meta.put({ ...clock, high: Math.max(clock.high, now().getTime()) }, "clock"));
      return made;
    });
    changed();
    try { if (navigator.storage && navigator.storage.persist) navigator.storage.persist(); } catch { /* not asked for */ }
    const registration = self.registration || (navigator.serviceWorker && await navigator.serviceWorker.getRegistration());
    if (registration && registration.sync) registration.sync.register(LOCK).catch(() => {});
    return entry;
  }

  async function list(owner) {
    const found = await within("readonly", (entries) => kept(owner ? entries.index("owner").getAll(owner) : entries.getAll()));
    return found.sort((a, b) => a.seq - b.seq);
  }

  async function change(id, part) {
    await within("readwrite", async (entries) => {
      const entry = await kept(entries.get(id));
      if (entry) await kept(entries.put({ ...entry, ...part }));
    });
    changed();
  }

  async function remove(id) {
    await within("readwrite", (entries) => kept(entries.delete(id)));
    changed();
  }

  // Says again what the server refused, as a new entry: a number stands for one body only.
  async function again(id, body) {
    await within("readwrite", async (entries, meta) => {
      const entry = await kept(entries.get(id));
      if (!entry) return;
      const own = await kept(meta.get(`own:${entry.owner}`));
      const seq = (own ? own.seq : entry.seq) + 1;
      await kept(entries.delete(id));
      await kept(entries.add({ ...entry, id: random(16), seq, body, state: "waiting", said: "" }));
      if (own) await kept(meta.put({ ...own, seq }, `own:${entry.owner}`));
    });
    changed();
  }

  // --- sending -------------------------------------------------------------------------------------------------------
  const addressOf = (entry) => `/api/v1/athletes/${encodeURIComponent(entry.athlete)}/${entry.kind === "decision" ? "decisions" : "deliveries"}`;
  const envelope = (entry) => entry.kind === "decision" ? entry.body : {
    kind: entry.kind, device: entry.device, seq: entry.seq, body: entry.body, said_at: entry.said_at, skew_s: entry.skew_s,
    timezone: entry.timezone,
  };

  async function asked(address, options) {
    const stop = new AbortController(), timer = setTimeout(() => stop.abort(), PATIENCE_MS);
    try {
      return await fetch(address, { cache: "no-store", redirect: "manual", signal: stop.signal, ...options });
    } finally { clearTimeout(timer); }
  }

  async function post(entry, credentials) {
    const headers = { "Content-Type": "application/json", "Idempotency-Key": entry.id, ...credentials.headers };
    return asked(addressOf(entry), { method: "POST", headers, body: JSON.stringify(envelope(entry)), credentials: credentials.cookies });
  }

  // What the server knows of this device: null where nobody is signed in. Throws where there is no signal.
  async function contact() {
    const answer = await asked("/contact", { credentials: "same-origin", headers: { Accept: "application/json" } });
    if (answer.status >= 500 || answer.status === 429) throw new Error(`the server says ${answer.status}`);
    const json = (answer.headers.get("Content-Type") || "").startsWith("application/json");
    if (!answer.ok || !json) return null;
    const told = await answer.json();
    await learnClock(told.now);
    if (told.athlete) await count(told.who, told.seen, told.athlete);
    return told;
  }

  // Counts on from the highest number that anybody has seen (Lamport's rule).
  const count = (owner, seen, athlete) => within("readwrite", async (_, meta) => {
    const own = (await kept(meta.get(`own:${owner}`))) || { device: random(8), seq: 0 };
    await kept(meta.put({ ...own, seq: Math.max(own.seq, seen || 0), ...(athlete ? { athlete } : {}) }, `own:${owner}`));
  });

  async function said(answer) {
    try {
      const told = await answer.json();
      return (told.errors || []).map((one) => one.detail).join(" ") || told.detail || told.title || String(answer.status);
    } catch { return String(answer.status); }
  }

  // Sends what waits, oldest first. Returns how many went and how many wait for a session of their own.
  async function flush() {
    const run = async () => {
      const told = { sent: 0, session: 0, refused: 0, offline: false };
      const waiting = (await list()).filter((one) => one.state === "waiting");
      let session;
      for (const entry of waiting) {
        try {
          const own = (await read(`own:${entry.owner}`)) || {};
          let answer = null;
          if (own.token && entry.kind !== "decision" && own.athlete === entry.athlete) {
            answer = await post(entry, { headers: { Authorization: `Bearer ${own.token}` }, cookies: "omit" });
            if ([401, 403, 404].includes(answer.status)) {
              await within("readwrite", async (_, meta) => {
                const { token, ...rest } = (await kept(meta.get(`own:${entry.owner}`))) || {};
                await kept(meta.put(rest, `own:${entry.owner}`));
              });
              answer = null;
            }
          }
          if (!answer) {
            if (session === undefined) session = await contact();
            if (!session || session.who !== entry.owner) { told.session += 1; continue; }
            answer = await post(entry, { headers: { "X-CSRFToken": session.csrf }, cookies: "same-origin" });
          }
          if (answer.ok) {
            const stored = await answer.json().catch(() => ({}));
            await count(entry.owner, stored.seen);
            await remove(entry.id);
            told.sent += 1;
          } else if (answer.type === "opaqueredirect" || answer.status === 401 || answer.status === 403) {
            told.session += 1;
          } else if (answer.status === 409 || answer.status === 429 || answer.status >= 500) {
            break;
          } else {
            await change(entry.id, { state: "refused", said: await said(answer), status: answer.status });
            told.refused += 1;
          }
        } catch (wrong) {
          if (wrong && wrong.name === "QuotaExceededError") throw wrong;
          told.offline = true;
          break;
        }
      }
      return told;
    };
    if (!navigator.locks) return run();
    return navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => lock ? run() : { sent: 0, session: 0, refused: 0, busy: true });
  }

  // --- telling -------------------------------------------------------------------------------------------------------
  const channel = "BroadcastChannel" in self ? new BroadcastChannel(NAME) : null;
  const heard = new Set();
  const tell = () => heard.forEach((one) => one());
  if (channel) channel.onmessage = tell;
  function changed() {
    tell();
    if (channel) channel.postMessage("changed");
  }

  // Takes everything of one person from the stores; `entries` too, unless they are still to be sent.
  async function forget(owner, { entries: theirs = false } = {}) {
    await within("readwrite", async (entries, meta) => {
      const keys = await kept(entries.index("owner").getAllKeys(owner));
      if (theirs) for (const key of keys) await kept(entries.delete(key));
      if (theirs || !keys.length) await kept(meta.delete(`own:${owner}`));
      await kept(meta.delete(`snapshot:${owner}`));
      if (await kept(meta.get("who")) === owner) await kept(meta.delete("who"));
    });
    changed();
  }

  self.tenpads = Object.assign(self.tenpads || {}, {
    queue: {
      put, list, remove, again, flush, contact, forget, read, write, loadClock, learnClock, now, today, dayOf,
      onChange: (one) => heard.add(one),
    },
    shapes: {},
  });
})();
