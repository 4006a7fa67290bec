"""Make a finished build the published site: `python -m hooks.release`, run only after a build that succeeded.

May import: the standard library.  Must not know: MkDocs, pages.

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

ROOT = Path(__file__).resolve().parent.parent


def digest(folder: Path) -> str:
    """Name of a build: 12 hex digits over every file's path and content."""
    found = hashlib.sha256()
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        found.update(str(path.relative_to(folder)).encode() + b"\0" + path.read_bytes() + b"\0")
    return found.hexdigest()[:12]


def release(root: Path) -> Path:
    """Swap `root/site` to what stands in `root/build/next`; keep the build before it, remove older ones.

    Returns the folder that is the site now.  Errors: FileNotFoundError when there is no build.
    """
    built, link = root / "build/next", root / "site"
    if not (built / "index.html").is_file():
        raise FileNotFoundError(f"{built} holds no site; run `make site`")
    before = link.resolve() if link.is_symlink() else None
    target = root / "build" / f"site-{digest(built)}"
    if target.exists():  # the same content was built before
        shutil.rmtree(built)
    else:
        built.rename(target)
    fresh = root / "build/site.link"
    fresh.unlink(missing_ok=True)
    fresh.symlink_to(os.path.relpath(target, root))
    os.replace(fresh, link)
    for old in (root / "build").glob("site-*"):
        if old not in (target, before):
            shutil.rmtree(old)
    return target


if __name__ == "__main__":
    try:
        print(f"site -> {release(ROOT).relative_to(ROOT)}")
    except FileNotFoundError as error:
        sys.exit(str(error))
