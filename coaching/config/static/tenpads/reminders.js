// Lets this browser take messages (Push API): asks only after a tap, and hands the form what the browser answers.
// Without this script, a worker or a browser that can, the form stays hidden.
(() => {
  "use strict";
  const form = document.querySelector("form[data-push]");
  if (!form || !("serviceWorker" in navigator) || !("PushManager" in window)) return;
  const toBytes = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (c) => c.charCodeAt(0));

  async function go() {
    if (await Notification.requestPermission() !== "granted") throw new Error("not allowed");
    const { pushManager } = await navigator.serviceWorker.ready;
    const before = await pushManager.getSubscription();
    if (before) await before.unsubscribe(); // it may have been made under another key
    const made = await pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: toBytes(form.dataset.push) });
    const { endpoint, keys } = made.toJSON();
    Object.assign(form.elements.endpoint, { value: endpoint });
    Object.assign(form.elements.p256dh, { value: keys.p256dh });
    Object.assign(form.elements.auth, { value: keys.auth });
    form.submit();
  }

  form.hidden = false;
  const wrong = form.querySelector("[data-push-wrong]");
  form.querySelector("[data-push-go]").addEventListener("click", () => {
    wrong.hidden = true;
    go().catch(() => { wrong.hidden = false; });
  });
})();
