// Forms with `data-queue` (a kind of entry) and `data-athlete` work without a signal: the answer is kept here and sent later.
// With a signal the form goes as ever, but for one thing: where older answers still wait, it takes its place behind them.
// `data-next` is where an answer leads, `data-infected` where it leads with signs of infection.
(() => {
  "use strict";
  const { queue, shapes, steps, show, sentence, make, say, dayWords } = self.tenpads;

  // Signs of infection lead to what to do and whom to call, with a signal and without.
  function next(form) {
    const signs = form.dataset.infected && form.querySelector("input[name=infected][value=yes]:checked, input[name=red_flags]:checked");
    return (signs ? form.dataset.infected : form.dataset.next) || location.href;
  }

  async function keep(form, submitter) {
    const kind = form.dataset.queue, body = await shapes[kind](form, submitter);
    if (!body) { show("form", sentence(kind === "damage" || kind === "look" ? `nothing_${kind}` : "nothing")); window.scrollTo(0, 0); return; }
    try {
      await queue.put(kind, form.dataset.athlete, body);
    } catch (wrong) {
      show("form", sentence(wrong && wrong.name === "QuotaExceededError" ? "full" : "broken"));
      window.scrollTo(0, 0);
      return;
    }
    if (navigator.onLine) await Promise.race([queue.flush().catch(() => {}), new Promise((go) => setTimeout(go, 8000))]);
    location.assign(next(form));
  }

  async function go(form, submitter) {
    const who = await queue.read("who");
    const waits = who && (await queue.list(who)).some((one) => one.state === "waiting");
    if (self.tenpads.copy || waits || !navigator.onLine) return keep(form, submitter);
    const data = new FormData(form), stop = new AbortController(), timer = setTimeout(() => stop.abort(), 10000);
    if (submitter && submitter.name) data.append(submitter.name, submitter.value);
    try {
      const answer = await fetch(form.action, { method: "POST", body: data, redirect: "manual", signal: stop.signal });
      if (answer.type === "opaqueredirect") return location.assign(next(form));
      if (answer.status >= 500) return keep(form, submitter);
      if (submitter && submitter.name) form.append(make("input", { type: "hidden", name: submitter.name, value: submitter.value }));
      return form.submit();  // refused: the page that says why is the server's to draw
    } catch { return keep(form, submitter); } finally { clearTimeout(timer); }
  }

  // A copy of the check-in that was made on another day must not send that day's ticks unseen, nor under its date.
  function freshen(form) {
    const today = queue.today(), day = form.querySelector("input[name=day]");
    if (!day || !self.tenpads.copy) return;
    if (self.tenpads.clockBehind) askDay(form, day);
    if (day.value === today) return;
    setDay(form, day, today);
    for (const name of ["marks", "damage", "deep", "red_flags"]) for (const box of form.querySelectorAll(`input[name=${name}]`)) box.checked = false;
    for (const old of form.querySelectorAll("[data-of-day]")) old.remove();
  }

  // The same for a session: another day's plan and answers are no beginning for this one.
  function freshenSession(form) {
    const today = queue.today();
    if (!self.tenpads.copy || form.dataset.day === today) return;
    Object.assign(form.dataset, { day: today, ordinal: "1" });
    const head = form.querySelector("[data-day-head]");
    if (head) head.textContent = dayWords(today);
    for (const old of form.querySelectorAll("[data-of-day]")) old.remove();
    for (const box of form.querySelectorAll("input:checked")) box.checked = false;
    for (const field of form.querySelectorAll("input.input, select.input")) field.value = "";
  }

  function setDay(form, day, value) {
    day.value = value;
    const head = form.querySelector("[data-day-head]");
    if (head) head.textContent = dayWords(value);
  }

  function oneMore(form, told) {
    const next = Math.min(9, Math.max(...told.map((one) => one.body.ordinal)) + 1);
    return make("button", { type: "button", class: "button", onclick: () => { form.dataset.ordinal = next; show("today"); } }, say("one_more"));
  }

  function askDay(form, day) {
    const asked = make("input", { type: "date", class: "input", value: queue.today(), "aria-label": say("other_day") });
    asked.addEventListener("change", () => asked.value && setDay(form, day, asked.value));
    show("clock", sentence("clock"), asked);
  }

  // A look is of the day on which it is taken, not of the day of the copy.
  function freshenLook(form) {
    const today = queue.today(), day = form.querySelector("input[name=day]");
    if (!day || !self.tenpads.copy) return;
    if (self.tenpads.clockBehind) askDay(form, day);
    if (day.value !== today) setDay(form, day, today);
  }

  // A copy's count is of the day and the moment of the copy: what was counted here since is added, another day's begins anew.
  async function prepareTally(form) {
    const day = form.elements.day, today = queue.today(), kept = await queue.list(await queue.read("who") || "-");
    const anew = self.tenpads.copy && day.value !== today;
    if (anew) {
      day.value = today;
      form.elements.n.value = "1";
    }
    // What waits may have gone by now, and then the page that came counts without it; what was tapped since it came it shows.
    const shown = form.tenpadsShown || new Set(), name = (tap) => (tap.back ? "back " : "") + tap.key;
    const waits = kept.some((one) => one.kind === "tap" && one.state === "waiting" && !shown.has(name(one.body)));
    if (waits && !self.tenpads.copy && !(await self.tenpads.sendNow()).offline) {
      const still = (await queue.list()).some((one) => one.kind === "tap" && one.state === "waiting");
      if (!still) return location.reload();
    }
    const own = kept.filter((one) => one.kind === "tap" && one.state === "waiting" && one.body.local_date === day.value && one.body.ordinal === Number(form.elements.n.value));
    form.dispatchEvent(new CustomEvent("kept", { detail: { anew, taps: own.map((one) => one.body) } }));
  }

  // What a form must be before it is answered: of today, and with what waits of it told.
  async function prepare(form) {
    const kind = form.dataset.queue;
    if (kind === "check-in") freshen(form);
    if (kind === "session") freshenSession(form);
    if (kind === "look") freshenLook(form);
    if (kind === "step") return steps.prepare(form);
    if (kind === "tap") return prepareTally(form);
    const day = kind === "session" ? form.dataset.day : form.querySelector("input[name=day]")?.value;
    const own = await queue.list(await queue.read("who") || "-");
    const told = own.filter((one) => one.kind === kind && one.body.local_date === day && (kind !== "look" || one.body.episode_id === form.dataset.episode));
    if (told.length) show("today", sentence("kept_today"), ...(kind === "session" ? [oneMore(form, told)] : []));
  }

  const every = [];
  for (const form of document.querySelectorAll("form[data-queue]")) {
    const ready = self.tenpads.started.then(() => prepare(form)).catch(() => {});
    every.push(ready);
    form.addEventListener("submit", (event) => {
      if (event.defaultPrevented || !self.indexedDB || form.dataset.queue === "tap") return;
      if (!shapes[form.dataset.queue]) {
        if (navigator.onLine && !self.tenpads.copy) return;
        event.preventDefault();
        show("form", sentence("needs_signal"));
        return;
      }
      event.preventDefault();
      const submitter = event.submitter;
      ready.then(() => go(form, submitter)).catch(() => show("form", sentence("broken")));
    });
  }
  self.tenpads.ready = Promise.all(every);
  // In a copy every other form would only show an error of the browser's.
  if (self.tenpads.copy) for (const form of document.querySelectorAll("form:not([data-queue])")) {
    form.addEventListener("submit", (event) => {
      if (navigator.onLine || form.method !== "post") return;
      event.preventDefault();
      show("form", sentence("needs_signal"));
    });
  }
})();
