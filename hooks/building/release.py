"""Make a finished build the published site: `python -m hooks.building.release`, run only after a build that succeeded.

`site` is a symbolic link.  The build moves from build/next to a folder named after its content, then the link is
replaced in one step: a reader meets the old site or the new one, never half of either, and a failed build, which
never gets here, leaves the last good site as it was.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import sys
from pathlib import Path

from calc import ROOT

LAST = "version.json"  # the file a build writes last


def digest(folder: Path) -> str:
    """Name of a build: 12 hex digits over every file's path and content."""
    found = hashlib.sha256()
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        found.update(str(path.relative_to(folder)).encode() + b"\0" + path.read_bytes() + b"\0")
    return found.hexdigest()[:12]


def release(root: Path) -> Path:
    """Swap `root/site` to what stands in `root/build/next`; keep the build before it, remove older ones.

    Returns the folder that is the site now.  Errors: OSError when there is no finished build, when `site` is something
    else than a link, or when the disk refuses; the site is then what it was.
    """
    built, link = root / "build/next", root / "site"
    if not (built / LAST).is_file():
        raise FileNotFoundError(f"{built} holds no finished site; run `make site`")
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
        print(f"site -> {release(ROOT).relative_to(ROOT)}")
    except OSError as error:
        sys.exit(f"the site stays as it was: {error}")


if __name__ == "__main__":
    main()
