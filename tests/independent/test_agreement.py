"""Plans of the fleet and of some random machines against their second computation: of the fleet every third and those
that `make mutants` takes.  `make long` takes every plan, and 2,000 machines."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Mapping
from typing import Any

import pytest

from independent import agreement, machines, plans
from independent.compared import STEPS, Compared

SEED, MACHINES = 1, int(os.environ.get("FIRMWRAP_MACHINES", "40"))
DAY = "2026-11-30"
FLEET = {
    plans.named(case): case
    for at, case in enumerate(plans.cases(machines.RULES, DAY))
    if MACHINES >= 200 or at % 3 == 0 or plans.named(case) in plans.OF_MUTANTS
}


def disagreements(compared: list[Compared]) -> str:
    found = [str(one) for one in compared if not one.agrees]
    return "\n".join([f"{len(found)} numbers differ", *found[:30]]) if found else ""


def compare(made: list[Mapping[str, Any]]) -> list[Compared]:
    return [one for plan in made for one in agreement.compare(plan)]


@pytest.fixture(scope="module")
def random_plans(tmp_path_factory: pytest.TempPathFactory) -> list[Mapping[str, Any]]:
    made = (machines.documents(SEED, number) for number in range(MACHINES))
    folder = machines.write_folder(tmp_path_factory.mktemp("random"), made)
    return list(plans.one_of_each_machine(folder, DAY, SEED))


@pytest.fixture(scope="module")
def compared(random_plans: list[Mapping[str, Any]]) -> list[Compared]:
    return compare(random_plans)


@pytest.mark.parametrize("name", FLEET)
def test_fleet(name: str) -> None:
    assert not disagreements(compare([plans.of_case(FLEET[name])]))


def test_random_machines(random_plans: list[Mapping[str, Any]], compared: list[Compared]) -> None:
    assert len(random_plans) == MACHINES and not disagreements(compared)


def test_the_random_machines_are_of_all_kinds(random_plans: list[Mapping[str, Any]], compared: list[Compared]) -> None:
    """Else agreement would say little: every quantity compared, both kinds of boom, all drums, passes, refusals."""
    quantities = {one.quantity for one in compared}
    # what only few machines in a thousand show is compared in the long run
    rare = {"refused though it goes"}
    assert set(STEPS) - rare <= quantities or (MACHINES < 200 and len(set(STEPS) - rare - quantities) <= 3)
    kinds = Counter(plan["kind"] for plan in random_plans)
    drums = Counter(plan["inputs"]["drum_surface"] for plan in random_plans)
    units = Counter(plan["boom"].lstrip("0123456789-") for plan in random_plans)
    passes = Counter(len(m["passes"]) for plan in random_plans for m in plan["methods"] if m)
    refusals = Counter(m["refused"]["code"] for plan in random_plans for m in plan["methods"] if m and m["refused"])
    assert min(kinds.values()) > 0.3 * MACHINES and set(kinds) == {"telescopic", "lattice"}
    assert min(drums.values()) > 0.05 * MACHINES and len(drums) == 3
    assert min(units.values()) > 0.25 * MACHINES and set(units) == {"m", "ft"}
    assert passes[1] > 0.25 * MACHINES and passes[2] > 0.15 * MACHINES and passes[3] > 0.02 * MACHINES
    assert len(refusals) >= 3


def test_a_wrong_number_would_show() -> None:
    """A little rope, tension, radius or capacity amiss, a wrap or a count more, and the two no longer agree."""
    plan = plans.of_case(FLEET["bittern-54m-full-counterweight"])
    last = plan["methods"][0]["passes"][-1]
    last["moves"][-1]["rope_on_drum_m"][1] += 1
    last["moves"][-2]["drum_tension_share"][0] *= 1.03
    last["moves"][-2]["radius_m"][1] -= 2
    last["firm_to"]["wrap"] += 1
    last["slings_hung"]["radius_m"] += 0.5
    plan["load"]["hanging_height_m"] += 0.1
    plan["stops"]["count_table"][3]["rope_length_m"] -= 1
    plan["limited_room"][1]["rope_wound_m"] += 0.5
    wrong = {one.quantity for one in agreement.compare(plan) if not one.agrees}
    assert {
        "rope on drum [m]",
        "drum tension [of rated pull]",
        "end of luffing out [m]",
        "firm up to, wraps",
        "slings hung at radius [m]",
        "hanging height of the slings [m]",
        "rope length by the count [m]",
        "limited room, rope wound [m]",
    } <= wrong
