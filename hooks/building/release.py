"""Build the site and make it the published one: `python -m hooks.building.release`.

One at a time: a second call waits until the first has ended, for two builds at once would share what they keep for the
next one and swap the site under each other.  A build has a folder of its own.  `site` is a symbolic link: when the
build is whole, it moves to a folder named after its content and the link is replaced in one step.  A reader meets the
old site or the new one, never half of either, and a build that fails leaves the last good site as it was.
"""

from __future__ import annotations

import datetime
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from calc import ROOT
from hooks.building import seal
from hooks.building.seal import LAST


@contextmanager
def turn(root: Path) -> Iterator[None]:
    """The one place in which the site under `root` is built, swapped or read whole.  The system frees it when its
    process ends, however that ends; who has to wait is told for whom."""
    (root / "build").mkdir(exist_ok=True)
    lock, holder = FileLock(root / "build/lock"), root / "build/at-work"
    try:
        lock.acquire(blocking=False)
    except Timeout:
        print(f"{_told(holder)}; waiting until that ends", file=sys.stderr, flush=True)
        lock.acquire()
    try:
        now = datetime.datetime.now(datetime.UTC).isoformat(" ", "seconds")
        holder.write_text(f"{os.getpid()} {now}", encoding="utf-8")
        yield
    finally:
        lock.release()


def _told(holder: Path) -> str:
    """Who is at work, and what to do when that never ends."""
    try:
        process, _, since = holder.read_text(encoding="utf-8").partition(" ")
    except OSError:
        process = since = ""
    if not since:  # it has only just begun
        return "another build is at work"
    return f"another build is at work, process {process} since {since}; if it hangs: kill {process}"


def digest(folder: Path) -> str:
    """Name of a build: 12 hex digits over every file's path and content."""
    found = hashlib.sha256()
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        found.update(str(path.relative_to(folder)).encode() + b"\0" + path.read_bytes() + b"\0")
    return found.hexdigest()[:12]


def build(root: Path) -> Path:
    """Build the site strictly into a folder of its own; returns it.  In `turn` only: what a build left that was killed
    is removed.

    Errors: SystemExit with the status of a build that failed, which has said why; its folder is gone.
    """
    for left in (root / "build").glob("next-*"):
        _remove(left)
    folder = root / f"build/next-{os.getpid()}"
    call = [sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(folder)]
    status = 1
    try:
        status = subprocess.run(call, cwd=root).returncode
    finally:
        if status:
            _remove(folder)
    if status:
        sys.exit(status)
    return folder


def _remove(place: Path) -> None:
    if place.is_dir() and not place.is_symlink():
        shutil.rmtree(place)
    else:
        place.unlink(missing_ok=True)


def release(root: Path, built: Path) -> Path:
    """Swap `root/site` to what stands in the folder `built`; keep the build before it, remove older ones.  In `turn`
    only.

    Returns the folder that is the site now.  Errors: OSError when the build is not finished or not whole, when `site`
    is something else than a link, or when the disk refuses; the site is then what it was.
    """
    link = root / "site"
    if not (built / LAST).is_file():
        raise FileNotFoundError(f"{built} holds no finished site; run `make site`")
    if wrong := list(seal.faults(built)):
        more = f" and {len(wrong) - 1} more" if len(wrong) > 1 else ""
        raise OSError(f"{built} is not one whole build: {wrong[0]}{more}; run `make site` again")
    if link.exists() and not link.is_symlink():
        raise FileExistsError(f"{link} is not the link to the site; move it out of the way")
    before = link.resolve() if link.is_symlink() else None
    name = digest(built)
    target = root / "build" / f"site-{name}"
    if target.exists() and digest(target) == name:  # the same content was built before
        shutil.rmtree(built)
    else:
        if target.exists():  # what is left of it: a removal was cut short
            shutil.rmtree(target)
        built.rename(target)
    fresh = root / "site.link"  # beside `site`: build/ may be another disk
    fresh.unlink(missing_ok=True)
    fresh.symlink_to(os.path.relpath(target, root))
    os.replace(fresh, link)
    for old in (root / "build").glob("site-*"):
        if old not in (target, before):
            shutil.rmtree(old)
    return target


def main() -> None:
    try:
        with turn(ROOT):
            print(f"site -> {release(ROOT, build(ROOT)).relative_to(ROOT)}")
    except OSError as error:
        sys.exit(f"the site stays as it was: {error}")


if __name__ == "__main__":
    main()
