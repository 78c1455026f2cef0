"""The forecast service against a stub on this machine: what it answers, and every way in which it fails.

The form is that of the published documentation of Locationforecast 2.0; the live service is never asked.
"""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import pytest
import time_machine
from django.conf import LazySettings

from athletes.records import access
from athletes.records.models import Air, ForecastAsk, Place
from coaching.usecases import ask_forecast
from coaching.usecases.forecasts import fetching, locationforecast
from coaching.usecases.forecasts.fetching import Failed, Fetched, Limits
from tests import stored

NOW = stored.NOW
UNITS = {
    "air_temperature": "celsius", "relative_humidity": "%", "wind_speed": "m/s", "wind_from_direction": "degrees",
    "cloud_area_fraction": "%", "precipitation_amount": "mm", "air_pressure_at_sea_level": "hPa",
}  # fmt: skip
LOCAL = Limits(timeout_s=0.6, local_plain=True)
Answer = Callable[[BaseHTTPRequestHandler], None]


def forecast(**changes: Any) -> dict[str, Any]:
    """Two hours as the documentation shows them."""
    first = {
        "air_temperature": 9.5, "relative_humidity": 61.0, "wind_speed": 3.5, "wind_from_direction": 200.0,
        "cloud_area_fraction": 40.0, "air_pressure_at_sea_level": 1012.0,
    }  # fmt: skip
    steps = [
        {"time": f"2027-03-11T{hour:02d}:00:00Z", "data": {
            "instant": {"details": first | {"air_temperature": 9.5 + hour - 12}},
            "next_1_hours": {"summary": {"symbol_code": "cloudy"}, "details": {"precipitation_amount": 0.2}}}}
        for hour in (12, 13)
    ]  # fmt: skip
    meta = {"updated_at": "2027-03-11T08:10:00Z", "units": UNITS, **changes.pop("meta", {})}
    return {"type": "Feature", "geometry": {}, "properties": {"meta": meta, "timeseries": steps, **changes}}


def sent(body: bytes, content_type: str = "application/json", status: int = 200, **headers: str) -> Answer:
    def answer(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(status)
        handler.send_header("Content-Type", content_type)
        for name, value in headers.items():
            handler.send_header(name, value)
        handler.end_headers()
        handler.wfile.write(body)

    return answer


OUTLASTED: list[str] = []


def hang(handler: BaseHTTPRequestHandler) -> None:
    time.sleep(10)
    OUTLASTED.append("hangs")


def drip(handler: BaseHTTPRequestHandler) -> None:
    """One byte now and then: no single read ever takes too long."""
    handler.send_response(200)
    handler.send_header("Content-Type", "application/json")
    handler.end_headers()
    for _ in range(100):
        handler.wfile.write(b" ")
        handler.wfile.flush()
        time.sleep(0.1)
    OUTLASTED.append("drips")


def close(handler: BaseHTTPRequestHandler) -> None:
    handler.connection.close()


@contextmanager
def stub(answer: Answer) -> Iterator[tuple[str, list[BaseHTTPRequestHandler]]]:
    """A server on this machine that answers every question alike; it tells who asked."""
    asked: list[BaseHTTPRequestHandler] = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self)
            try:
                answer(self)
            except OSError:
                pass

        def log_message(self, *args: Any) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/compact", asked
    finally:
        server.shutdown()
        server.server_close()


def good(**headers: str) -> Answer:
    return sent(json.dumps(forecast()).encode(), **headers)


@pytest.fixture
def place(settings: LazySettings) -> Iterator[Place]:
    settings.TENPADS_FORECAST_CONTACT = "coach@club.invalid"
    with time_machine.travel(NOW, tick=True):
        yield Place.objects.create(code="p1", name="Crag", lat=47.123456, lon=14.987654, altitude_m=640.4)


def ask(settings: LazySettings, place: Place, answer: Answer) -> tuple[str, list[Any]]:
    with stub(answer) as (url, asked):
        settings.TENPADS_FORECAST_URL = url
        found = ask_forecast.ask_forecast(access.OPERATOR(stored.TODAY), place.code, LOCAL)
        return found.code, asked


@pytest.mark.django_db
def test_a_forecast_is_kept_with_the_time_it_was_known(settings: LazySettings, place: Place) -> None:
    code, asked = ask(settings, place, good(Expires="Thu, 11 Mar 2027 09:40:00 GMT"))
    rows = list(Air.objects.order_by("starts_at").values_list("temp_c", "rh_pct", "wind_m_s", "rain_mm", "known_at"))
    issued = datetime(2027, 3, 11, 8, 10, tzinfo=UTC)
    assert code == "stored" and rows == [(9.5, 61.0, 3.5, 0.2, issued), (10.5, 61.0, 3.5, 0.2, issued)]
    assert "lat=47.1235&lon=14.9877&altitude=640" in asked[0].path  # four decimals at most, as its terms ask
    assert asked[0].headers["User-Agent"] == "Tenpads/0.1 coach@club.invalid"


@pytest.mark.django_db
def test_nobody_asks_again_before_the_service_wants_it(settings: LazySettings, place: Place) -> None:
    ask(settings, place, good(Expires="Thu, 11 Mar 2027 09:40:00 GMT"))
    code, asked = ask(settings, place, good())
    assert (code, asked) == ("early", [])
    ForecastAsk.objects.update(not_before=NOW - timedelta(minutes=1))
    code, _ = ask(settings, place, good())
    assert code == "stored" and Air.objects.count() == 2  # the same issue twice stays one


