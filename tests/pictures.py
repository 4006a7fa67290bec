"""The pictures of README.md, taken from a built site on a phone: `make pictures`, after a change of what they show."""

from __future__ import annotations

import base64
import functools
import http.server
import sys
import threading
from pathlib import Path

from conftest import CHROMIUM, FLAGS, ROOT
from playwright.sync_api import Page, sync_playwright

PLAN = "machines/bittern/54m/full-counterweight/"
PICTURES = {"plan": PLAN, "card": f"{PLAN}#m3", "drum": "machines/bittern/drum/"}
FOLDER = ROOT / "docs/dev"
# A PNG of a phone's screen is four times as heavy as a WebP that looks the same.
AS_WEBP = """async (png) => {
  const picture = await createImageBitmap(await (await fetch(png)).blob());
  const canvas = new OffscreenCanvas(picture.width, picture.height);
  canvas.getContext("2d").drawImage(picture, 0, 0);
  const blob = await canvas.convertToBlob({ type: "image/webp", quality: 0.8 });
  const bytes = new Uint8Array(await blob.arrayBuffer());
  return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
}"""


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


def take(page: Page, encoder: Page, address: str, target: Path) -> None:
    """One picture of the page at an address."""
    page.goto("about:blank")
    page.goto(address, wait_until="networkidle")
    page.evaluate("document.fonts.ready.then(() => 0)")
    png = base64.b64encode(page.screenshot()).decode()
    target.write_bytes(base64.b64decode(encoder.evaluate(AS_WEBP, f"data:image/png;base64,{png}")))


def main(site: str) -> None:
    """Take every picture of the site built in this folder."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=site))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        screen = {"width": 360, "height": 740}
        phone = browser.new_context(viewport=screen, device_scale_factor=1.5, service_workers="block")  # type: ignore[arg-type]
        page, encoder = phone.new_page(), phone.new_page()
        for name, at in PICTURES.items():
            take(page, encoder, f"http://127.0.0.1:{server.server_port}/{at}", FOLDER / f"{name}.webp")
        browser.close()
    server.shutdown()


if __name__ == "__main__":
    main(*sys.argv[1:])
