"""Every page of the demo as one sees it: what axe-core finds, what is loaded, what runs over the edge.

axe-core is evaluated from outside the page, so that the page keeps its own policy; what the policy refuses is heard.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.urls import URLPattern, URLResolver, get_resolver

AXE = (Path(__file__).parents[2] / "fixtures" / "vendor" / "axe" / "axe.min.js").read_text(encoding="utf-8")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
RUN = """(rules) => axe.run(document, {
  runOnly: rules ? {type: 'rule', values: rules} : {type: 'tag', values: %s}, resultTypes: ['violations'],
}).then(found => found.violations.flatMap(one => one.nodes.map(node =>
  one.id + ': ' + node.target.join(' ') + ': ' +
  node.any.concat(node.all, node.none).map(c => c.message).join('; '))))"""
HEARD = """() => { window.refusedHere = [];
  document.addEventListener('securitypolicyviolation', e =>
    window.refusedHere.push(e.effectiveDirective + ' ' + e.blockedURI)); }"""
OVER = """() => { const root = document.documentElement; return root.scrollWidth > root.clientWidth ?
  [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > root.clientWidth + 1 &&
    ![...(function* up(n) { while ((n = n.parentElement)) yield n; })(e)].some(p =>
      ['auto', 'scroll', 'hidden', 'clip'].includes(getComputedStyle(p).overflowX))).slice(0, 3)
    .map(e => e.tagName + '.' + e.className) : null; }"""
LCP = """() => new Promise(done => { new PerformanceObserver(list => {
  const all = list.getEntries(); done(all.length ? all[all.length - 1].startTime : 0) })
  .observe({type: 'largest-contentful-paint', buffered: true}); setTimeout(() => done(0), 300); })"""
WEIGHT = """bundle => performance.getEntriesByType('navigation').concat(performance.getEntriesByType('resource'))
  .filter(e => !e.name.includes(bundle) && !['fetch', 'xmlhttprequest', 'beacon'].includes(e.initiatorType))
  .reduce((sum, e) => sum + e.encodedBodySize + 300, 0) / 1000"""
"""Kilobytes of what the page is made of, as packed, with 300 bytes of head for each answer, as the Resource Timing
specification of the W3C counts them. What a script fetches for later, once the page stands, is not of it.
"""
WIDTHS = (390, 768, 1440)
BUNDLE = "/vendor/plotly/"
NO_PAGE = re.compile(r"\.\w+$|export|calendar|^sw|worker|manifest|snapshot|/overrule$|/notes$")
HOLE = re.compile(r"<(?:str|int|uuid):(\w+)>")


@dataclass
class Seen:
    """What one page showed: findings of axe by scheme, refusals, other hosts, bytes but for the charts, overflows."""

    path: str
    found: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    elsewhere: list[str] = field(default_factory=list)
    kilobytes: float = 0.0
    over: list[str] = field(default_factory=list)
    lcp_ms: float = 0.0


def addresses(ids: dict[str, str], module: str) -> list[str]:
    """Every page of one module of addresses, its holes filled by the word before them."""
    found = []
    for route in _routes(get_resolver(), module):
        filled = HOLE.sub(lambda hole, r=route: ids.get(r[: hole.start()].strip("/").split("/")[-1], "?"), route)
        if "?" not in filled and not NO_PAGE.search(filled):
            found.append(f"/{filled}")
    return sorted(set(found))


def _routes(resolver: Any, module: str, prefix: str = "", inside: bool = False) -> Iterator[str]:
    for one in resolver.url_patterns:
        route = prefix + str(one.pattern)
        if isinstance(one, URLResolver):
            name = getattr(one.urlconf_name, "__name__", str(one.urlconf_name))
            yield from _routes(one, module, route, inside or name == module)
        elif isinstance(one, URLPattern) and inside:
            yield route


def look(page: Any, address: str, path: str) -> Seen | None:
    """One page in light and dark, at every width, and with letters of double size; None where there is no page."""
    seen = Seen(path)
    asked: list[str] = []
    hear = lambda request: asked.append(request.url)  # noqa: E731 - taken off again below
    page.on("request", hear)
    wire = page.context.new_cdp_session(page)
    wire.send("Network.enable")
    wire.send("Network.setCacheDisabled", {"cacheDisabled": True})
    page.set_viewport_size({"width": 1440, "height": 900})
    answer = page.goto(address + path, wait_until="load")
    if answer is None or answer.status != 200 or "text/html" not in answer.headers.get("content-type", ""):
        page.remove_listener("request", hear)
        wire.detach()
        return None
    seen.lcp_ms = float(page.evaluate(LCP))
    seen.kilobytes = float(page.evaluate(WEIGHT, BUNDLE))
    wire.detach()
    page.evaluate(AXE)
    seen.found = [f"light: {one}" for one in page.evaluate(RUN % TAGS, None)]
    page.emulate_media(color_scheme="dark")
    seen.found += [f"dark: {one}" for one in page.evaluate(RUN % TAGS, ["color-contrast", "link-in-text-block"])]
    page.emulate_media(color_scheme="light")
    for width in WIDTHS:
        if over := _over(page, width):
            seen.over.append(f"{width}: {over}")
    page.evaluate("() => { document.documentElement.style.fontSize = '200%' }")
    for width in WIDTHS[1:]:
        if over := _over(page, width):
            seen.over.append(f"{width} at 200 %: {over}")
    seen.refused = page.evaluate("() => window.refusedHere")
    page.remove_listener("request", hear)
    seen.elsewhere = [url for url in asked if not url.startswith((address, "data:", "blob:"))]
    return seen


def _over(page: Any, width: int) -> str:
    """What runs over the right edge at this width, looked at again after a moment: a chart is drawn anew."""
    page.set_viewport_size({"width": width, "height": 900})
    over = page.evaluate(OVER)
    if over is not None:
        page.wait_for_timeout(700)
        over = page.evaluate(OVER)
    return "" if over is None else ", ".join(over) or "something"
