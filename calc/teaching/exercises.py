"""Exercises for a training room: from the machines of the data, other numbers for every seed, worked step by step.

Every exercise stands in both unit systems.  It is kept only if somebody who does each step with the numbers shown comes
to what this calculation gives, in both: else another boom length, lift or reading is drawn.
"""

from __future__ import annotations

from collections.abc import Callable
from hashlib import sha256

from calc.data.model import Data, Machine
from calc.teaching.exercise import Draw, Exercise, Made, Source
from calc.teaching.topics import capacity_use, count, discard_or_not, due_or_not, falls, load, passes, warning_height

ATTEMPTS = 80  # draws for one exercise before it is left out; the rarest takes one draw in nine
DRAFT = "draft"  # machines of any other status may be drawn


TOPICS: dict[str, Callable[[Source, Machine, Draw], Made]] = {
    "falls": falls.draw_exercise,
    "load": load.draw_exercise,
    "stop": warning_height.draw_exercise,
    "count": count.draw_exercise,
    "passes": passes.draw_exercise,
    "capacity": capacity_use.draw_exercise,
    "due": due_or_not.draw_exercise,
    "discard": discard_or_not.draw_exercise,
}


def exercises(data: Data, seed: int, day: str) -> tuple[Exercise, ...]:
    """One set on a `day`: an exercise of each topic that the `data` can fill, in the order of `TOPICS`, each from
    another machine as far as there are enough; drafts are left out.  The same `seed`, data and day give the same set.

    Errors: look_up.Unknown when no rule is in force on that day.
    """
    machines = [machine for machine in data.machines.values() if machine.status != DRAFT]
    order = sorted(machines, key=lambda machine: sha256(f"{seed}/{machine.id}".encode()).digest())
    source = Source(data, day)
    found = []
    for number, (topic, make) in enumerate(TOPICS.items()):
        for attempt in range(ATTEMPTS if order else 0):
            machine = order[(number + attempt) % len(order)]
            made = next(make(source, machine, Draw(seed, topic, attempt)), None)
            if made is not None:
                found.append(made)
                break
    return tuple(found)
