"""A static web server in a process of its own, so that a test can stop it, freeze it and start it again.

It packs texts for who takes them packed, as servers do.

`python tests/static_host.py PORT FOLDER LOG [HEADERS]`: HEADERS is a JSON file, a list of [pattern of the path, name,
value]; the last that fits a path and name counts.  LOG gets a line for each request.
"""

from __future__ import annotations

import fnmatch
import functools
import gzip
import http.client
import http.server
import io
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any, BinaryIO

PACKED = {".css", ".html", ".js", ".json", ".svg", ".webmanifest", ".xml"}


def documented_headers() -> list[list[str]]:
    """What docs/dev/publishing.md tells a server to send: a line with paths, then indented lines with headers."""
    text = (Path(__file__).parent.parent / "docs/dev/publishing.md").read_text(encoding="utf-8")
    found: list[list[str]] = []
    paths: list[str] = []
    for line in re.search(r"```headers\n(.*?)```", text, re.DOTALL)[1].splitlines():
        if line.startswith("/"):
            paths = line.split()
        else:
            name, _, value = line.strip().partition(": ")
            found += [[path, name, value] for path in paths]
    return found


class Handler(http.server.SimpleHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    headers_sent: Sequence[list[str]] = ()
    log: Path

    def do_GET(self) -> None:
        del self.headers["If-Modified-Since"]  # its seconds are too coarse for two builds of one test
        super().do_GET()

    def send_head(self) -> BinaryIO | io.BytesIO | None:
        file = Path(self.translate_path(self.path))
        if self.path.partition("?")[0].endswith("/"):
            file /= "index.html"
        if "gzip" not in self.headers.get("Accept-Encoding", "") or file.suffix not in PACKED or not file.is_file():
            return super().send_head()
        content = gzip.compress(file.read_bytes(), 6)
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(file))
        self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Vary", "Accept-Encoding")
        self.end_headers()
        return io.BytesIO(content)

    def end_headers(self) -> None:
        path = self.path.partition("?")[0]
        fitting = {name: value for pattern, name, value in self.headers_sent if fnmatch.fnmatch(path, pattern)}
        for name, value in fitting.items():
            self.send_header(name, value)
        super().end_headers()

    def log_message(self, format: str, *args: object) -> None:
        with self.log.open("a", encoding="utf-8") as log:
            log.write(format % args + "\n")


class Server(http.server.ThreadingHTTPServer):
    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that hangs up early is no fault of the server."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


class Host:
    """The server as a test holds it."""

    def __init__(self, folder: Path, log: Path, headers: list[list[str]] | None = None) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.log = log
        self.call = [sys.executable, __file__, str(self.port), str(folder), str(log)]
        if headers:
            told = log.with_suffix(".headers.json")
            told.write_text(json.dumps(headers), encoding="utf-8")
            self.call.append(str(told))
        self.address = f"http://127.0.0.1:{self.port}/"
        self.start()

    def start(self) -> None:
        self.process = subprocess.Popen(self.call)
        for _ in range(400):
            try:
                http.client.HTTPConnection("127.0.0.1", self.port, timeout=5).connect()
                return
            except OSError:
                time.sleep(0.05)
        raise TimeoutError("the server does not answer")

    def stop(self) -> None:
        self.process.kill()
        self.process.wait()

    def freeze(self) -> None:
        """Connections are taken and never answered, as with a signal too weak."""
        os.kill(self.process.pid, signal.SIGSTOP)

    def asked(self) -> str:
        return self.log.read_text(encoding="utf-8")


if __name__ == "__main__":
    port, folder, log, *more = sys.argv[1:]
    Handler.log = Path(log)
    Handler.headers_sent = json.loads(Path(more[0]).read_text(encoding="utf-8")) if more else []
    serve = functools.partial(Handler, directory=folder)
    Server(("127.0.0.1", int(port)), serve).serve_forever()
