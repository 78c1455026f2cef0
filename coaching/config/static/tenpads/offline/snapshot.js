// The page that opens where there is no signal: the morning list as it last was, with answers to its decisions kept to be sent,
// or the pages that are kept.
(() => {
  "use strict";
  const { queue, say, make, ago, show, sentence } = self.tenpads;
  const DAYS_7 = 7 * 86400000, COACH = ["/", "/morning", "/decisions"];
  const head = document.getElementById("offline-head"), note = document.getElementById("offline-note");

  function row(one) {
    const holds = one.chance ? make("div", { class: "row-holds" }, make("strong", { class: "holds" }, one.chance), " ", make("span", { class: "holds-range" }, one.range)) : "";
    return make("li", { class: "row", id: `row-${one.code}` },
      make("div", { class: "row-who" }, make("span", { class: `level level-${one.level || "none"}`, "aria-hidden": "true" }), make("span", { class: "row-name" }, one.name), " ", make("span", { class: "row-level" }, one.level_word), make("span", { class: "row-event" }, one.event)),
      holds, make("div", { class: "row-reason" }, make("p", {}, one.reason), make("p", { class: "section-note" }, one.verdict)));
  }

  function decision(one, words) {
    const line = make("li", { class: "decision" }, make("div", { class: "decision-what" }, make("b", {}, one.by), " ", make("span", {}, `${one.name}: ${one.what}`)));
    if (one.waits) return line;
    if (one.plan) { line.append(make("p", { class: "section-note" }, say("needs_plan"))); return line; }
    const form = make("form", { class: "plain" });
    for (const [code, word] of words) form.append(make("label", {}, make("input", { type: "radio", name: "answer", value: code, required: "" }), ` ${word}`), " ");
    form.append(make("div", { class: "field" }, make("label", {}, say("why"), make("textarea", { name: "why", rows: "2", maxlength: "2000" }))));
    form.append(make("button", { class: "button button-main" }, say("answer")));
    const wrong = make("p", { class: "field-error", role: "alert" });
    form.append(wrong);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const told = new FormData(form), why = told.get("why").trim(), answer = told.get("answer");
      if (answer !== "accept" && !why) { wrong.textContent = say("why_missing"); return; }
      const body = { event_id: one.event_id, kind: one.kind, site: one.site || null, about: one.about, answer, why };
      queue.put("decision", one.code, body, { key: one.key }).then(
        () => form.replaceWith(make("p", { class: "section-note" }, say("answered"))),
        (failed) => { wrong.textContent = say(failed.name === "QuotaExceededError" ? "full" : "broken"); },
      );
    });
    line.append(make("details", {}, make("summary", {}, say("answer")), form));
    return line;
  }

  function draw(found, waiting) {
    const place = document.getElementById("snapshot");
    head.textContent = found.headline;
    note.textContent = found.known;
    show("copy", sentence("snapshot", { when: ago(found.taken) }));
    place.append(make("ol", { class: "rows" }, ...found.rows.map(row)));
    if (!found.decisions.length) return;
    const lines = found.decisions.map((one) => {
      const line = decision(one, found.answers);
      if (waiting.has(one.key)) line.querySelector("details")?.replaceWith(make("p", { class: "section-note" }, say("answered")));
      return line;
    });
    place.append(make("section", { class: "section" }, make("div", { class: "section-head" }, make("h2", {}, say("decisions"))), make("ol", { class: "decisions" }, ...lines)));
  }

  async function keptPages(who) {
    const name = `kept-${who}`;
    if (!("caches" in self) || !(await caches.has(name))) return;
    const pages = await (await caches.open(name)).keys();
    const list = document.querySelector("#kept-pages ul");
    for (const page of pages) {
      const text = await (await (await caches.open(name)).match(page)).text();
      const title = new DOMParser().parseFromString(text, "text/html").title.split("·")[0].trim();
      list.append(make("li", {}, make("a", { href: new URL(page.url).pathname }, title)));
    }
    document.getElementById("kept-pages").hidden = !pages.length;
  }

  self.tenpads.started.then(async () => {
    await queue.loadClock();
    const who = await queue.read("who");
    if (!who) return;
    const found = await queue.read(`snapshot:${who}`);
    const old = found && queue.now() - new Date(found.taken) > DAYS_7;
    if (old) await queue.write(`snapshot:${who}`, undefined);
    if (COACH.includes(location.pathname)) {
      const waiting = new Set((await queue.list(who)).filter((one) => one.kind === "decision").map((one) => one.key));
      if (found && !old) draw(found, waiting);
      else if (found) note.textContent = say("snapshot_gone");
      else if (location.pathname !== "/") note.textContent = say("snapshot_none");
    }
    await keptPages(who);
  }).catch((wrong) => console.warn("offline:", wrong));
})();
