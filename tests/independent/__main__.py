"""The long run: `python -m independent [MACHINES] [SEED]`, from the folder tests.  Exit status 1 where numbers differ.

Prints how many machines and numbers were compared, the worst difference of each quantity, every disagreement, and where
the numbers of some plans of the fleet jump.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

from calc.checks import loader
from calc.data import look_up
from calc.winding.plan_fields import Plan
from independent import agreement, jumps, machines, plans
from independent.compared import STEPS, Compared

DAY = "2026-11-30"
AT_ONCE = 200  # machines in one data folder
SWEPT = (("bittern", "54m"), ("heron", "27m"), ("avocet", "120ft"), ("curlew", "87m"), ("dunlin", "29m"))


def random_plans(seed: int, count: int) -> Iterator[Plan]:
    for start in range(0, count, AT_ONCE):
        with tempfile.TemporaryDirectory() as folder:
            numbers = range(start, min(start + AT_ONCE, count))
            made = (machines.documents(seed, number) for number in numbers)
            yield from plans.one_of_each_machine(machines.write_folder(Path(folder), made), DAY, seed + start)


def compared(title: str, made: Iterable[Plan]) -> list[Compared]:
    """Compares plans and prints what came of it; returns what disagrees."""
    worst: dict[str, Compared] = {}
    counts: Counter[str] = Counter()
    wrong: list[Compared] = []
    refused: Counter[str] = Counter()
    begun, number = time.monotonic(), 0
    for plan in made:
        number += 1
        refused.update(method["refused"]["code"] for method in plan["methods"] if method and method["refused"])
        for one in agreement.compare(plan):
            counts[one.quantity] += 1
            if one.quantity not in worst or one.difference > worst[one.quantity].difference:
                worst[one.quantity] = one
            if not one.agrees:
                wrong.append(one)
    print(f"\n{title}: {number} plans, {counts.total()} numbers compared, {len(wrong)} differ,", end=" ")
    print(f"{time.monotonic() - begun:.0f} s; methods refused: {dict(refused.most_common())}")
    print(f"{'quantity':40}{'compared':>10}{'worst difference':>18}  computed here / in the plan")
    for quantity in STEPS:
        if quantity in worst:
            one = worst[quantity]
            beside = f"  {one.expected:.6f} / {one.got:.6f}  {one.where}" if one.difference else ""
            print(f"{quantity:40}{counts[quantity]:>10}{one.difference:>18.2e}{beside}")
    for one in wrong:
        print(f"DIFFERS  {one}")
    return wrong


def print_jumps() -> None:
    print("\nWhere numbers jump while the rope grows from 97 to 103 % of its length")
    data = loader.load(machines.RULES)
    for machine, boom in SWEPT:
        case = look_up.case(data, machine, boom, None, DAY)
        print(f"{machine} {boom}, steps of {case.machine.rope.length * 2 * jumps.SPAN / jumps.STEPS:.2f} m")
        for jump in jumps.sweep(case):
            if not set(jump.changed) & {"falls", "load", "slings", "passes"}:
                continue
            changes = ", ".join(
                f"{name} {jump.before.whole[name]} to {jump.after.whole[name]}"
                for name in jump.changed
                if name in ("falls", "load", "slings", "passes")
            )
            print(f"  {jump.before.rope:8.2f} m  {changes}")
            print("              " + ", ".join(f"{name} {step:+.2f}" for name, step in jump.steps.items()))


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 2026
    wrong = compared("Fleet", plans.of_every_boom(machines.RULES, DAY))
    wrong += compared(f"Random machines, seed {seed}", random_plans(seed, count))
    print_jumps()
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
