// Signing out takes everything of this person from the device. What could not be sent is not lost in silence: it is tried once
// more, and then asked about.
(() => {
  "use strict";
  const { queue, show, say, make, button } = self.tenpads;
  const form = [...document.forms].find((one) => one.querySelector("[name=action][value=sign-out]"));
  if (!form) return;
  let sure = false;

  async function leave() {
    const who = await queue.read("who");
    const every = await queue.list();
    if (every.some((one) => one.owner !== who)) form.append(make("input", { type: "hidden", name: "keep", value: "others" }));
    if (who) await self.tenpads.forget(who, { entries: true });
    sure = true;
    if (!form.querySelector("input[name=action]")) form.append(make("input", { type: "hidden", name: "action", value: "sign-out" }));
    form.submit();
  }

  form.addEventListener("submit", (event) => {
    if (sure) return;
    event.preventDefault();
    (async () => {
      await queue.flush();
      const left = await queue.list(await queue.read("who") || "-");
      if (!left.length) return leave();
      show("leave", make("p", {}, say("leave", { n: left.length })), make("div", { class: "actions" }, button("leave_anyway", leave), button("stay", () => show("leave"))));
    })().catch(() => { sure = true; form.submit(); });
  });
})();
