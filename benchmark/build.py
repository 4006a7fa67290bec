"""One build in a process of its own: `python -m benchmark.build MKDOCS_YML SITE_DIR`, then one line of JSON.

seconds of the processor in all and in the calculation alone, and the most memory the process held.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent


@dataclass(frozen=True)
class Built:
    """Seconds of the processor in all and for the calculation alone; megabytes held at most."""

    seconds: float
    calculation: float
    megabytes: float

    @property
    def site(self) -> float:
        """Seconds for everything but the calculation."""
        return self.seconds - self.calculation


def build(settings: Path, target: Path, **environment: str) -> Built:
    """Build a site in a new process.  Errors: RuntimeError with what the build says."""
    call = [sys.executable, "-m", "benchmark.build", str(settings), str(target)]
    given = os.environ | {"NO_MKDOCS_2_WARNING": "1", "FIRMWRAP_DAY": "2026-12-01"} | environment
    done = subprocess.run(call, cwd=ROOT, env=given, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(done.stdout + done.stderr)
    return Built(**json.loads(done.stdout.splitlines()[-1]))


class _Clock:
    """Counts the time of the calculation: reading the data, all that is computed of a crane, for later days and for
    small errors as well, exercises and outside cases; but no rounding."""

    seconds = 0.0

    def __init__(self) -> None:
        self._inside = False

    def on(self, module: Any, name: str) -> None:
        function = getattr(module, name)

        def timed(*given: Any, **named: Any) -> Any:
            if self._inside:
                return function(*given, **named)
            self._inside, before = True, time.process_time()
            try:
                found = function(*given, **named)
                return list(found) if isinstance(found, Iterator) else found
            finally:
                self._inside, self.seconds = False, self.seconds + time.process_time() - before

        setattr(module, name, timed)


def _watch(render: Callable[[], Any], clock: _Clock) -> Callable[[], Any]:
    """MkDocs' hook imports the project anew at every build; the clock is put in after that."""

    def watched() -> Any:
        found = render()
        from calc.changes import ahead
        from calc.teaching import outside
        from hooks import computed, fleet
        from hooks.guidance import training

        clock.on(found.loader, "load")
        clock.on(fleet, "compute")
        clock.on(ahead, "moves")
        clock.on(computed, "sensitivity")
        clock.on(training, "exercises")
        clock.on(outside, "results")
        return found

    return watched


def main(settings: str, target: str) -> None:
    from mkdocs.commands.build import build as mkdocs_build
    from mkdocs.config import load_config

    clock = _Clock()
    config = load_config(settings, site_dir=target)
    hooks: Any = config.hooks  # by name, whatever its type says
    for hook in dict(hooks).values():
        if hasattr(hook, "_fresh"):
            hook._fresh = _watch(hook._fresh, clock)
    config.plugins.on_startup(command="build", dirty=False)
    mkdocs_build(config)
    used = resource.getrusage(resource.RUSAGE_SELF)
    seconds = used.ru_utime + used.ru_stime
    print(json.dumps({"seconds": seconds, "calculation": clock.seconds, "megabytes": used.ru_maxrss / 1000}))


if __name__ == "__main__":
    main(*sys.argv[1:])
