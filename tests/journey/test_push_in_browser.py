"""What the worker does with a message, in a real Chromium: the script itself, with a worker's scope of the test's own.

Push API and Notifications API of the browser need a maker's service, which is outside; here the events are ours.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from coaching.config.environment import ROOT

SCRIPT = ROOT / "coaching/config/static/tenpads/offline/push.js"
SCOPE = """
([code, told, click]) => new Promise((done) => {
  const handlers = {}, shown = [], opened = [], waits = [];
  const open = (click.open || []).map((url) => ({ url, focus: () => { opened.push(`focus ${url}`); } }));
  const self = {
    location: { origin: "https://tenpads.example" },
    addEventListener: (name, handler) => { handlers[name] = handler; },
    registration: { showNotification: (title, options) => { shown.push({ title, ...options }); } },
    clients: { matchAll: async () => open, openWindow: (url) => { opened.push(`open ${url}`); } },
  };
  new Function("self", code)(self);
  const data = told === null ? null : { json: () => JSON.parse(told) };
  handlers.push({ data, waitUntil: (one) => waits.push(one) });
  const notification = { close: () => opened.push("closed"), data: click.data || shown[0].data };
  handlers.notificationclick({ notification, waitUntil: (one) => waits.push(one) });
  Promise.all(waits).then(() => done({ shown, opened }));
})
"""
PLAIN = {"title": "Tenpads", "body": "", "tag": "tenpads", "data": {"page": "/"}}


@pytest.mark.browser
def test_a_message_is_shown_once_and_leads_to_its_page(browser: Any) -> None:
    page = browser.new_context().new_page()
    code = SCRIPT.read_text(encoding="utf-8")

    def told(text: str | None, **click: Any) -> Any:
        return page.evaluate(SCOPE, [code, text, click])

    good = told('{"title": "Tenpads", "body": "There is something to look at.", "page": "/me/today"}')
    assert good == {
        "shown": [{**PLAIN, "body": "There is something to look at.", "data": {"page": "/me/today"}}],
        "opened": ["closed", "open https://tenpads.example/me/today"],
    }
    open_already = told('{"page": "/me/today"}', open=["https://tenpads.example/", "https://tenpads.example/me/today"])
    assert open_already["opened"] == ["closed", "focus https://tenpads.example/me/today"]
    for unreadable in (None, "", "no json", "[]", "null", "7"):
        found = told(unreadable)
        assert found["shown"] == [PLAIN] and found["opened"][1] == "open https://tenpads.example/", unreadable
    for elsewhere in ("//evil.example/x", "https://evil.example", "/\\\\evil.example", "javascript:alert(1)", 7, None):
        found = told(json.dumps({"title": "t", "body": "b", "page": elsewhere}))
        assert found["opened"][1] == "open https://tenpads.example/", elsewhere
