"""Writing into a data folder: one command at a time, a file whole or not at all, also when the power goes.

The new text goes into `<file>.new` beside the file and reaches the disk before it takes the file's place; then the
folder reaches the disk.  What a power cut leaves is the old file or the new one, and at most a `.new` that nothing
reads.  The file keeps its mode, and a link to it stays a link.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from calc.data import folders
from calc.data.files import NEW, Errors, Problem

LOCK = ".lock"  # in the data folder; it stays there, and what it says is who holds it, not that it is there
WAIT = 60.0  # s: to add a record takes two


@contextmanager
def turn(folder: Path) -> Iterator[None]:
    """The one place in which a command may read a data `folder` and write into it.  The system frees it when its
    process ends, however that ends.

    Errors: files.Errors where another command does not end or the folder takes no file.
    """
    name = folders.shown(folder / LOCK)
    lock = FileLock(folder / LOCK)
    try:
        lock.acquire(timeout=WAIT)
    except Timeout:
        text = f"another command has been writing here for {WAIT:.0f} s; end it, then try again"
        raise Errors([Problem(name, 1, "", text)]) from None
    except OSError as error:
        raise Errors([Problem(name, 1, "", not_written(error))]) from None
    try:
        yield
    finally:
        lock.release()


def not_written(error: OSError) -> str:
    """What is wrong when a file cannot be written.

    >>> not_written(OSError(28, "No space left on device"))
    'cannot be written: No space left on device; nothing was changed, make room or take another folder'
    """
    return f"cannot be written: {error.strerror}; nothing was changed, make room or take another folder"


def replace(path: Path, text: str, sound: Callable[[Path], bool]) -> bool:
    """Put a `text` in the place of the file at `path`, if the new file is `sound`; whether it was.  In `turn` only.

    Errors: OSError when the disk refuses; the file is then what it was.
    """
    real = path.resolve(strict=True)
    with _beside(real, text, stat.S_IMODE(real.stat().st_mode)) as fresh:
        if not sound(fresh):
            return False
        os.replace(fresh, real)
        _to_disk(real.parent)
    return True


def whole(path: Path, text: str) -> None:
    """Write a file at `path`, whole or not at all, in the place of one that may be there.

    Errors: OSError when the disk refuses; what was there is then as it was.
    """
    with _beside(path, text) as fresh:
        os.replace(fresh, path)
        _to_disk(path.parent)


def new(path: Path, text: str) -> None:
    """Write a file at `path`, whole or not at all, where there is none.

    Errors: FileExistsError where there is one, OSError when the disk refuses; there is then what was before.
    """
    with _beside(path, text) as fresh:
        os.link(fresh, path)
        _to_disk(path.parent)


@contextmanager
def _beside(path: Path, text: str, mode: int | None = None) -> Iterator[Path]:
    """A file with this `text` beside the one at `path`, on the disk already; what is left of it is removed."""
    fresh = path.with_name(f"{path.name}{NEW}")
    fresh.unlink(missing_ok=True)  # what was left when writing was cut short
    try:
        with fresh.open("xb") as file:
            if mode is not None:
                os.fchmod(file.fileno(), mode)
            file.write(text.encode())
            file.flush()
            os.fsync(file.fileno())
        yield fresh
    finally:
        fresh.unlink(missing_ok=True)


def _to_disk(folder: Path) -> None:
    """What was written and renamed in a `folder` reaches the disk."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
