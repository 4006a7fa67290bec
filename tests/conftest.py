"""The site, built once for all tests that look at it, and a server for the browser."""

from __future__ import annotations

import functools
import http.server
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
DAY = "2026-11-25"


def build(target: Path, data: Path | None = None) -> subprocess.CompletedProcess[str]:
    """A strict build into `target`, of the data folder if one is given."""
    environment = os.environ | {"FIRMWRAP_DAY": DAY, "NO_MKDOCS_2_WARNING": "1"}
    if data is not None:
        environment["FIRMWRAP_DATA"] = str(data)
    call = [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet", "--site-dir", str(target)]
    return subprocess.run(call, cwd=ROOT, env=environment, capture_output=True, text=True)


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("built") / "site"
    done = build(target)
    assert done.returncode == 0, done.stdout + done.stderr
    return target


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture(scope="session")
def address(built: Path) -> Iterator[str]:
    handler = functools.partial(_Quiet, directory=str(built))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()
