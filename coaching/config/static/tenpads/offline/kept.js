// For whom this device keeps copies: begins with whoever signs in, ends when they are signed out, somebody else signs in, or an
// erasure is asked for. Asks the server at every page with a signal, and sends what waits.
(() => {
  "use strict";
  const { queue, meta, show, sentence, say, make, ago, told } = self.tenpads;
  const copy = document.documentElement.dataset.kept;
  const DAYS_7 = 7 * 86400000, SNAPSHOT = "/morning/kept";

  // Tells the worker, where there is one, and waits until it has done it.
  async function worker(message) {
    const registration = await navigator.serviceWorker?.getRegistration();
    const to = registration && (registration.active || registration.waiting || registration.installing);
    if (!to) return;
    const { port1, port2 } = new MessageChannel();
    const done = new Promise((heard) => { port1.onmessage = heard; setTimeout(heard, 4000); });
    to.postMessage(message, [port2]);
    await done;
  }

  // Copies go at once, whether a worker listens or not; what has to be sent stays until it is.
  async function forget(who, how) {
    if ("caches" in self) for (const name of await caches.keys()) if (name === `kept-${who}` || !who && name.startsWith("kept-")) await caches.delete(name);
    if (who) await queue.forget(who, how);
  }

  async function begin(who) {
    const before = await queue.read("who");
    if (before && before !== who) await forget(before);
    if (who && before !== who) await queue.write("who", who);
    if (!who) await forget("");
    else await worker({ what: "forget", who });
  }

  // A token of this browser's own, so that no sign-in stands between a kept answer and the server.
  async function phone(contact) {
    const own = (await queue.read(`own:${contact.who}`)) || {};
    if (!contact.athlete || own.token) return;
    const answer = await fetch("/phone", { method: "POST", headers: { "X-CSRFToken": contact.csrf }, redirect: "manual" });
    if (answer.status !== 201) return;
    const { token } = await answer.json();
    await queue.write(`own:${contact.who}`, { ...((await queue.read(`own:${contact.who}`)) || own), token });
  }

  // The coach's list of this morning. What is kept goes as soon as who shares what is not as it was then.
  async function snapshot(contact) {
    const key = `snapshot:${contact.who}`, before = await queue.read(key);
    if (before && (before.sharing !== contact.sharing || queue.now() - new Date(before.taken) > DAYS_7)) await queue.write(key, undefined);
    if (!contact.sharing) return;
    const fresh = before && before.sharing === contact.sharing && !["/morning", "/decisions"].includes(location.pathname);
    if (fresh && queue.now() - new Date(before.taken) < 3600000) return;
    const answer = await fetch(SNAPSHOT, { redirect: "manual", headers: { Accept: "application/json" } });
    await queue.write(key, answer.ok ? await answer.json() : undefined);
  }

  async function reach() {
    let contact;
    try { contact = await queue.contact(); } catch { return null; }
    if (!contact || !contact.keep) {
      const who = await queue.read("who");
      if (who) await forget(who);
      if (contact) await queue.write("who", contact.who);
      return contact;
    }
    if (contact.who !== await queue.read("who")) await begin(contact.who);
    await phone(contact).catch(() => {});
    await snapshot(contact).catch(() => {});
    return contact;
  }

  const note = (name) => { try { return sessionStorage.getItem(name); } catch { return null; } };
  // What was told on the page before this one: that page may have been left before it could have the copies made anew.
  const before = note("tenpads-told");

  // Copies are made anew after something was told, and else every quarter of an hour in which a page is opened.
  function due(who, sent) {
    try {
      const [whose, at] = (note("tenpads-copied") || " ").split(" "), fresh = !before || note("tenpads-told") !== before;
      if (!sent && fresh && whose === who && Date.now() - Number(at) < 900000) return false;
      if (!fresh) sessionStorage.removeItem("tenpads-told");
      sessionStorage.setItem("tenpads-copied", `${who} ${Date.now()}`);
    } catch { /* no storage for the session: as if it had been long ago */ }
    return true;
  }

  document.addEventListener("submit", (event) => {
    if (event.target.method === "post") try { sessionStorage.setItem("tenpads-told", String(performance.now() + Math.random())); } catch { /* as above */ }
  });

  let sending = null, once = false, tries = 0, timer = 0;

  async function send() {
    const contact = await reach();
    const found = await queue.flush();
    const own = (await queue.list(await queue.read("who") || "-")).filter((one) => one.state === "waiting").length;
    show("session", ...(found.session && own ? [sentence("sign_in")] : []));
    if (contact && contact.pages.length && due(contact.who, found.sent)) {
      worker({ what: "keep", who: contact.who, pages: contact.pages }).catch(() => {});
    }
    await told();
    tries = own && !found.session ? tries + 1 : 0;
    clearTimeout(timer);
    if (tries) timer = setTimeout(() => sendNow().catch(() => {}), Math.min(300, 2 ** tries) * 1000);
    return found;
  }

  // Meets the server, sends what waits, and brings the copies up to date. Whoever asks while it runs may have heard of a
  // signal that it began without: then it runs once more. While something waits it is tried again, ever more seldom.
  function sendNow() {
    if (sending) once = true;
    sending = sending || send().finally(() => {
      sending = null;
      if (once) { once = false; return sendNow(); }
    });
    return sending;
  }

  async function start() {
    if (navigator.serviceWorker && meta("kept-for")?.content) navigator.serviceWorker.register("/sw.js", { scope: "/", updateViaCache: "none" }).catch(() => {});
    const { behind } = await queue.loadClock();
    if (copy) {
      const again = make("a", { href: location.href }, say("again"));
      show("copy", make("p", {}, say("copy", { when: ago(copy) }), " ", again));
    } else if (meta("kept-for")) {
      if (meta("made-at")) await queue.learnClock(meta("made-at").content);
      await begin(meta("kept-for").content);
    }
    self.tenpads.clockBehind = Boolean(copy && behind);
    await told();
    const registered = navigator.serviceWorker && !copy && meta("kept-for")?.content ? await Promise.race([navigator.serviceWorker.ready, new Promise((go) => setTimeout(go, 3000))]) : null;
    if (copy || registered || await queue.read("who")) await sendNow();
  }

  // Whatever is put in is tried soon, and again: a browser does not always say that there is a signal once more.
  queue.onChange(() => {
    if (sending || tries) return;
    tries = 1;
    timer = setTimeout(() => sendNow().catch(() => {}), 2000);
  });

  Object.assign(self.tenpads, { sendNow, forget, copy, started: start().catch((wrong) => console.warn("offline:", wrong)) });
  self.addEventListener("online", () => { tries = 0; sendNow().catch(() => {}); });
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") sendNow().catch(() => {}); });
})();
