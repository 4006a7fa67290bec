"""What a build leaves for the next one: results on disk, found again by what they were made from.

The key of a result is the digest of everything it was made from, so an entry is right or it is not found.  An entry
that is damaged, cut off or under a wrong name does not match its own digest: it is made anew.  What cannot be written
stays in memory.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import os
import pickle
import sys
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

SUFFIX = ".kept"
HELD = 12  # results that stay in memory beside the disk: a few cranes, whatever the size of the fleet
_DIGEST = hashlib.sha256().digest_size


class Store:
    """Results in a folder, or in memory only when there is none."""

    def __init__(self, folder: Path | None) -> None:
        self._folder = folder
        self._held: dict[str, Any] = {}  # last used last
        self._not_written: set[str] = set()

    def get(self, key: str, part: str, make: Callable[[], Mapping[str, Any]]) -> Any:
        """One part of the result with this key; `make` gives all its parts when this one is not there."""
        name = f"{key}-{part}{SUFFIX}"
        if not self.has(key, part):
            for other, value in make().items():
                self.put(key, other, value)
        return self._hold(name, self._held[name])

    def has(self, key: str, part: str) -> bool:
        """Whether this part is there, in memory or whole on the disk."""
        name = f"{key}-{part}{SUFFIX}"
        return name in self._held or self._read(name)

    def put(self, key: str, part: str, value: Any) -> None:
        """Put one part of a result on the disk, whole or not at all, and hold it."""
        name = f"{key}-{part}{SUFFIX}"
        try:
            if self._folder is None:
                raise FileNotFoundError
            self._folder.mkdir(parents=True, exist_ok=True)
            content = pickle.dumps(value)
            fresh = self._folder / f"{name}.{os.getpid()}"
            fresh.write_bytes(_sealed(name, content) + content)
            os.replace(fresh, self._folder / name)
        except OSError:
            self._not_written.add(name)
        self._hold(name, value)

    def keep_only(self, keys: Iterable[str]) -> None:
        """Remove the results of earlier builds that are under none of these keys."""
        known = set(keys)
        for path in self._folder.glob(f"*{SUFFIX}") if self._folder else ():
            if path.name.partition("-")[0] not in known:
                path.unlink(missing_ok=True)

    def _read(self, name: str) -> bool:
        """Take a result from the disk, if it is there and whole."""
        if self._folder is None:
            return False
        try:
            found = (self._folder / name).read_bytes()
        except OSError:
            return False
        if found[:_DIGEST] != _sealed(name, found[_DIGEST:]):
            return False
        self._hold(name, pickle.loads(found[_DIGEST:]))
        return True

    def _hold(self, name: str, value: Any) -> Any:
        self._held.pop(name, None)
        self._held[name] = value
        free = [old for old in self._held if old not in self._not_written and old != name]
        for old in free[: len(free) - HELD + 1]:
            del self._held[old]
        return value


def _sealed(name: str, content: bytes) -> bytes:
    """What stands before a result on the disk."""
    return hashlib.sha256(name.encode() + b"\0" + content).digest()


def digest(parts: Iterable[str]) -> str:
    """One digest of texts in their order.

    >>> digest(["ab", "c"]) == digest(["a", "bc"])
    False
    """
    found = hashlib.sha256()
    for part in parts:
        found.update(hashlib.sha256(part.encode()).digest())
    return found.hexdigest()


def files(*places: Path) -> dict[Path, str]:
    """The digest of every file at or under these places, also behind links to folders."""
    found = {}
    for place in places:
        below = (Path(at, name) for at, _, names in os.walk(place, followlinks=True) for name in names)
        for path in sorted(below) if place.is_dir() else (place,):
            if path.is_file() and "__pycache__" not in path.parts:
                found[path] = hashlib.sha256(path.read_bytes()).hexdigest()
    return found


@cache
def installed() -> tuple[str, ...]:
    """Python and every installed package with its version: what else a result may depend on."""
    packages = {f"{found.name} {found.version}" for found in importlib.metadata.distributions()}
    return (sys.version, *sorted(packages))
