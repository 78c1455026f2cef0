// Steps of today's list, done or not, where there is no signal: a form shows what was told here and still waits, and what is
// told of a list of another day counts for the day on which it is told.
(() => {
  "use strict";
  const { queue, make, say, show, sentence, dayWords } = self.tenpads;
  const nameOf = (step) => [step.part, step.form, (step.sites || []).join(";")].join("|");

  const press = (form, main, name, value, word) => make("button", { class: main, name, value }, say(word),
    make("span", { class: "visually-hidden" }, `: ${form.dataset.name}`));

  // The state as the server's own page would show it.
  function draw(form, status) {
    for (const part of [...form.children]) if (part.type !== "hidden") part.remove();
    form.classList.toggle("actions", status === "none");
    form.classList.toggle("folded", status !== "none");
    if (status === "none") {
      form.append(press(form, "button button-main", "status", "done", "step_done"), press(form, "button", "status", "skipped", "step_not_done"));
      return;
    }
    if (status === "done") form.append(make("span", { class: "tick", "aria-hidden": "true" }));
    form.append(make("span", {}, say(status === "done" ? "step_was_done" : "step_was_not")), press(form, "link-button section-note", "back", "kept", "step_back"));
  }

  async function prepare(form) {
    const today = queue.today(), step = nameOf(JSON.parse(form.dataset.step));
    const old = self.tenpads.copy && form.dataset.day !== today;
    if (old) {
      show("list", sentence("list_old", { when: dayWords(form.dataset.day) }));
      form.dataset.day = today;
      draw(form, "none");
      form.querySelector("button[value=skipped]").remove();  // nobody here knows what today would have asked
    }
    const own = await queue.list(await queue.read("who") || "-");
    const told = own.filter((one) => one.kind === "step" && one.state === "waiting" && one.body.local_date === form.dataset.day && nameOf(one.body) === step);
    if (told.length && !(old && told.at(-1).body.status === "none")) draw(form, told.at(-1).body.status);
  }

  self.tenpads.steps = { prepare };
})();
