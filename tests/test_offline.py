"""The copy on the phone, in Chromium with the server process really stopped; what a build seals; what headers say."""

from __future__ import annotations

import datetime
import gzip
import hashlib
import json
import re
import shutil
import struct
import time
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
import yaml
from conftest import DATA, DAY, ROOT, once, open_search
from playwright.sync_api import Browser, BrowserContext, Page, expect
from playwright.sync_api import TimeoutError as BrowserTimeout
from static_host import Host, documented_headers

from hooks.building import icons, seal
from hooks.pages.site import offline
from hooks.text import words

LATER = "2026-12-08"
READY = "navigator.serviceWorker.ready.then(() => 0)"
PLAN = "machines/heron/27m/"
PATIENCE = 180_000  # [ms] for a busy machine
LOST = 60_000  # [ms]; on a busy machine a request to a worker just started anew is at times never answered
SHIFTED = """new Promise(done => {
  let sum = 0;
  const count = (list) => list.getEntries().forEach((entry) => { sum += entry.value; });
  new PerformanceObserver(count).observe({type: "layout-shift", buffered: true});
  setTimeout(() => done(sum), 300);
})"""  # layout shift of the page so far

# ---- what a build seals


def listed(site: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(next((site / "offline").glob("list.*.json")).read_text(encoding="utf-8"))
    return found


def sealed_again(built: Path, target: Path, change: Callable[[Path], None], day: str = DAY, limit: int = 5000) -> Path:
    """A copy of a build, changed and sealed as another: quicker than to build it."""
    shutil.copytree(built, target)
    for made in (target / "sw.js", target / "version.json", *(target / "offline").glob("list.*.json")):
        made.unlink()
    shutil.copy(ROOT / "docs/assets/worker.js", target / seal.WORKER)
    change(target)
    texts = words.load()
    options = seal.Options(whole_site_up_to_kb=limit, page_wait_seconds=3)
    names = {id: machine.name for id, machine in DATA.machines.items()}
    seal.seal(target, day, options, names, lambda crane, size: offline.save_button(texts, crane, size))
    return target


def a_later_day(site: Path) -> None:
    """Every page of another day, and another look."""
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        path.write_text(text.replace(f"<time>{DAY}</time>", f"<time>{LATER}</time>"), encoding="utf-8")
    with next((site / "assets").glob("site.*.css")).open("a", encoding="utf-8") as css:
        css.write("\n.fw-strip { font-style: italic; }\n")


@pytest.fixture(scope="session")
def later(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    def make(folder: Path) -> None:
        sealed_again(built, folder / "site", a_later_day, LATER)

    return once(tmp_path_factory, "later", make) / "site"


def test_every_file_of_the_list_is_there_with_its_hash(built: Path) -> None:
    """SHA-256 (FIPS 180-4, read second-hand) by the standard library; the worker computes it by the browser's own."""
    for address, digest in listed(built)["files"]:
        path = built / address / "index.html" if address.endswith("/") or not address else built / address
        assert hashlib.sha256(path.read_bytes()).hexdigest()[:32] == digest, address


def test_list_leaves_out_only_what_no_page_needs_without_a_signal(built: Path) -> None:
    inside = {address for address, _ in listed(built)["files"]}
    everything = {p.relative_to(built).as_posix().removesuffix("index.html") for p in built.rglob("*") if p.is_file()}
    made = {"sw.js", "version.json"} | {address for address in everything if address.startswith("offline/list.")}
    left_out = everything - inside - made
    assert {"", "search/search_index.json", PLAN, "rules/", "guidance/", "offline/"} <= inside
    assert left_out and all(
        re.match(r"404\.html$|sitemap\.xml|data/v1/|machines/.*/plan\.html$", address) for address in left_out
    )


def test_worker_and_version_belong_to_the_pages(built: Path) -> None:
    version = json.loads((built / "version.json").read_text(encoding="utf-8"))
    constants = json.loads((built / "sw.js").read_text(encoding="utf-8").partition("\n")[0][len("const BUILD = ") : -1])
    assert version == {"build": constants["build"], "day": DAY} and re.fullmatch("[0-9a-f]{12}", version["build"])
    assert constants["listHash"] == hashlib.sha256((built / constants["list"]).read_bytes()).hexdigest()[:32]
    for path in built.rglob("*.html"):
        stamps = re.findall(r'data-build="(\w*)"', path.read_text(encoding="utf-8"))
        assert stamps == ([] if path.name == "plan.html" else [version["build"]]), path


def test_own_scripts_and_styles_carry_their_hash(built: Path) -> None:
    """Whoever holds an address of one of them holds its content: new HTML never meets old CSS."""
    own = [p for p in (built / "assets").iterdir() if p.suffix in (".js", ".css", ".json")]
    assert {p.name.partition(".")[0] for p in own} >= {"site", "figures", "units", "frame", "offline", "phone"}
    for path in own:
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
        assert re.fullmatch(rf"[a-z]+\.{digest[:8]}\.(js|css|json)", path.name), path.name


def small(folder: Path, script: str) -> str:
    """A site of one page and one script, sealed; its build."""
    (folder / "assets").mkdir(parents=True)
    (folder / "index.html").write_text(f'<b data-build="{seal.BUILD}"><script src="assets/one.js">')
    (folder / "assets/one.js").write_text(script)
    (folder / seal.WORKER).write_text("")
    seal.seal(folder, DAY, seal.Options(1, 1), {}, lambda crane, size: "")
    found = json.loads((folder / "version.json").read_text(encoding="utf-8"))["build"]
    assert f'data-build="{found}"' in (folder / "index.html").read_text(encoding="utf-8")
    return str(found)


def test_the_same_content_is_the_same_build(tmp_path: Path) -> None:
    assert small(tmp_path / "a", "1;") == small(tmp_path / "b", "1;") != small(tmp_path / "c", "2;")
    assert (tmp_path / "a/sw.js").read_bytes() == (tmp_path / "b/sw.js").read_bytes()


def test_scripts_that_import_each_other_are_refused(tmp_path: Path) -> None:
    (tmp_path / "assets").mkdir()
    (tmp_path / "assets/one.js").write_text('import "./two.js";')
    (tmp_path / "assets/two.js").write_text('import "./one.js";')
    with pytest.raises(ValueError, match=r"import each other: one\.js, two\.js"):
        seal.seal(tmp_path, DAY, seal.Options(1, 1), {}, lambda crane, size: "")


def test_copy_weighs_at_most_five_megabytes(built: Path) -> None:
    """On the way to the phone, packed as a server packs it; on the phone it takes about four times as much."""
    packed = 0
    for address, _ in listed(built)["files"]:
        path = built / address / "index.html" if address.endswith("/") or not address else built / address
        packed += len(gzip.compress(path.read_bytes(), 6))
    assert packed <= 5_000_000 and listed(built)["bytes"] == pytest.approx(packed, rel=0.01)


# ---- icons and manifest


def test_only_the_pages_to_install_from_name_the_manifest(built: Path) -> None:
    """The frame of the others stays light."""
    named = [p for p in built.rglob("index.html") if 'rel="manifest"' in p.read_text(encoding="utf-8")]
    assert {p.parent.relative_to(built).as_posix() for p in named} == {".", "offline"}


def _pixels(file: bytes) -> bytes:
    """The rows of a PNG made without filters."""
    data, at = b"", 8
    while at < len(file):
        length, name = struct.unpack(">I4s", file[at : at + 8])
        data += file[at + 8 : at + 8 + length] if name == b"IDAT" else b""
        at += 12 + length
    return zlib.decompress(data)


def test_icons_are_what_their_script_draws() -> None:
    assert (icons.ASSETS / "logo.svg").read_text(encoding="utf-8") == icons.svg()
    small = (icons.ASSETS / "icons/icon-192.png").read_bytes()
    assert _pixels(small) == _pixels(icons.png(192))
    for name, (side, _) in icons.PICTURES.items():
        assert struct.unpack(">II", (icons.ASSETS / "icons" / name).read_bytes()[16:24]) == (side, side)


def test_a_maskable_icon_keeps_the_drawing_inside_the_circle() -> None:
    """A phone may cut to a circle of radius 2/5 of the side (W3C Web Application Manifest, from memory)."""
    for stroke in icons.DRAWING:
        for x, y in ((stroke.x1, stroke.y1), (stroke.x2, stroke.y2)):
            reach = ((x - 24) ** 2 + (y - 24) ** 2) ** 0.5 + stroke.width / 2
            assert reach * icons.MASK_SCALE / icons.SIDE <= 0.4


# ---- the phone


class Phone:
    """Chromium with a screen of 360 x 740 that notes errors, and requests that leave the site or carry anything."""

    def __init__(self, context: BrowserContext, address: str) -> None:
        self.context, self.address = context, address
        self.wrong: list[str] = []
        self.page = self.tab()

    def tab(self) -> Page:
        page = self.context.new_page()
        page.set_default_timeout(PATIENCE)
        page.on("console", lambda message: self.wrong.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: self.wrong.append(str(error)))
        return page

    def watch(self, request: Any) -> None:
        url = urlsplit(request.url)
        told = request.method != "GET" or request.post_data or (url.query and not url.path.endswith("/offline/"))
        if told or not request.url.startswith((self.address, "data:", "blob:")):
            self.wrong.append(f"{request.method} {request.url}")

    def open(self, path: str) -> None:
        try:
            self.page.goto(self.address + path, timeout=LOST)
        except BrowserTimeout:
            self.page.goto(self.address + path)

    @property
    def line(self) -> Any:
        """What the menu says of the copy."""
        return self.page.locator(".fw-copy b")

    @property
    def notice(self) -> Any:
        """The line of a page that says what has to be acted on."""
        return self.page.locator(".fw-act")

    def says(self, text: str) -> None:
        expect(self.line).to_have_text(text, timeout=PATIENCE)

    def update(self, path: str, said: str) -> None:
        """Tap Update on a page, which then comes anew and says this."""
        self.open(path)
        self.notice.get_by_role("button", name="Update").click(timeout=PATIENCE)
        try:
            expect(self.line).to_have_text(said, timeout=LOST)
        except AssertionError:
            self.open(path)
            self.says(said)

    def day(self) -> str:
        return str(self.page.locator(".fw-copy time").text_content())

    def first_visit(self) -> None:
        self.open("")
        self.page.evaluate(READY)
        self.says("Current. Saved for offline use.")


NewPhone = Callable[[str], Phone]
NewHost = Callable[..., Host]


@pytest.fixture
def new_phone(browser: Browser) -> Iterator[NewPhone]:
    contexts = []

    def make(address: str) -> Phone:
        context = browser.new_context(viewport={"width": 360, "height": 740})
        contexts.append(context)
        made = Phone(context, address)
        context.on("request", made.watch)
        return made

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def host(tmp_path: Path) -> Iterator[NewHost]:
    hosts: list[Host] = []

    def make(folder: Path, headers: list[list[str]] | None = None) -> Host:
        hosts.append(Host(folder, tmp_path / f"requests-{len(hosts)}.log", headers))
        return hosts[-1]

    yield make
    for one in hosts:
        one.stop()


def test_first_visit_is_light(browser: Browser, address: str) -> None:
    """Everything that the start page asks for before the copy is fetched, packed as a server packs it."""
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    weights: dict[str, int] = {}
    page.on("response", lambda r: weights.__setitem__(r.url, len(gzip.compress(r.body(), 6))))
    page.goto(address, wait_until="networkidle")
    context.close()
    assert any("offline." in url for url in weights) and any("version.json" in url for url in weights)
    assert sum(weights.values()) <= 130_000, weights


def test_journey_with_the_server_stopped(new_phone: NewPhone, host: NewHost, built: Path) -> None:
    """One visit to the start page, then no signal: everything opens, under the headers that the guide gives."""
    headers = documented_headers()
    assert {"Content-Security-Policy", "X-Content-Type-Options", "Cache-Control"} <= {name for _, name, _ in headers}
    server = host(built, headers)
    mine = new_phone(server.address)
    mine.first_visit()
    page = mine.page

    manifest = mine.context.new_cdp_session(page).send("Page.getAppManifest")
    assert manifest["url"].endswith("/manifest.webmanifest") and not manifest["errors"]
    app = json.loads(manifest["data"])
    assert {i["sizes"] for i in app["icons"]} >= {"192x192", "512x512"} and app["display"] == "standalone"
    assert any(icon.get("purpose") == "maskable" for icon in app["icons"])

    server.stop()
    asked = server.asked()
    for path, heading in (
        ("", "Which crane?"),
        (PLAN, "Heron, boom 27 m"),
        (PLAN + "index.html#steps", "Heron, boom 27 m"),
        ("machines/bittern/", "Bittern"),
        ("rules/", "Rules"),
        ("rules/minimum-load/", ""),
        ("guidance/", "Guidance"),
        ("guidance/telescopic/", ""),
    ):
        page.goto(server.address + path)
        assert heading in page.locator("h1").inner_text()
        mine.says("Offline copy.")
        assert mine.day() == DAY
        assert page.evaluate(SHIFTED) == 0, path
        expect(page.locator(".fw-head")).to_have_css("position", "sticky")
        expect(mine.notice).to_be_empty()
    kept = page.evaluate("fetch(location.href).then(r => Object.fromEntries(r.headers))")
    assert kept["x-content-type-options"] == "nosniff" and "frame-ancestors" in kept["content-security-policy"]

    mine.open("rules/")
    open_search(page)
    page.locator("input.md-search__input").press_sequentially("bittern 54m")
    found = page.locator(".md-search-result__link").first
    expect(found).to_be_visible(timeout=PATIENCE)
    found.click()
    expect(page.locator("h1")).to_contain_text("Bittern")

    for path in ("data/v1/machines.json", "no-such-page/"):
        mine.open(path)
        expect(page.locator("#missing")).to_be_visible()
        assert page.locator("#missing a").get_attribute("href") == server.address + path
    expect(page.locator("#copy-state")).to_have_text("Complete")
    assert page.locator("#copy-day").inner_text() == DAY
    mine.open("rules")  # without its slash, relative links would lead astray
    assert page.url == server.address + "rules/"

    assert server.asked() == asked, "nothing was answered meanwhile"
    assert mine.context.cookies() == [] and not mine.wrong


def test_a_signal_too_weak_is_no_signal(new_phone: NewPhone, host: NewHost, built: Path) -> None:
    server = host(built)
    mine = new_phone(server.address)
    mine.first_visit()
    server.freeze()
    mine.open("machines/bittern/54m/")
    assert "Bittern" in mine.page.locator("h1").inner_text()
    mine.says("Offline copy.")
    assert not mine.wrong


def test_update_only_when_whole_and_only_on_a_tap(
    new_phone: NewPhone, host: NewHost, built: Path, later: Path, tmp_path: Path
) -> None:
    """From one build to the next under a sub-path, with every stage of an upload between."""
    root = tmp_path / "www"
    (root / "field").mkdir(parents=True)

    def publish(site: Path) -> None:
        (root / "field/guide").unlink(missing_ok=True)
        (root / "field/guide").symlink_to(site)

    publish(built)
    server = host(root)
    mine = new_phone(server.address + "field/guide/")
    page = mine.page
    mine.first_visit()

    def copies() -> list[str]:
        return [name for name in mine.page.evaluate("caches.keys()") if "in use" not in name]

    before = copies()
    assert len(before) == 1

    def tried() -> bool:
        """Look for a new build: is one waiting?"""
        return page.evaluate(
            """async () => {
              const found = await navigator.serviceWorker.getRegistration();
              await found.update().catch(() => {});
              const coming = found.installing;
              if (coming?.state === "installing") await new Promise((done) => { coming.onstatechange = done; });
              return Boolean(found.waiting);
            }"""
        )

    # New pages are there, the version file is not: the upload goes on.
    half = tmp_path / "half"
    shutil.copytree(later, half)
    for name in ("version.json", "sw.js"):
        shutil.copy(built / name, half / name)
    publish(half)
    assert not tried() and copies() == before
    mine.open(PLAN)
    mine.says("Current. Saved for offline use.")
    assert mine.day() == DAY

    # The version file came too early: one file is missing, then one is cut short.
    for name in ("version.json", "sw.js"):
        shutil.copy(later / name, half / name)
    missing = half / "machines/bittern/54m/index.html"
    missing.unlink()
    assert not tried() and copies() == before
    mine.open("machines/bittern/54m/")
    mine.says("Outdated.")
    expect(mine.notice).to_have_text("Outdated.Load again")
    assert page.evaluate(SHIFTED) == 0, "what is found out later moves nothing"
    assert mine.day() == DAY
    shutil.copy(later / "machines/bittern/54m/index.html", missing)
    cut = half / PLAN / "index.html"
    cut.write_bytes(cut.read_bytes()[:20_000])
    assert not tried() and copies() == before
    mine.open(PLAN)
    mine.says("Outdated.")
    expect(mine.notice).to_have_text("Outdated.Load again")
    assert mine.day() == DAY and page.locator("#data").count() == 1
    server.stop()
    mine.open(PLAN)
    mine.says("Offline copy.")
    assert mine.day() == DAY
    server.start()

    # Now all of it is there.  It waits beside the old copy for the tap.
    publish(later)
    asked = len(server.asked())
    assert tried() and len(copies()) == 2
    fetched = server.asked()[asked:]
    assert f"/{PLAN} " in fetched and "/javascripts/bundle." not in fetched, "unchanged files are taken over"
    mine.open(PLAN)  # with a signal: the page of today, in its own look
    mine.says("A newer copy is ready.")
    expect(mine.notice).to_have_text("A newer copy is ready.Update")
    assert mine.day() == LATER
    expect(page.locator(".fw-strip")).to_have_css("font-style", "italic")
    server.stop()
    mine.open(PLAN)  # without: the old copy until the tap, in the old look
    mine.says("Offline copy.")
    expect(mine.notice).to_have_text("A newer copy is ready.Update")
    assert mine.day() == DAY
    expect(page.locator(".fw-strip")).to_have_css("font-style", "normal")
    for _ in range(40):  # with the last page gone for a while, the browser starts the newer worker by itself
        page.close()
        time.sleep(0.5)
        page = mine.page = mine.tab()
        mine.open(PLAN)
        if not page.evaluate("navigator.serviceWorker.getRegistration().then(found => Boolean(found.waiting))"):
            break
    else:
        pytest.fail("the newer worker never started")
    mine.says("Offline copy.")
    expect(mine.notice).to_have_text("A newer copy is ready.Update")
    assert mine.day() == DAY, "the copy in use is still the old one"
    mine.update(PLAN, "Offline copy.")  # needs no signal
    expect(page.locator(".fw-copy time")).to_have_text(LATER, timeout=PATIENCE)  # the line said the same before the tap
    assert len(copies()) == 1 and copies() != before
    assert not mine.wrong


def test_an_update_does_not_wait_for_a_worker_that_is_busy(
    new_phone: NewPhone, host: NewHost, built: Path, later: Path, tmp_path: Path
) -> None:
    """The worker of the old copy has an answer outstanding for another tab and is not replaced; the tap counts."""
    (tmp_path / "www").symlink_to(built)
    server = host(tmp_path / "www")
    mine = new_phone(server.address)
    mine.first_visit()
    (tmp_path / "www").unlink()
    (tmp_path / "www").symlink_to(later)
    other = mine.tab()
    other.goto(server.address)
    mine.open(PLAN)
    expect(mine.notice).to_contain_text("Update", timeout=PATIENCE)
    server.freeze()
    other.evaluate("void fetch('data/v1/rules.json').catch(() => {})")
    mine.notice.get_by_role("button", name="Update").click()
    mine.says("Offline copy.")
    assert mine.day() == LATER
    assert mine.page.evaluate("navigator.serviceWorker.getRegistration().then(found => Boolean(found.waiting))")
    assert not mine.wrong


def test_large_fleet_is_saved_crane_by_crane(new_phone: NewPhone, host: NewHost, built: Path, tmp_path: Path) -> None:
    """Only what is shared comes at the first visit; a crane comes by its button, and along with every update."""
    site = sealed_again(built, tmp_path / "large", lambda site: None, limit=100)
    newer = sealed_again(built, tmp_path / "newer", a_later_day, LATER, limit=100)
    (tmp_path / "www").symlink_to(site)
    shared = listed(site)
    assert not [a for a, _ in shared["files"] if re.match(r"machines/\w+/.", a)]
    heron = shared["cranes"]["heron"]
    assert heron["name"] == "Heron" and PLAN in [address for address, _ in heron["files"]]
    server = host(tmp_path / "www")
    mine = new_phone(server.address)
    page = mine.page
    page.add_init_script("navigator.storage.persist = async () => { self.persistAsked = true; return true; }")
    mine.first_visit()
    mine.open(PLAN)
    mine.says("Current.")
    mine.open("machines/heron/")
    button = page.locator("[data-save]")
    text = f"Save this crane for offline use ({seal.size(heron['bytes'])})"
    expect(button).to_have_text(text)
    box = button.bounding_box()
    assert box and box["height"] >= 48
    assert not page.evaluate("self.persistAsked"), "asked only after a tap"
    button.click()
    expect(button).to_have_text("Saved for offline use", timeout=PATIENCE)
    assert page.evaluate("self.persistAsked")

    (tmp_path / "www").unlink()
    (tmp_path / "www").symlink_to(newer)
    mine.update(PLAN, "Current. Saved for offline use.")
    server.stop()
    mine.open(PLAN)
    mine.says("Offline copy.")
    assert mine.day() == LATER
    mine.open("machines/heron/")
    expect(page.locator("[data-save]")).to_have_text("Saved for offline use")
    mine.open("machines/bittern/54m/")
    expect(page.locator("#missing")).to_be_visible()
    expect(page.get_by_role("button", name="Remove Heron")).to_be_visible()
    assert page.get_by_role("button", name="Save Bittern").is_enabled()
    page.get_by_role("button", name="Save Bittern").click()
    expect(page.get_by_text("Not saved; try again with a signal")).to_be_visible(timeout=PATIENCE)
    page.get_by_role("button", name="Remove Heron").click()
    expect(page.get_by_role("button", name="Save Heron")).to_be_visible()
    mine.open(PLAN)
    expect(page.locator("#missing")).to_be_visible()
    assert not mine.wrong


def test_old_data_says_so_loudly(browser: Browser, address: str) -> None:
    """Both sides of the age in mkdocs.yml."""
    config = re.search(r"old_after_days: (\d+)", (ROOT / "mkdocs.yml").read_text(encoding="utf-8"))
    assert config
    limit = int(config[1])
    context = browser.new_context(viewport={"width": 360, "height": 740}, service_workers="block")
    page = context.new_page()
    start = datetime.datetime.fromisoformat(f"{DAY}T00:00:00+00:00")
    sizes = []
    for days in (limit, limit + 1):
        page.clock.set_fixed_time(start + datetime.timedelta(days=days, hours=23))
        page.goto(address + PLAN)
        expect(page.locator(".fw-copy b")).to_contain_text("Current.")
        sizes.append((page.locator(".fw-act").text_content(), page.evaluate(SHIFTED)))
    expect(page.locator(".fw-act")).to_be_in_viewport()
    context.close()
    assert sizes[0] == ("", 0)
    assert sizes[1][0].startswith(f"{limit + 1} days old!") and sizes[1][1] < 0.01, (
        "known before the first paint; letters settle"
    )


def test_what_is_known_is_shown_before_the_first_paint(browser: Browser, address: str) -> None:
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    page.goto(address)
    expect(page.locator(".fw-copy b")).to_have_text("Current.")
    page.add_init_script(
        "addEventListener('DOMContentLoaded', () => self.early = document.querySelector('.fw-copy b').textContent)"
    )
    page.goto(address + PLAN)
    assert page.evaluate("early").strip() == "Current."
    page.add_init_script("""localStorage.setItem("firmwrap.copy", JSON.stringify(
        {...JSON.parse(localStorage.getItem("firmwrap.copy")), at: Date.now() - 61e3}))""")
    page.goto(address + PLAN)
    assert page.evaluate("early").strip() == "", "what is a minute old is not known any more"
    context.close()


def test_words_of_the_scripts_are_given_and_used() -> None:
    scripts = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "docs/assets").glob("*.js"))
    texts = yaml.safe_load((ROOT / "hooks/words/offline.en.yaml").read_text(encoding="utf-8"))["offline"]["script"]
    frame = yaml.safe_load((ROOT / "hooks/words/frame.en.yaml").read_text(encoding="utf-8"))["frame"]["script"]
    for name in [*texts, *frame]:
        assert re.search(rf'words\.{name}\b|"{name}"', scripts), name