@pytest.mark.django_db
def test_past_issues_stay_for_scoring(settings: LazySettings, place: Place) -> None:
    ask(settings, place, good())
    later = forecast(meta={"updated_at": "2027-03-11T08:50:00Z"})
    ask(settings, place, sent(json.dumps(later).encode()))
    assert Air.objects.count() == 4 and Air.objects.values("known_at").distinct().count() == 2


def with_meta(**meta: Any) -> Answer:
    return sent(json.dumps(forecast(meta=meta)).encode())


HTML = sent(b"<html>sign in</html>", "text/html")
FAULTS: dict[str, tuple[Answer, str]] = {
    "hangs": (hang, "hang"),
    "drips": (drip, "hang"),
    "closes": (close, "unreachable"),
    "500": (sent(b"{}", status=500), "status"),
    "403": (sent(b"{}", status=403), "status"),
    "10 MB": (sent(b" " * 10_000_000), "too-large"),
    "HTML": (HTML, "not-json"),
    "HTML called JSON": (sent(b"<html>", "application/json"), "not-json"),
    "nothing": (sent(b""), "not-json"),
    "cut": (sent(json.dumps(forecast()).encode()[:200]), "not-json"),
    "nested": (sent(b"[" * 100_000), "not-json"),
    "latin": (sent("{\"a\": \"\xe9\"}".encode("latin-1")), "not-json"),
    "NaN": (sent(json.dumps(forecast()).replace("9.5", "NaN").encode()), "not-json"),
    "a list": (sent(b"[]"), "form"),
    "no series": (sent(json.dumps(forecast(timeseries=None)).encode()), "form"),
    "empty series": (sent(json.dumps(forecast(timeseries=[])).encode()), "values"),
    "Fahrenheit": (with_meta(units=UNITS | {"air_temperature": "fahrenheit"}), "units"),
    "knots": (with_meta(units=UNITS | {"wind_speed": "knots"}), "units"),
    "no units": (with_meta(units={}), "units"),
    "1e999": (sent(json.dumps(forecast()).replace("9.5", "1e999").encode()), "values"),
    "hot": (sent(json.dumps(forecast()).replace("9.5", "999.9").encode()), "values"),
    "text": (sent(json.dumps(forecast()).replace("9.5", '"warm"').encode()), "values"),
    "long ago": (sent(json.dumps(forecast(meta={"updated_at": "2026-01-01T00:00:00Z"})).encode()), "values"),
    "to come": (sent(json.dumps(forecast(meta={"updated_at": "2028-01-01T00:00:00Z"})).encode()), "values"),
    "no zone": (sent(json.dumps(forecast(meta={"updated_at": "2027-03-11T08:10:00"})).encode()), "values"),
    "redirect here": (sent(b"", status=302, Location="http://127.0.0.1/"), "redirect"),
    "redirect to metadata": (sent(b"", status=301, Location="http://169.254.169.254/latest/"), "redirect"),
    "redirect elsewhere": (sent(b"", status=307, Location="https://example.invalid/"), "redirect"),
}  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_changes_no_air_and_is_named(settings: LazySettings, place: Place, fault: str) -> None:
    answer, expected = FAULTS[fault]
    code, asked = ask(settings, place, answer)
    assert (code, len(asked), Air.objects.count()) == (expected, 1, 0)
    assert ForecastAsk.objects.get().failure == expected
    assert fault not in OUTLASTED  # 0.6 s are allowed here, five in earnest; these servers go on for ten


@pytest.mark.django_db
def test_after_three_failures_the_service_is_left_in_peace(settings: LazySettings, place: Place) -> None:
    for n in range(3):
        other = Place.objects.create(code=f"q{n}", name="Q", lat=1.0, lon=1.0)
        assert ask(settings, other, HTML)[0] == "not-json"
    assert ask(settings, place, good()) == ("resting", [])
    ForecastAsk.objects.update(asked_at=NOW - timedelta(minutes=11))
    assert ask(settings, place, good())[0] == "stored"


@pytest.mark.django_db
def test_off_until_somebody_says_whom_to_write_to(settings: LazySettings, place: Place) -> None:
    settings.TENPADS_FORECAST_CONTACT = ""
    assert ask(settings, place, good()) == ("off", [])
    settings.TENPADS_FORECAST_CONTACT = "coach@club.invalid"
    Place.objects.update(lat=None)
    assert ask(settings, place, good()) == ("no-position", [])


@pytest.mark.parametrize(
    "url",
    ["http://api.met.no/x", "ftp://api.met.no/x", "https://127.0.0.1/x", "https://localhost/x", "https://169.254.169.254/x",
     "https://[::1]/x", "https://10.0.0.1/x", "https://me@api.met.no/x", "https:///x", "file:///etc/passwd"],
)  # fmt: skip
def test_only_public_hosts_over_https(url: str) -> None:
    with pytest.raises(Failed, match="address|unreachable"):
        fetching.fetch(url, {})


def test_a_name_that_points_home_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """All addresses of a name count: one that is not public among them is enough."""
    found = [(2, 1, 6, "", (address, 443)) for address in ("93.184.216.34", "127.0.0.1")]
    monkeypatch.setattr(fetching.socket, "getaddrinfo", lambda *a, **k: found)
    with pytest.raises(Failed, match="address"):
        fetching.fetch("https://weather.invalid/x", {})


def test_steps_without_humidity_are_left_out_and_unknown_is_never_nought() -> None:
    told = forecast()
    del told["properties"]["timeseries"][0]["data"]["instant"]["details"]["relative_humidity"]
    del told["properties"]["timeseries"][1]["data"]["next_1_hours"]
    found = locationforecast.read(Fetched("application/json", "", json.dumps(told).encode()), NOW)
    ((*_, rain, _, _),) = found.rows
    assert len(found.rows) == 1 and rain is None
