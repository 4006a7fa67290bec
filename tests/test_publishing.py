"""The site on a real web server: nginx from Debian with .ci/nginx.conf, asked for every kind of file."""

from __future__ import annotations

import fnmatch
import gzip
import http.client
import os
import re
import shutil
import socket
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import ROOT
from static_host import documented_headers

NGINX = shutil.which("nginx", path=f"{os.environ['PATH']}:/usr/sbin")
AROUND = """
daemon off;
user {user};
pid {folder}/pid;
error_log {folder}/errors.log;
events {{}}
http {{
    include /etc/nginx/mime.types;
    access_log off;
    client_body_temp_path {folder}/body;
    proxy_temp_path {folder}/proxy;
    fastcgi_temp_path {folder}/fastcgi;
    uwsgi_temp_path {folder}/uwsgi;
    scgi_temp_path {folder}/scgi;
    {server}
}}
"""


@pytest.fixture(scope="module")
def port(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """Where nginx serves the site."""
    if NGINX is None:
        assert not os.environ.get("CI"), "CI asks a real web server; install nginx"
        pytest.skip("nginx is not installed; these tests run where it is")
    folder = tmp_path_factory.mktemp("nginx")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        found = int(free.getsockname()[1])
    server = (ROOT / ".ci/nginx.conf").read_text(encoding="utf-8")
    for documented, here in (("listen 80;", f"listen 127.0.0.1:{found};"), ("/srv/firmwrap/site;", f"{built};")):
        assert server.count(documented) == 1
        server = server.replace(documented, here)
    user = "root" if os.geteuid() == 0 else os.environ["USER"]
    file = folder / "nginx.conf"
    file.write_text(AROUND.format(folder=folder, server=server, user=user), encoding="utf-8")
    running = subprocess.Popen([NGINX, "-p", str(folder), "-c", str(file)], stderr=subprocess.DEVNULL)
    try:
        for _ in range(400):
            if (folder / "pid").exists():
                break
            assert running.poll() is None, (folder / "errors.log").read_text(encoding="utf-8")
            time.sleep(0.05)
        yield found
    finally:
        running.terminate()
        running.wait()


def ask(port: int, path: str, **headers: str) -> tuple[int, http.client.HTTPMessage, bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    connection.request("GET", path, headers={name.replace("_", "-"): value for name, value in headers.items()})
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    return answer.status, answer.headers, body


def kinds(built: Path) -> dict[str, Path]:
    """Of each kind of file, by folder at the top and ending, the largest, by its address."""
    found: dict[tuple[str, str], Path] = {}
    for path in (p for p in built.rglob("*") if p.is_file()):
        kind = (path.relative_to(built).parts[0], path.suffix)
        if kind not in found or path.stat().st_size > found[kind].stat().st_size:
            found[kind] = path
    return {f"/{path.relative_to(built).as_posix().removesuffix('index.html')}": path for path in found.values()}


def test_every_kind_of_file_has_the_documented_headers(port: int, built: Path) -> None:
    asked = kinds(built)
    assert {"/", "/sw.js", "/version.json", "/404.html", "/manifest.webmanifest"} <= set(asked)
    for path, file in asked.items():
        status, headers, body = ask(port, path)
        assert (status, body) == (200, file.read_bytes()), path
        wanted = {name: value for shape, name, value in documented_headers() if fnmatch.fnmatch(path, shape)}
        assert {name: headers[name] for name in wanted} == wanted, path
        assert all(len(headers.get_all(name, [])) == 1 for name in wanted), path
        assert "Server" not in headers or not re.search(r"\d", headers["Server"]), path


def test_what_is_text_comes_packed(port: int, built: Path) -> None:
    """And unpacked it is the file, byte for byte: the copy on a phone holds each against its hash."""
    packed = set()
    for path, file in kinds(built).items():
        _, headers, body = ask(port, path, Accept_Encoding="gzip")
        text = file.suffix in (".html", ".css", ".js", ".json", ".svg", ".xml", ".webmanifest", ".csv")
        if text and file.stat().st_size >= 500:
            assert headers["Content-Encoding"] == "gzip" and "Accept-Encoding" in headers["Vary"], path
            assert gzip.decompress(body) == file.read_bytes(), path
            packed.add(file.suffix)
    assert {".html", ".css", ".js", ".json", ".svg"} <= packed


def test_types(port: int, built: Path) -> None:
    """A browser that is told not to guess (nosniff) takes scripts, styles and the manifest by their type only."""
    types = {".html": "text/html", ".css": "text/css", ".js": "application/javascript", ".json": "application/json"}
    types |= {".svg": "image/svg+xml", ".webmanifest": "application/manifest+json", ".png": "image/png"}
    for path, file in kinds(built).items():
        if file.suffix in types:
            assert ask(port, path)[1].get_content_type() == types[file.suffix], path


def test_an_unchanged_page_is_not_sent_again(port: int) -> None:
    _, headers, _ = ask(port, "/machines/heron/41m/")
    assert headers["Cache-Control"] == "no-cache", "asked for at every visit"
    status, _, body = ask(port, "/machines/heron/41m/", If_None_Match=headers["ETag"])
    assert (status, body) == (304, b"")


def test_a_wrong_address_has_the_page_for_it(port: int, built: Path) -> None:
    status, headers, body = ask(port, "/machines/no-such-crane/")
    assert (status, body) == (404, (built / "404.html").read_bytes())
    assert headers["X-Content-Type-Options"] == "nosniff" and "frame-ancestors" in headers["Content-Security-Policy"]


def test_an_address_without_its_slash_leads_on_without_a_host(port: int) -> None:
    """Behind a proxy that ends https, nginx would name http and its own port."""
    status, headers, _ = ask(port, "/machines/heron/41m")
    assert (status, headers["Location"]) == (301, "/machines/heron/41m/")


@pytest.mark.parametrize(
    "path", ["/../mkdocs.yml", "/%2e%2e/mkdocs.yml", "/assets/..%2f..%2fmkdocs.yml", "/.git/config"]
)
def test_nothing_but_the_site_is_served(port: int, path: str) -> None:
    assert ask(port, path)[0] in (400, 404)


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_nothing_can_be_sent(port: int, method: str) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    connection.request(method, "/version.json", body=b"x")
    assert connection.getresponse().status == 405
