// Forms with `data-queue` (a kind of entry) and `data-athlete` work without a signal: the answer is kept here and sent later.
// With a signal the form goes as ever, but for one thing: where older answers still wait, it takes its place behind them.
// `data-next` is where an answer leads. A shape turns the form into the body of its kind.
(() => {
  "use strict";
  const { queue, shapes, show, sentence, make, say, dayWords } = self.tenpads;
  const number = (text) => text === null || text === "" ? undefined : Number(text);
  const truth = (text) => ({ yes: true, no: false })[text];
  const pairs = (form, name, second) => form.getAll(name).map((text) => {
    const [site, code] = text.split("=");
    return { site, [second]: code };
  });

  shapes["check-in"] = (form) => {
    const found = new FormData(form), body = { local_date: found.get("day") };
    for (const name of ["reserve", "dampness", "hardness", "sting", "pull_pain"]) body[name] = number(found.get(name));
    if (["reserve", "dampness", "hardness", "sting", "pull_pain"].some((name) => body[name] !== undefined)) body.rating_step = 2;
    body.agent_used = truth(found.get("agent_used"));
    const marks = pairs(found, "marks", "mark"), deep = new Set(found.getAll("deep"));
    if (marks.length) body.marks = marks;
    const damage = pairs(found, "damage", "kind").map((one) => deep.has(one.site) ? { ...one, depth: "deep" } : one);
    if (damage.length) body.damage = damage;
    const flags = found.getAll("red_flags"), infected = found.get("infected");
    if (flags.length || infected === "no") body.red_flags = flags;
    if (infected === "yes" && !flags.length) body.sign_unnamed = true;
    const looks = [...new Set([...found.keys()].filter((name) => name.startsWith("stage-")))].map((name) => {
      const key = name.slice("stage-".length);
      return { episode_id: key, stage: found.get(name), pain: number(found.get(`pain-${key}`)), opens_on_pull: truth(found.get(`opens-${key}`)) };
    }).filter((look) => look.stage);
    if (looks.length) body.looks = looks;
    const note = (found.get("note") || "").trim(), seconds = number(found.get("seconds_taken"));
    if (note) body.note = note;
    if (seconds !== undefined && seconds <= 3600) body.seconds = seconds;
    return Object.keys(body).some((name) => !["local_date", "seconds"].includes(name) && body[name] !== undefined) ? body : null;
  };

  shapes.session = (form, submitter) => {
    const found = new FormData(form), body = { local_date: form.dataset.day, ordinal: Number(form.dataset.ordinal || 1) };
    if (submitter && submitter.name === "happened") return { ...body, minutes: 0, hard_tries: 0 };
    const told = {
      minutes: number((found.get("minutes") || "").replace(",", ".")), rpe: number(found.get("rpe")), surface: found.get("surface") || undefined,
      hard_tries: number(found.get("hard_tries")), skin_limited: truth(found.get("skin_limited")), place_id: found.get("place_id") || undefined,
    };
    const began = /^(\d\d?):(\d\d)$/.exec((found.get("began") || "").trim());
    if (began) told.started_at = localInstant(form.dataset.day, Number(began[1]), Number(began[2]));
    return Object.values(told).some((value) => value !== undefined) ? { ...body, ...told } : null;
  };

  // A photo goes along as text: what is kept and sent is JSON.
  const asText = (file) => new Promise((done, failed) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result);
    reader.onerror = () => failed(reader.error);
    reader.readAsDataURL(file);
  });

  shapes.damage = async (form) => {
    const found = new FormData(form), photo = found.get("photo"), flags = found.getAll("red_flags"), infected = found.get("infected");
    const noticed = new Date(queue.now().getTime() - Number(found.get("noticed") || 0) * 86400000);
    const body = { local_date: queue.dayOf(noticed), site: found.get("site"), kind: found.get("kind"), stage: found.get("stage") || undefined,
      bled: truth(found.get("bled")), red_below: truth(found.get("red_below")), length_mm: number(found.get("length_mm")),
      worries: found.getAll("worries"), cause: (found.get("cause") || "").trim() };
    if (!body.site || !body.kind) return null;
    if (flags.length || infected === "no") body.red_flags = flags;
    if (infected === "yes" && !flags.length) body.sign_unnamed = true;
    if (photo && photo.size) body.photo = await asText(photo);
    return body;
  };

  // The tally has a script of its own (tally.js), which hands over the fields of its form.
  function tapOf(fields) {
    const [what, rest] = (fields.tap || "").split(/ (.*)/s);
    const back = what === "back";
    return { key: back ? rest : fields.idempotency_key, local_date: fields.day, ordinal: Number(fields.n) || 1, what: back ? "end" : what,
      at: fields.at || queue.now().toISOString(), surface: what === "try" ? rest : undefined, back };
  }
  self.tenpads.keepTap = (athlete, fields) => queue.put("tap", athlete, tapOf(fields));

  const localInstant = (day, hours, minutes) => {
    const [y, m, d] = day.split("-").map(Number);
    return new Date(y, m - 1, d, hours, minutes).toISOString();
  };

  async function keep(form, submitter) {
    const body = await shapes[form.dataset.queue](form, submitter);
    if (!body) { show("form", sentence("nothing")); window.scrollTo(0, 0); return; }
    try {
      await queue.put(form.dataset.queue, form.dataset.athlete, body);
    } catch (wrong) {
      show("form", sentence(wrong && wrong.name === "QuotaExceededError" ? "full" : "broken"));
      window.scrollTo(0, 0);
      return;
    }
    if (navigator.onLine) await Promise.race([queue.flush().catch(() => {}), new Promise((go) => setTimeout(go, 8000))]);
    location.assign(form.dataset.next || location.href);
  }

  async function go(form, submitter) {
    const who = await queue.read("who");
    const waits = who && (await queue.list(who)).some((one) => one.state === "waiting");
    if (self.tenpads.copy || waits || !navigator.onLine) return keep(form, submitter);
    const data = new FormData(form), stop = new AbortController(), timer = setTimeout(() => stop.abort(), 10000);
    if (submitter && submitter.name) data.append(submitter.name, submitter.value);
    try {
      const answer = await fetch(form.action, { method: "POST", body: data, redirect: "manual", signal: stop.signal });
      if (answer.type === "opaqueredirect") return location.assign(form.dataset.next || location.href);
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

  // What a form must be before it is answered: of today, and with what waits of it told.
  async function prepare(form) {
    const kind = form.dataset.queue;
    if (kind === "check-in") freshen(form);
    if (kind === "session") freshenSession(form);
    if (kind === "tap" && self.tenpads.copy && form.elements.day.value !== queue.today()) {
      Object.assign(form.elements.day, { value: queue.today() });
      Object.assign(form.elements.n, { value: "1" });
    }
    const day = kind === "session" ? form.dataset.day : form.querySelector("input[name=day]")?.value;
    const own = await queue.list(await queue.read("who") || "-");
    const told = own.filter((one) => one.kind === kind && one.body.local_date === day);
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
