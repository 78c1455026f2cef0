// Counting without a page load: a tap shows at once and is sent behind it, once and in its order. Each tap carries a key
// of its own, so that one sent twice counts once. Where it cannot be sent it goes into the phone's queue where there is
// one (window.tenpads.queue), else it waits on this page. Without this script each tap is a plain form's.
(function () {
  "use strict";
  var form = document.querySelector("form.tally-form");
  var page = document.querySelector(".tally");
  if (!form || !window.fetch || !window.crypto || !crypto.randomUUID) return;
  var number = page.querySelector(".tally-number");
  var waits = page.querySelector(".tally-waits");
  var key = form.elements.idempotency_key;
  var waiting = [], sending = false;

  function body(tap) {
    var found = new FormData(form);
    found.set("tap", tap);
    found.set("at", new Date().toISOString());
    return new URLSearchParams(found);
  }

  function queue() {
    return window.tenpads && window.tenpads.queue;
  }

  function send() {
    if (sending || !waiting.length) return;
    sending = true;
    fetch(form.action, { method: "POST", body: waiting[0], redirect: "manual", credentials: "same-origin" }).then(
      function (answer) {
        sending = false;
        if (answer.type !== "opaqueredirect" && !answer.ok) return location.reload();
        waiting.shift();
        waits.hidden = true;
        send();
      },
      function () {
        sending = false;
        if (queue()) {
          waiting.splice(0).forEach(function (one) { window.tenpads.keepTap(form.dataset.athlete, Object.fromEntries(one)); });
        } else {
          setTimeout(send, 5000);
        }
        waits.hidden = false;
      }
    );
  }

  function count(surface) {
    var of = form.querySelector(".tally-of[data-surface='" + CSS.escape(surface) + "']");
    number.textContent = String(Number(number.textContent) + 1);
    if (of) of.textContent = String(Number(of.textContent || "0") + 1);
    page.querySelector(".tally-where").textContent = "";  // the buttons say how many on each
    var most = page.dataset.most;
    if (most === "" || Number(number.textContent) < Number(most)) return;
    var left = page.querySelector(".tally-left");
    left.textContent = page.dataset.full;
    left.classList.add("tally-enough");
  }

  form.addEventListener("submit", function (event) {
    var tap = event.submitter && event.submitter.value;
    if (!tap || tap.indexOf("try ") !== 0) return waiting.length || !navigator.onLine ? settle(event) : undefined;
    event.preventDefault();
    waiting.push(body(tap));
    key.value = crypto.randomUUID();
    count(tap.slice(4));
    renew();
    send();
  });

  // Whatever is not a try waits until the tries before it have gone.
  function settle(event) {
    event.preventDefault();
    var by = event.submitter;
    if (queue() && !navigator.onLine) {
      waits.hidden = false;
      return window.tenpads.keepTap(form.dataset.athlete, Object.fromEntries(body(by.value)));
    }
    var tries = 0;
    (function again() {
      if (!waiting.length || tries++ > 40) return form.requestSubmit(by);
      send();
      setTimeout(again, 100);
    })();
  }

  // "Take the last one back" means the newest tap, also one that was made since the page came.
  var last = null;
  function renew() {
    last = waiting.length ? waiting[waiting.length - 1].get("idempotency_key") : last;
    var back = form.querySelector("button[value^='back ']");
    if (!back) {
      back = document.createElement("button");
      back.className = "button";
      back.name = "tap";
      back.textContent = page.dataset.back || "";
      form.querySelector(".tally-ends").append(back);
    }
    back.value = "back " + last;
  }

  window.addEventListener("online", send);
  window.addEventListener("beforeunload", function (event) {
    if (waiting.length && !queue()) event.preventDefault();
  });
})();
