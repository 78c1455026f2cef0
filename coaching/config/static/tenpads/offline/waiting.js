// What a page says about copies and about entries that wait here: how old, how many, and what became of those refused.
(() => {
  "use strict";
  const { queue } = self.tenpads;
  const words = JSON.parse(document.getElementById("offline-words").textContent);
  const language = document.documentElement.lang || undefined;
  const say = (name, parts = {}) => (words[name] || "").replace(/\{(\w+)\}/g, (_, part) => String(parts[part] ?? ""));
  const meta = (name) => document.querySelector(`meta[name=${name}]`);

  function make(tag, parts = {}, ...inside) {
    const found = document.createElement(tag);
    for (const [name, value] of Object.entries(parts)) {
      if (name === "onclick") found.addEventListener("click", value);
      else if (value !== undefined) found.setAttribute(name, value);
    }
    found.append(...inside);
    return found;
  }

  // "3 hours ago (Tue 14:05)", against the clock as the server puts it right.
  function ago(text) {
    const then = new Date(text), minutes = Math.round((queue.now() - then) / 60000);
    const [n, unit] = minutes < 90 ? [minutes, "minute"] : minutes < 2880 ? [Math.round(minutes / 60), "hour"] : [Math.round(minutes / 1440), "day"];
    const when = new Intl.DateTimeFormat(language, { weekday: "short", hour: "2-digit", minute: "2-digit" }).format(then);
    return `${new Intl.RelativeTimeFormat(language, { numeric: "auto" }).format(-n, unit)} (${when})`;
  }

  const dayWords = (text) => new Intl.DateTimeFormat(language, { weekday: "long", day: "numeric", month: "long" })
    .format(new Date(`${text}T12:00:00`));

  const place = document.getElementById("offline-said");
  const slots = new Map();
  // One sentence under a name; saying it again takes the place of the last.
  function show(name, ...inside) {
    const slot = slots.get(name);
    if (slot) slot.remove();
    slots.delete(name);
    if (!place || !inside.length) return;
    const made = make("div", { class: "message offline-message", "data-said": name }, ...inside);
    slots.set(name, made);
    place.append(made);
  }

  const sentence = (name, parts) => make("p", {}, say(name, parts));
  const button = (name, onclick) => make("button", { type: "button", class: "button", onclick }, say(name));

  function refusedLine(entry) {
    const title = say(words[entry.kind] ? entry.kind : "other", { when: entry.body.local_date ? dayWords(entry.body.local_date) : ago(entry.made) });
    const again = async (body) => { await queue.again(entry.id, body); await self.tenpads.sendNow(); };
    const line = make("li", {}, make("b", {}, title), sentence("refused", { said: entry.said }));
    const actions = make("div", { class: "actions" });
    if (entry.body.local_date) {
      const day = make("input", { type: "date", class: "input", value: entry.body.local_date, max: queue.today(), "aria-label": say("other_day") });
      actions.append(day, button("other_day", () => day.value && again({ ...entry.body, local_date: day.value, ...(entry.body.seen_on ? { seen_on: day.value } : {}) })));
    } else actions.append(button("send_again", () => again(entry.body)));
    if (entry.body.photo) actions.append(button("without_photo", () => again({ ...entry.body, photo: undefined })));
    actions.append(button("throw", () => queue.remove(entry.id)));
    line.append(actions);
    return line;
  }

  let before = 0, refusedBefore = 0;
  // Also says what went, whoever sent it: this page, another one or the worker.
  async function told() {
    const who = await queue.read("who");
    const own = who ? await queue.list(who) : [];
    const waiting = own.filter((one) => one.state === "waiting"), refused = own.filter((one) => one.state === "refused");
    const n = waiting.length, gone = before - n - (refused.length - refusedBefore);
    if (gone > 0 && before > n) show("sent", sentence(gone === 1 ? "sent_one" : "sent_many", { n: gone }));
    [before, refusedBefore] = [n, refused.length];
    show("waiting", ...(n ? [sentence(n === 1 ? "wait_one" : "wait_many", { n })] : []));
    show("refused", ...(refused.length ? [make("ul", { class: "notes" }, ...refused.map(refusedLine))] : []));
  }

  Object.assign(self.tenpads, { words, say, meta, make, ago, dayWords, show, sentence, button, told });
  queue.onChange(() => told().catch(() => {}));
})();
