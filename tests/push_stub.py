"""A push service of a test's own on this machine: keeps what it is sent and answers as it is told to (RFC 8030)."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


@dataclass
class Stub:
    """`answers` are used up in turn, the last for ever; `got` holds (path, headers, body) of each request."""

    address: str = ""
    answers: list[tuple[int, dict[str, str]]] = field(default_factory=lambda: [(201, {})])
    got: list[tuple[str, dict[str, str], bytes]] = field(default_factory=list)


@contextmanager
def push_service() -> Iterator[Stub]:
    stub = Stub()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:  # noqa: N802 - as the library calls it
            body = self.rfile.read(int(self.headers["Content-Length"]))
            stub.got.append((self.path, {k.lower(): v for k, v in self.headers.items()}, body))
            status, headers = stub.answers.pop(0) if len(stub.answers) > 1 else stub.answers[0]
            self.send_response(status)
            for name, value in headers.items():
                self.send_header(name, value)
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *args: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    stub.address = f"http://127.0.0.1:{server.server_port}"
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield stub
    finally:
        server.shutdown()
        server.server_close()
        thread.join(5)
