// Messages that somebody asked for, shown by the worker while no page is open. What arrives says that there is something
// and where to look, never what; a message that cannot be read is shown as that much.
(() => {
  "use strict";
  const PLAIN = { title: "Tenpads", body: "", page: "/" };

  function said(event) {
    try {
      const told = event.data.json();
      const page = typeof told.page === "string" && /^\/(?![/\\])/.test(told.page) ? told.page : "/";
      return { title: String(told.title || PLAIN.title), body: String(told.body || ""), page };
    } catch {
      return PLAIN;
    }
  }

  self.addEventListener("push", (event) => {
    const { title, body, page } = said(event);
    // One at a time: the same tag takes the place of what is still unread.
    event.waitUntil(self.registration.showNotification(title, { body, tag: "tenpads", data: { page } }));
  });

  self.addEventListener("notificationclick", (event) => {
    event.notification.close();
    const address = new URL((event.notification.data || PLAIN).page || "/", self.location.origin).href;
    event.waitUntil((async () => {
      const open = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
      const there = open.find((one) => one.url === address);
      return there ? there.focus() : self.clients.openWindow(address);
    })());
  });
})();
