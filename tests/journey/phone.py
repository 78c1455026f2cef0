"""One browser 390 px wide with storage of its own, its clock and zone set, its network cut and joined: a phone."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from playwright.sync_api import Error as PlaywrightError

from tests.journey.kept_world import KeptWorld, signed_in

NOW = datetime(2027, 3, 11, 9, tzinfo=UTC)  # as `stored.NOW`, where the world begins
PHONE = {"width": 390, "height": 844}
NO_SYNC = "delete ServiceWorkerRegistration.prototype.sync"
"""The worker's clock is this machine's; where a test sets the page's, only the page sends."""
READY = """async () => {
  await navigator.serviceWorker.ready;
  const who = await tenpads.queue.read("who");
  return !!who && (await (await caches.open(`kept-${who}`)).keys()).length >= 7
    && !!((await tenpads.queue.read(`own:${who}`)) || {}).token;
}"""
SEND = "form.checkin button.button-main[type=submit]"
COPY = """() => document.documentElement.dataset.kept !== "" && !!(window.tenpads || {}).ready
  && tenpads.ready.then(() => true)"""
IDLE = "async () => { if ((window.tenpads || {}).sendNow) await tenpads.sendNow().catch(() => {}); return true; }"
WENT = "async () => !(await tenpads.queue.list()).some((one) => one.state === 'waiting')"


def holds(path: str, text: str) -> str:
    """Whether the copy of a page has the text by now."""
    return (
        "async () => { const cache = await caches.open('kept-' + await tenpads.queue.read('who'));"
        f" const copy = await cache.match('{path}'); return !!copy && (await copy.text()).includes('{text}'); }}"
    )


class Phone:
    """One browser with its own storage."""

    def __init__(
        self,
        browser: Any,
        world: KeptWorld,
        zone: str = "Europe/Vienna",
        clock: datetime | None = NOW,
        quota: int = 0,
    ) -> None:
        options = {"timezone_id": zone} if zone else {}
        self.world = world
        self.context = browser.new_context(viewport=PHONE, **options)
        if clock:
            self.context.add_init_script(NO_SYNC)
        self.page = self.context.new_page()
        self.said: list[str] = []
        self.listen()
        self.tools = self.context.new_cdp_session(self.page)
        self.limit(quota)
        if clock:
            self.page.clock.set_fixed_time(clock)

    def limit(self, quota: int) -> None:
        """So many bytes are there for all that the site keeps; 0: as many as the browser likes."""
        bytes_ = {"quotaSize": quota} if quota else {}
        self.tools.send("Storage.overrideQuotaForOrigin", {"origin": self.world.address, **bytes_})

    def listen(self) -> None:
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("console", lambda m: self.said.append(m.text) if "Content Security" in m.text else None)

    def sign_in(self, user: str) -> Phone:
        signed_in(self.page, self.world.address, user)
        self.until(READY)
        return self

    def at(self, clock: datetime) -> Phone:
        self.page.clock.set_fixed_time(clock)
        return self

    def go(self, path: str) -> Phone:
        self.page.goto(f"{self.world.address}{path}")
        return self

    def until(self, what: str, most_s: float = 60) -> None:
        """Asked from here, because a page whose clock stands still has no timers to wait by."""
        for _ in range(int(most_s * 10)):
            try:
                if self.page.evaluate(what):
                    return
            except PlaywrightError as error:
                if "context was destroyed" not in str(error):  # it went on to another page meanwhile
                    raise
            self.page.wait_for_timeout(100)
        raise AssertionError(f"not so within {most_s} s: {what}; the page says: {self.heard()}")

    def off(self) -> Phone:
        """Once what was begun is over: an answer that comes after the clock was set would teach a wrong clock."""
        self.until(IDLE)
        self.context.set_offline(True)
        return self

    def on(self) -> Phone:
        self.context.set_offline(False)
        return self

    def copy(self, path: str) -> Phone:
        """Open a page that only the phone has."""
        self.go(path)
        self.until(COPY)
        return self

    def check_in(self, **answers: str) -> Phone:
        self.copy("/me/check-in")
        return self.answer(**answers)

    def tick(self, **answers: str) -> Phone:
        """Wherever the box lies, open or folded away."""
        for name, value in answers.items():
            self.page.evaluate(
                "(of) => { document.querySelector(`input[name='${of[0]}'][value='${of[1]}']`).checked = true; }",
                [name, value],
            )
        return self

    def answer(self, **answers: str) -> Phone:
        self.tick(**answers).page.locator(SEND).click()
        self.page.wait_for_url("**/me/today")
        self.until(COPY)
        return self

    def heard(self) -> str:
        return str(self.page.inner_text("#offline-said"))

    def waiting(self) -> int:
        return int(self.page.evaluate("async () => (await tenpads.queue.list()).length"))

    def sent(self) -> None:
        """Once there is a signal it goes by itself."""
        self.until(WENT)
