// The morning list under the keys, decisions answered in their line, and word of newer facts. Without it every link leads on.
(() => {
  "use strict";
  const rows = document.querySelector(".rows"), newer = document.getElementById("rows-newer");
  if (!rows) return;

  // Up and down go from name to name; everything else of the keyboard stays the browser's.
  const STEPS = { ArrowDown: 1, ArrowUp: -1, Home: -Infinity, End: Infinity };
  rows.addEventListener("keydown", (event) => {
    const step = STEPS[event.key], row = event.target.closest(".row");
    if (step === undefined || !row || event.altKey || event.ctrlKey || event.metaKey || event.target.matches("input, textarea, select")) return;
    const names = [...rows.querySelectorAll(".row-name")], at = names.indexOf(row.querySelector(".row-name"));
    const next = names[Math.min(Math.max(at + step, 0), names.length - 1)];
    event.preventDefault();
    next.focus({ preventScroll: true });
    next.closest(".row").scrollIntoView({ block: "nearest" });
  });

  const parsed = async (answer) => new DOMParser().parseFromString(await answer.text(), "text/html");

  // What waits about one athlete, put into their line because somebody pressed for it; a second press takes it away again.
  async function open(link) {
    const place = link.closest(".row").querySelector(".row-reason"), there = place.querySelector(".row-decisions");
    if (there) { there.remove(); return; }
    const page = await parsed(await fetch(link.href));
    const found = page.querySelector(".decisions"), holder = document.createElement("div");
    if (!found && !page.querySelector("main h1")) { location.assign(link.href); return; }
    holder.className = "row-decisions";
    holder.tabIndex = -1;
    holder.append(found ? document.importNode(found, true) : page.querySelector("main h1").textContent);
    for (const one of holder.querySelectorAll("details")) one.open = holder.querySelectorAll("details").length === 1;
    place.append(holder);
    holder.focus({ preventScroll: true });
  }

  async function send(form) {
    const line = form.closest(".decision"), key = form.elements.key.value;
    const answer = await fetch(form.action, { method: "POST", body: new FormData(form) });
    const page = await parsed(answer);
    const said = answer.ok ? page.querySelector(".message") : null;
    if (said) { const told = document.createElement("p"); told.setAttribute("role", "status"); told.textContent = said.textContent; form.closest("details").replaceWith(told); return; }
    const again = [...page.querySelectorAll(".decision")].find((one) => one.querySelector("[name=key]")?.value === key);
    if (again) line.replaceWith(document.importNode(again, true)); else form.submit();
  }

  rows.addEventListener("click", (event) => {
    const link = event.target.closest("[data-decide]");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey || !navigator.onLine) return;
    event.preventDefault();
    open(link).catch(() => location.assign(link.href));
  });
  rows.addEventListener("submit", (event) => {
    if (!event.target.closest(".row-decisions")) return;
    event.preventDefault();
    send(event.target).catch(() => event.target.submit());
  });

  // Newer facts are told in a place kept free for it and shown when asked for: no line moves under a finger.
  const WAIT_MS = 60000;
  let before = null;
  async function look() {
    if (document.hidden || !navigator.onLine || newer.childElementCount) return;
    const answer = await fetch(newer.dataset.kept);
    if (!answer.ok) return;
    const found = JSON.stringify((await answer.json()).rows);
    if (before !== null && found !== before) {
      const show = document.createElement("a");
      show.href = location.href;
      show.textContent = newer.dataset.show;
      newer.append(`${newer.dataset.words} `, show);
    }
    before = found;
  }
  if (newer) setInterval(() => { look().catch(() => {}); }, WAIT_MS);
})();
