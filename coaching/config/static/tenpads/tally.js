// Counting without a page load: a tap shows at once, is kept on the phone where it can keep something (window.tenpads.queue)
// and sent from there, once and in its order; else it is sent from this page. Each tap carries a key of its own, so that one
// sent twice counts once. Without this script each tap is a plain form's.
(function () {
  "use strict";
  var form = document.querySelector("form.tally-form");
  var page = document.querySelector(".tally");
  if (!form || !window.fetch || !window.crypto || !crypto.randomUUID) return;
  var number = page.querySelector(".tally-number");
  var waits = page.querySelector(".tally-waits");
  var key = form.elements.idempotency_key;
  var waiting = [], sending = false, sure = false, keeping = Promise.resolve();
  var made = [];  // keys and surfaces of tries that can be taken back here, the newest last
  var shown = new Set();  // keys of what this page shows already: what the phone kept of them is not shown again
  form.tenpadsShown = shown;
  key.value = crypto.randomUUID();  // a copy of the page brings the same key each time it is opened

  function fields(tap) {
    var found = new FormData(form);
    found.set("tap", tap);
    found.set("at", new Date().toISOString());
    key.value = crypto.randomUUID();
    return Object.fromEntries(found);
  }

  function phone() {
    return window.tenpads && window.tenpads.queue && window.tenpads.keepTap;
  }

  // On the phone first, and from this page where the phone keeps nothing.
  function keep(told) {
    if (!phone()) return direct(told);
    keeping = keeping.then(function () { return window.tenpads.keepTap(form.dataset.athlete, told); }).then(flush, function () { direct(told); });
  }

  function flush() {
    if (!navigator.onLine) return void (waits.hidden = false);
    window.tenpads.queue.flush().then(left, left).then(function (n) { waits.hidden = !n || navigator.onLine; });
  }

  function left() {
    if (!phone()) return Promise.resolve(waiting.length);
    return window.tenpads.queue.list().then(function (every) {
      return waiting.length + every.filter(function (one) { return one.kind === "tap" && one.state === "waiting"; }).length;
    }, function () { return waiting.length; });
  }

  function direct(told) {
    if (told) waiting.push(told);
    if (sending || !waiting.length) return;
    sending = true;
    fetch(form.action, { method: "POST", body: new URLSearchParams(waiting[0]), redirect: "manual", credentials: "same-origin" }).then(
      function (answer) {
        sending = false;
        if (answer.type !== "opaqueredirect" && !answer.ok) return location.reload();
        waiting.shift();
        waits.hidden = true;
        direct();
      },
      function () {
        sending = false;
        waits.hidden = false;
        setTimeout(direct, 5000);
      }
    );
  }

  function add(surface, n) {
    var of = form.querySelector(".tally-of[data-surface='" + CSS.escape(surface || "") + "']");
    number.textContent = String(Math.max(0, Number(number.textContent) + n));
    if (of) of.textContent = String(Math.max(0, Number(of.textContent || "0") + n) || "");
    page.querySelector(".tally-where").textContent = "";  // the buttons say how many on each
    var most = page.dataset.most, enough = most !== "" && Number(number.textContent) >= Number(most);
    var said = page.querySelector(".tally-left");
    if (enough) said.textContent = page.dataset.full;
    else if (said.textContent === page.dataset.full) said.textContent = "";
    said.classList.toggle("tally-enough", enough);
  }

  function count(named, surface) {
    shown.add(named);
    made.push({ key: named, surface: surface });
    add(surface, 1);
    renew();
  }

  function takeBack(named) {
    shown.add("back " + named);
    var at = made.findIndex(function (one) { return one.key === named; });
    add(at < 0 ? "" : made.splice(at, 1)[0].surface, -1);
    renew();
  }

  // "Take the last one back" means the newest tap, also one that was made since the page came.
  function renew() {
    var back = form.querySelector("button[value^='back ']");
    if (!made.length) return back && back.remove();
    if (!back) {
      back = document.createElement("button");
      back.className = "button";
      back.name = "tap";
      back.textContent = page.dataset.back || "";
      form.querySelector(".tally-ends").append(back);
    }
    back.value = "back " + made[made.length - 1].key;
  }

  form.addEventListener("submit", function (event) {
    var by = event.submitter, tap = by && by.value;
    if (sure || !tap) return;
    event.preventDefault();
    if (tap.indexOf("try ") !== 0) return settle(by);
    var told = fields(tap);
    count(told.idempotency_key, tap.slice(4));
    keep(told);
  });

  // Whatever is not a try waits until the tries before it have gone; where they cannot go, it is kept behind them.
  function settle(by) {
    var tries = 0;
    keeping.then(function again() {
      if (phone() && (!navigator.onLine || window.tenpads.copy)) return kept(by.value);
      return left().then(function (n) {
        if (!n) {
          sure = true;
          return form.requestSubmit(by);
        }
        if (tries++ > 40) return phone() ? kept(by.value) : form.requestSubmit(by);
        if (phone()) window.tenpads.queue.flush().catch(function () {});
        direct();
        return new Promise(function (go) { setTimeout(go, 100); }).then(again);
      });
    });
  }

  function kept(tap) {
    return window.tenpads.keepTap(form.dataset.athlete, fields(tap)).then(function () {
      if (tap.indexOf("back ") === 0) takeBack(tap.slice(5));
      else if (tap === "end") return location.assign(page.dataset.session);
      else ended();
      flush();
    });
  }

  // Where skin was about to open is asked by the server's page; without a signal the check-in takes it as a mark.
  function ended() {
    waits.hidden = false;
    waits.textContent = page.dataset.ended + " ";
    var link = document.createElement("a");
    link.href = page.dataset.checkIn;
    link.textContent = page.dataset.where;
    waits.append(link);
  }

  // What this phone kept of this session and has not sent.
  form.addEventListener("kept", function (event) {
    if (event.detail.anew) {
      number.textContent = "0";
      form.querySelectorAll(".tally-of").forEach(function (one) { one.textContent = ""; });
      ["where", "left", "since"].forEach(function (one) { page.querySelector(".tally-" + one).textContent = ""; });
      made = [];
      renew();
    }
    event.detail.taps.forEach(function (one) {
      if (shown.has(one.back ? "back " + one.key : one.key)) return;
      if (one.back) takeBack(one.key);
      else if (one.what === "try") count(one.key, one.surface);
      else if (one.what === "skin") ended();
      waits.hidden = false;
    });
  });

  var before = form.querySelector("button[value^='back ']");
  if (before) made.push({ key: before.value.slice(5), surface: "" });

  window.addEventListener("online", function () { return phone() ? flush() : direct(); });
  window.addEventListener("beforeunload", function (event) {
    if (waiting.length) event.preventDefault();
  });
})();
