"""Work on several cranes at once: how many processes, and what runs in them."""

from __future__ import annotations

import os
import threading
from collections.abc import Mapping
from concurrent.futures import Executor, ProcessPoolExecutor
from multiprocessing import get_context, parent_process

NAME = "FIRMWRAP_JOBS"


def jobs(environment: Mapping[str, str]) -> int:
    """How many processes a build may use: FIRMWRAP_JOBS of the `environment`, else as many as there are cores for it.

    Errors: ValueError, saying what to write.

    >>> jobs({"FIRMWRAP_JOBS": "2"})
    2
    >>> jobs({"FIRMWRAP_JOBS": "all"})
    Traceback (most recent call last):
    ValueError: FIRMWRAP_JOBS: 'all' is no number of processes; write 1 or more
    """
    text = environment.get(NAME)
    if not text:
        return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    if not (text.isascii() and text.isdigit() and int(text) > 0):
        raise ValueError(f"{NAME}: {text!r} is no number of processes; write 1 or more")
    return int(text)


def pool(count: int) -> Executor:
    """So many processes that import the code anew: a copy of this one could hold a lock of a thread it does not have,
    and while serving there are threads."""
    return ProcessPoolExecutor(count, get_context("spawn"), _end_with_parent)


def _end_with_parent() -> None:
    """A build that is killed leaves nobody at work for it."""
    parent = parent_process()
    assert parent, "runs in a process of a pool"

    def wait() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=wait, daemon=True).start()
