"""A dated archive of the published site with the record of its numbers, after `make site`:
`python -m hooks.building.archive`.

The archive holds the site as phones saw it and every number of it as a line of text, so that a plan printed years ago
can be held against what was published then.  The same site makes the same archive, byte for byte.
"""

from __future__ import annotations

import datetime
import gzip
import io
import json
import os
import sys
import tarfile
from pathlib import Path

from calc import ROOT
from calc.changes import record
from calc.checks import loader
from calc.data import folders
from calc.data.files import Errors
from calc.data.model import Data
from hooks.building.release import digest, turn
from hooks.building.seal import LAST


def archive(root: Path, data: Data) -> Path:
    """Write the archive of `root/site`, made from the `data`, into `root/build/archive`; returns its path.

    Errors: FileNotFoundError without a site.
    """
    site = root / "site"
    if not (site / LAST).is_file():
        raise FileNotFoundError(f"{site} holds no finished site; run `make site`")
    day = json.loads((site / LAST).read_text(encoding="utf-8"))["day"]
    name = f"firmwrap-{day}-{digest(site.resolve())}"
    content = {
        f"site/{path.relative_to(site).as_posix()}": path.read_bytes() for path in site.rglob("*") if path.is_file()
    }
    content["record.txt"] = record.text(record.record(data, day)).encode()
    target = root / "build/archive" / f"{name}.tar.gz"
    target.parent.mkdir(parents=True, exist_ok=True)
    part = target.with_suffix(".part")
    part.write_bytes(gzip.compress(_packed(name, content, day), mtime=0))
    os.replace(part, target)  # whole, or not there
    return target


def _packed(name: str, content: dict[str, bytes], day: str) -> bytes:
    """A tar file with the day as the time of every file, in the order of their names, belonging to nobody."""
    midnight = datetime.datetime.fromisoformat(day).replace(tzinfo=datetime.UTC)
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w", format=tarfile.PAX_FORMAT) as tar:
        for path, data in sorted(content.items()):
            entry = tarfile.TarInfo(f"{name}/{path}")
            entry.size, entry.mtime, entry.mode = len(data), int(midnight.timestamp()), 0o644
            tar.addfile(entry, io.BytesIO(data))
    return out.getvalue()


if __name__ == "__main__":
    try:
        folder = folders.chosen(os.environ)
        data = loader.load(folder, os.environ.get("FIRMWRAP_PROFILE") or None)
        with turn(ROOT):
            made = archive(ROOT, data)
        print(f"{made.relative_to(ROOT)}: {made.stat().st_size / 1e6:.1f} MB")
    except (OSError, Errors) as error:
        sys.exit(str(error))
