"""Logs that crane and rope cannot have lived, word for word, and beside each what just can be.

Limits are worked by hand from the data files; heron and bittern are metric, avocet is in US units.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from conftest import DATA

from calc.checks import logbook
from calc.data import build, files, look_up, model, schema
from calc.data.entries import Done, Entry, PreTensioning, ReReeving, Upkeep, Work

ROPE = {
    "bittern": "new_rope: {length: 560 m, tension: 14 kN}",
    "heron": "new_rope: {length: 290 m, tension: 10 kN}",
    "avocet": "new_rope: {length: 1150 ft, tension: 2250 lbf}",
}


def found(tmp_path: Path, machine: str, *entries: str) -> list[str]:
    """What is wrong with a log that begins with the machine's new rope and goes on with these entries."""
    lines = [f"id: {machine}", "format: 1", "log:"]
    for entry in (ROPE[machine], *entries):
        day, _, done = entry.rpartition(" | ")
        lines += [f'  - day: "{day or "2026-11-02"}"', f"    {done}"]
    path = tmp_path / f"{machine}.yaml"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    document = files.read(path, f"{machine}.yaml")
    assert not document.problems and not schema.problems(document, "upkeep")
    case_for = look_up.cases(DATA, DATA.machines[machine], look_up.NEWEST)
    upkeep = build.upkeep(document.data)
    return [str(problem) for problem in logbook.problems(document, upkeep, DATA.machines[machine], case_for)]


def work(**changed: str) -> str:
    """Light work of bittern with 54 m of boom that can be, but for what is changed."""
    given = {"boom_length": "54 m", "radius": "26 m", "falls": "6", "block": "five-sheave", "load": "1.8 t",
             "hook": "[3 m, 41 m]", "repeats": "32"} | changed  # fmt: skip
    return "work: {" + ", ".join(f"{name}: {value}" for name, value in given.items()) + "}"


def many(**changed: str) -> str:
    """The worst case of many lifts of bittern with 54 m of boom that can be, but for what is changed."""
    return work(**{"radius": "[26 m, 34 m]", "hook": "[3 m, 41 m]"} | changed)


def pass_(**changed: str) -> str:
    """A pass of bittern with 54 m of boom that can be, but for what is changed."""
    given = {"boom_length": "54 m", "falls": "10", "block": "five-sheave", "load": "14.88 t",
             "radius": "[9 m, 38 m]", "drum_before": "[1, 7]", "drum_after": "[2, 36]"} | changed  # fmt: skip
    return "pre_tensioning: {" + ", ".join(f"{name}: {value}" for name, value in given.items()) + "}"


# For every limit: what just can be, what just cannot, and what is said of it.
#
# Heights.  bittern, 54 m boom, r = 26 m: head 1.8 + sqrt(54^2 - 24.8^2) = 49.768 m.  Upper stop: less the five-sheave
# block 2.2 and 2.8 m: 44.768 m.  Lowest hook with 6 falls: 560 - 3*pi*0.646 = 553.912 m of rope above the dead wraps;
# less 53 m to the head and 5*pi*0.3 = 4.712 m round the sheaves: 496.199/6 = 82.7 m, far below the ground.  With 11
# falls: (553.912 - 53 - 10*pi*0.3)/11 = 44.681 m of fall: hook at 49.768 - 2.2 - 44.681 = 2.887 m.
#
# Loads.  The charts list most for 26 m: 33.4 t, for 38 m: 19.3 t, both with the full counterweight.  Line pull with
# two-sheave on 1 fall, r = 9 m: head 1.8 + sqrt(54^2 - 7.8^2) = 55.234 m, fall from the hook at 3 m 50.334 m, rope
# 31.381*50.334 = 1,579.5 N; 135,000*0.98 - 1,579.5 = 130,720 N = 13,329.8 kg, less the block of 1,500 kg: 11,829.8 kg.
#
# Configurations.  The reduced counterweight lists 18.4 t for 26 m (15.6 t and the block of 2.8 t), 9.5 t for 38 m, and
# no boom over 63 m.
#
# Many lifts.  Radius 26 to 34 m, hook 3 to 41 m.  The largest radius: the full counterweight lists 22.8 t for 34 m
# (20 t and the block); head 1.8 + sqrt(54^2 - 32.8^2) = 44.697 m, upper stop at 39.697 m.  The smallest: upper stop at
# 44.768 m; the rope reaches down to 2.887 m with 11 falls, as above.
#
# Line pull.  The pass of 14.88 t on 10 falls: 145,923 N; layer 1, 7 wraps are 14.206 m, the hook at 4.603 m; layer 2
# full 151.415 m, the hook at 4.409 m.  At the drum, sheaves running freely: 14,592.3 - 31.3813*(4.603 + 2.2 - 1.9) =
# 14,438.4 and 14,592.3 - 31.3813*(4.409 + 2.2 - 1.9) = 14,444.5 N: from 7,219.2 to 28,889 N it may be.  Work with 1.8 t
# hauled from 3 to 41 m by the sums of tests/test_history.py: (27,458.6 + 17,652 + 44.5683*31.3813*5.82511)/5.70788/0.98
# - 1,502.2 = 8,018.8 N below, (45,110.6 + 6.5683*31.3813*5.82511)/5.70788/0.98 - 1,502.2 = 6,777.0 N above: from
# 3,388.5 to 16,037.6 N.
#
# Counts.  2 full layers are 72.061 + 79.354 = 151.415 m of rope (36 wraps of pi*0.646, then pi*0.6928 m); with 10 falls
# (560 - 151.415 - 53 - 8.482)/10 = 34.710 m of fall: the hook meets the ground where the head is at 36.910 m, at
# 1.2 + sqrt(54^2 - 35.110^2) = 42.228 m.  The upper stop leaves 560 - 53 - 8.482 - 28 = 470.518 m on the drum: layer 6
# begins at 418.234 m, its wraps are pi*0.88 = 2.765 m: 18.9 wraps.
LIMITS = [
    pytest.param("bittern", work(radius="9 m"), work(radius="8.9 m"),
                 "work.radius: the charts list 9.0 m to 48.0 m for this boom; write a radius between",
                 id="radius under the first row"),
    pytest.param("bittern", work(radius="48 m", hook="[3 m, 20 m]"), work(radius="48.1 m", hook="[3 m, 20 m]"),
                 "work.radius: the charts list 9.0 m to 48.0 m for this boom; write a radius between",
                 id="radius over the last row"),
    pytest.param("bittern", work(hook="[3 m, 44.76 m]"), work(hook="[3 m, 44.78 m]"),
                 "work.hook[2]: is above the upper stop, which at this radius is at 44.7 m; check the hook height",
                 id="hook over the upper stop"),
    pytest.param("bittern", work(falls="11", hook="[41 m, 2.89 m]"), work(falls="11", hook="[41 m, 2.88 m]"),
                 "work.hook[2]: with these falls the rope does not reach so low; check falls and hook height",
                 id="hook under the dead wraps"),
    pytest.param("bittern", work(load="30.6 t"), work(load="30.61 t"),
                 "work.load: with the block is more than the 33.40 t the charts list there; check the load",
                 id="load over the chart"),
    pytest.param("bittern", work(load="30.59 t", radius="25.9 m"), work(load="30.61 t", radius="25.9 m"),
                 "work.load: with the block is more than the 33.40 t the charts list there; check the load",
                 id="load over the next larger radius"),
    pytest.param("bittern", work(radius="9 m", falls="5", block="two-sheave", load="60 t"),
                 work(radius="9 m", falls="5", block="two-sheave", load="60.01 t"),
                 "work.load: is more than the 60.00 t block two-sheave carries; check load and block",
                 id="load over the block"),
    pytest.param("bittern", work(falls="5"), work(falls="4"),
                 "work.falls: block five-sheave takes 5 to 11; write the block that was used",
                 id="falls under the block"),
    pytest.param("bittern", work(falls="11", hook="[4 m, 41 m]"), work(falls="12", hook="[4 m, 41 m]"),
                 "work.falls: block five-sheave takes 5 to 11; write the block that was used",
                 id="falls over the block"),
    pytest.param("bittern", work(), work(block="six-sheave"),
                 "work.block: there is no block 'six-sheave'; known: two-sheave five-sheave eleven-sheave", id="block"),
    pytest.param("bittern", work(), work(boom_length="54.1 m"),
                 "work.boom_length: no chart lists this boom length; listed: 24m 30m 36m 45m 54m 63m 72m 84m",
                 id="boom length"),
    pytest.param("avocet", "work: {boom_length: 140 ft, radius: 70 ft, falls: 6, block: four-sheave, load: 31900 lb, "
                           "hook: [6 ft, 100 ft], repeats: 1}",
                 "work: {boom_length: 140 ft, radius: 70 ft, falls: 6, block: four-sheave, load: 32000 lb, "
                 "hook: [6 ft, 100 ft], repeats: 1}",
                 "work.load: with the block is more than the 34,500 lb the charts list there; check the load",
                 id="load over the chart, US"),
    pytest.param("bittern", work(configuration="reduced-counterweight"), work(configuration="no-counterweight"),
                 "work.configuration: there is no configuration 'no-counterweight'; "
                 "known: reduced-counterweight full-counterweight", id="configuration"),
    pytest.param("bittern", "re_reeving: {boom_length: 72 m, configuration: full-counterweight, falls: 6, "
                            "block: five-sheave}",
                 "re_reeving: {boom_length: 72 m, configuration: reduced-counterweight, falls: 6, block: five-sheave}",
                 "re_reeving.boom_length: no chart of reduced-counterweight lists this boom length; "
                 "listed: 24m 30m 36m 45m 54m 63m", id="boom length of the configuration"),
    pytest.param("bittern", work(load="15.6 t", configuration="reduced-counterweight"),
                 work(load="15.61 t", configuration="reduced-counterweight"),
                 "work.load: with the block is more than the 18.40 t the charts list there; check the load",
                 id="load over the chart of the configuration"),
    pytest.param("bittern", pass_(load="14.88 t", configuration="full-counterweight"),
                 pass_(load="14.88 t", configuration="reduced-counterweight"),
                 "pre_tensioning.load: is more than the 9.50 t the charts list there; check the load",
                 id="load of a pass over the chart of the configuration"),
    pytest.param("bittern", many(radius="[26 m, 48 m]", hook="[3 m, 20 m]", load="0 kg"),
                 many(radius="[26 m, 48.1 m]", hook="[3 m, 20 m]", load="0 kg"),
                 "work.radius[2]: the charts list 9.0 m to 48.0 m for this boom; write a radius between",
                 id="largest radius over the last row"),
    pytest.param("bittern", many(), many(radius="[34 m, 26 m]"),
                 "work.radius[2]: is less than the first; write the smallest radius, then the largest",
                 id="largest radius first"),
    pytest.param("bittern", many(hook="[3 m, 3 m]"), many(hook="[3 m, 2.9 m]"),
                 "work.hook[2]: is lower than the first; with two radii write the lowest hook, then the highest",
                 id="highest hook first"),
    pytest.param("bittern", many(hook="[39.69 m, 44.76 m]"), many(hook="[39.7 m, 44.76 m]"),
                 "work.hook[1]: is above the upper stop, which at 34.0 m is at 39.6 m; check the hook height",
                 id="lowest hook over the upper stop at the largest radius"),
    pytest.param("bittern", many(hook="[3 m, 44.76 m]"), many(hook="[3 m, 44.78 m]"),
                 "work.hook[2]: is above the upper stop, which at 26.0 m is at 44.7 m; check the hook height",
                 id="highest hook over the upper stop at the smallest radius"),
    pytest.param("bittern", many(falls="11", hook="[2.89 m, 41 m]"), many(falls="11", hook="[2.88 m, 41 m]"),
                 "work.hook[1]: with these falls the rope does not reach so low; check falls and hook height",
                 id="lowest hook under the dead wraps at the smallest radius"),
    pytest.param("bittern", many(load="20 t"), many(load="20.01 t"),
                 "work.load: with the block is more than the 22.80 t the charts list there; check the load",
                 id="lightest load over the chart at the largest radius"),
    pytest.param("bittern", pass_(line_pull="28.88 kN"), pass_(line_pull="28.9 kN"),
                 "pre_tensioning.line_pull: is 28.9 kN, more than twice the 14.4 kN that load and falls give at the "
                 "drum; check the reading, load and falls", id="line pull of a pass over twice the computed one"),
    pytest.param("bittern", pass_(line_pull="7.22 kN"), pass_(line_pull="7.21 kN"),
                 "pre_tensioning.line_pull: is 7.2 kN, less than half the 14.4 kN that load and falls give at the "
                 "drum; check the reading, load and falls", id="line pull of a pass under half the computed one"),
    pytest.param("bittern", work(line_pull="16.03 kN"), work(line_pull="16.04 kN"),
                 "work.line_pull: is 16.0 kN, more than twice the 8.0 kN that load and falls give at the drum; "
                 "check the reading, load and falls", id="line pull over twice the computed one"),
    pytest.param("bittern", work(line_pull="3.39 kN"), work(line_pull="3.38 kN"),
                 "work.line_pull: is 3.4 kN, less than half the 6.8 kN that load and falls give at the drum; "
                 "check the reading, load and falls", id="line pull under half the computed one"),
    pytest.param("bittern", work(radius="9 m", falls="1", block="two-sheave", load="11.82 t", line_pull="135 kN"),
                 work(radius="9 m", falls="1", block="two-sheave", load="11.82 t", line_pull="135.1 kN"),
                 "work.line_pull: is 135.1 kN, more than the rated line pull of 135.0 kN; check the reading",
                 id="line pull over the rated one"),
    pytest.param("bittern", work(line_pull="8 kN"), work(load="0 kg", line_pull="8 kN"),
                 "work.line_pull: is measured under a load; leave it out for the empty hook",
                 id="line pull of the empty hook"),
    pytest.param("bittern", pass_(load="2.85 t"), pass_(load="2.8 t"),
                 "pre_tensioning.load: is not more than the block of 2.80 t; write all that hangs, block included",
                 id="load that is only the block"),
    pytest.param("bittern", pass_(radius="[9 m, 37.9 m]"), pass_(radius="[8.9 m, 37.9 m]"),
                 "pre_tensioning.radius[1]: the charts list 9.0 m to 48.0 m for this boom; write a radius between",
                 id="pass from a radius that is not listed"),
    pytest.param("bittern", pass_(load="19.3 t"), pass_(load="19.31 t"),
                 "pre_tensioning.load: is more than the 19.30 t the charts list there; check the load",
                 id="load of a pass over the chart"),
    pytest.param("bittern", pass_(drum_after="[2, 36]"), pass_(drum_after="[2, 37]"),
                 "pre_tensioning.drum_after[2]: is 37; layer 2 holds 36", id="wrap that does not exist"),
    pytest.param("bittern", pass_(), pass_(drum_after="[8, 1]"),
                 "pre_tensioning.drum_after[1]: is 8; the rope makes 7 layers", id="layer that does not exist"),
    pytest.param("bittern", pass_(drum_before="[1, 35]", radius="[30 m, 30 m]", drum_after="[1, 36]"),
                 pass_(drum_before="[1, 35]", radius="[30 m, 30 m]", drum_after="[1, 35]"),
                 "pre_tensioning.drum_after: holds no more rope than before; write the layer and wraps after landing",
                 id="pass that winds nothing"),
    pytest.param("bittern", pass_(drum_before="[1, 3]"), pass_(drum_before="[1, 2]"),
                 "pre_tensioning.drum_before: is below the dead wraps; check the count", id="pass from the dead wraps"),
    pytest.param("bittern", pass_(radius="[9 m, 42.22 m]"), pass_(radius="[9 m, 42.24 m]"),
                 "pre_tensioning.drum_after: with these falls the hook would be below the ground; "
                 "check count, falls and radius", id="count that puts the hook into the ground"),
    pytest.param("bittern", pass_(drum_after="[6, 18]"), pass_(drum_after="[6, 19]"),
                 "pre_tensioning.drum_after: with these falls the hook would be above the upper stop; "
                 "check count, falls and radius", id="count that puts the block into the boom head"),
    pytest.param("bittern", pass_(falls="5", block="two-sheave", load="61.5 t", radius="[9 m, 12 m]",
                                  drum_before="[4, 10]", drum_after="[4, 12]"),
                 pass_(falls="5", block="two-sheave", load="61.51 t", radius="[9 m, 12 m]",
                       drum_before="[4, 10]", drum_after="[4, 12]"),
                 "pre_tensioning.load: is more than the 60.00 t block two-sheave carries; check load and block",
                 id="load of a pass over the block"),
    pytest.param("bittern", work(radius="9 m", falls="1", block="two-sheave", load="11.82 t"),
                 work(radius="9 m", falls="1", block="two-sheave", load="11.83 t"),
                 "work.load: pulls more than the 135.0 kN the winch has on these falls; check load and falls",
                 id="load over the line pull"),
    pytest.param("heron", "pre_tensioning: {boom_length: 61 m, telescoped_to: 13 m, falls: 4, block: three-sheave, "
                          "load: 3.98 t, radius: [19.1 m, 8 m], drum_before: [1, 6], drum_after: [6, 22]}",
                 "pre_tensioning: {boom_length: 13 m, telescoped_to: 61 m, falls: 4, block: three-sheave, "
                 "load: 3.98 t, radius: [8 m, 19.1 m], drum_before: [6, 22], drum_after: [1, 6]}",
                 "pre_tensioning.telescoped_to: is longer than the boom was; a boom is telescoped in",
                 id="boom that grew under load"),
    pytest.param("bittern", "new_rope: {length: 622 m, tension: 14 kN}", "new_rope: {length: 623 m, tension: 14 kN}",
                 "new_rope.length: makes 8 layers, more than fit under the flange; check the length",
                 id="rope that stands over the flange"),
    pytest.param("bittern", "unwinding: {length: 560 m}", "unwinding: {length: 560.1 m}",
                 "unwinding.length: is more than the 560 m that were on the drum; check the length",
                 id="unwinding more than there is"),
    pytest.param("bittern", "shortening: {length: 559.9 m, end: hook}", "shortening: {length: 560 m, end: hook}",
                 "shortening.length: is no less than the rope of 560 m; check the length", id="shortening to nothing"),
    pytest.param("bittern", "jump: {layer: 7}", "jump: {layer: 8}",
                 "jump.layer: is 8; the rope makes 7 layers", id="layer that cannot jump"),
]  # fmt: skip


@pytest.mark.parametrize(("machine", "can", "cannot", "said"), LIMITS)
def test_both_sides_of_a_limit(tmp_path: Path, machine: str, can: str, cannot: str, said: str) -> None:
    assert found(tmp_path, machine, can) == []
    assert found(tmp_path, machine, cannot) == [f"{machine}.yaml:7: log[2].{said}"]


def test_a_rope_too_short_for_its_falls(tmp_path: Path) -> None:
    """bittern, 10 falls, 54 m of boom: 53 m to the head, 9*pi*0.3 = 8.482 m round the sheaves, 10*2.8 m of falls at the
    upper stop, 5 stop wraps of pi*0.646 m: 99.63 m."""
    reeving = "re_reeving: {boom_length: 54 m, falls: 10, block: five-sheave}"
    assert found(tmp_path, "bittern", "new_rope: {length: 100 m, tension: 14 kN}", reeving) == []
    said = found(tmp_path, "bittern", "new_rope: {length: 99 m, tension: 14 kN}", reeving)
    wanted = "with these falls the rope of 99 m does not reach; check falls and boom"
    assert said == [f"bittern.yaml:9: log[3].re_reeving.falls: {wanted}"]


def on_another(machine: model.Machine, done: Done) -> list[str]:
    """What is wrong with one entry on bittern's rope, with a machine changed from bittern."""
    case_for = look_up.cases(DATA, DATA.machines["bittern"], look_up.NEWEST)
    kind = "re_reeving" if isinstance(done, ReReeving) else "entry"
    document = files.Document("log", {"log": [{"day": "2026-11-02", kind: {"drum_after": [1, 1]}}]})
    upkeep = Upkeep("bittern", (Entry("2026-11-02", done, ""),))
    new = DATA.upkeep["bittern"].log[:1]

    def changed(boom_length: float, configuration: str | None = None, /) -> model.Case:
        return replace(case_for(boom_length, configuration), machine=machine)

    told = logbook.problems(document, upkeep, machine, changed, new)
    return [problem.where.partition(".")[2] + ": " + problem.text for problem in told]


def test_falls_the_boom_head_does_not_take() -> None:
    machine = DATA.machines["bittern"]
    narrow = replace(machine, reeving=replace(machine.reeving, most_falls=9))
    for falls, wanted in ((9, []), (10, ["re_reeving.falls: is 10, the boom head takes 9; check the falls"])):
        assert on_another(narrow, ReReeving(54.0, falls, "five-sheave")) == wanted


def test_even_layers_may_hold_one_wrap_less() -> None:
    machine = DATA.machines["bittern"]
    narrow = replace(machine, drum=replace(machine.drum, wraps_even_layers=35))
    for wraps, wanted in ((35, []), (36, ["entry.drum_after[2]: is 36; layer 2 holds 35"])):
        done = PreTensioning((54.0, 54.0), 10, "five-sheave", 14_880.0, (9.0, 38.0), (1, 7), (2, wraps))
        assert on_another(narrow, done) == wanted


def test_the_line_pull_of_the_highest_hook_counts() -> None:
    """Rated on layer 1 the winch pulls least where the load ends.  5 falls of two-sheave, from 3 to 40 m at r = 9 m:
    layer 4 to layer 6, 560 - 53 - 1.2*pi - 5*13.334 = 436.6 m: 135,000*0.646/0.88 = 99,102 N.  Fall at 3 m 50.334 m:
    99,102*0.98*4.80396 - 31.381*50.334*4.88277 = 458,848 N = 46,789.5 kg, less the block of 1,500 kg: 45,289.5 kg."""
    machine = DATA.machines["bittern"]
    low = replace(machine, winch=replace(machine.winch, rated_layer=1))
    for load, wanted in (
        (45_289.0, []),
        (45_290.0, ["entry.load: pulls more than the 99.1 kN the winch has on these falls; check load and falls"]),
    ):
        assert on_another(low, Work(54.0, 9.0, 5, "two-sheave", load, (3.0, 40.0), 1)) == wanted


def test_days_may_repeat_and_never_go_back(tmp_path: Path) -> None:
    assert found(tmp_path, "bittern", f"2026-11-02 | {work()}", f"2026-11-02 | {work()}") == []
    said = found(tmp_path, "bittern", f"2026-11-03 | {work()}", f"2026-11-02 | {work()}")
    assert said == ["bittern.yaml:8: log[3].day: 2026-11-02 is before 2026-11-03 above it; list oldest first"]


def test_a_line_pull_is_a_force_above_zero(tmp_path: Path) -> None:
    for written, wanted in (
        ("-5 kN", "'-5 kN' is not a quantity; write a plain number like 24.5, a space and one of: N kN lbf kg t lb"),
        ("0 kN", "'0 kN' is out of range; write a value above 0 N"),
    ):
        path = tmp_path / "bittern.yaml"
        path.write_text(f'id: bittern\nformat: 1\nlog:\n  - day: "2026-11-02"\n    {work(line_pull=written)}\n')
        document = files.read(path, "bittern.yaml")
        said = [str(problem) for problem in schema.problems(document, "upkeep")]
        assert said == [f"bittern.yaml:5: log[1].work.line_pull: {wanted}"]


def test_a_radius_or_a_pair_of_them(tmp_path: Path) -> None:
    for written, wanted in (
        ("[26 m]", "radius: has 1 entry; it needs at least 2: Radius; for the worst case of many lifts the smallest "
                   "and the largest"),
        ("[26 m, 30 m, 34 m]", "radius: has 3 entries; write exactly 2: Radius; for the worst case of many lifts the "
                               "smallest and the largest"),
        ("[26 m, 34]", "radius[2]: '34' has no unit; write a number, a space and one of: m mm ft in"),
        ("{least: 26 m}", "radius: a block of lines does not belong here; "
                          "write a number, a space and one of: m mm ft in"),
    ):  # fmt: skip
        path = tmp_path / "bittern.yaml"
        path.write_text(f'id: bittern\nformat: 1\nlog:\n  - day: "2026-11-02"\n    {work(radius=written)}\n')
        document = files.read(path, "bittern.yaml")
        said = [str(problem) for problem in schema.problems(document, "upkeep")]
        assert said == [f"bittern.yaml:5: log[1].work.{wanted}"]


def spanning(until: str, day: str) -> str:
    """Work from a day until another."""
    return f'{day} | until: "{until}"\n    {work()}'


def test_work_ends_when_the_next_entry_begins(tmp_path: Path) -> None:
    assert found(tmp_path, "bittern", spanning("2026-11-06", "2026-11-03"), f"2026-11-06 | {work()}") == []
    assert found(tmp_path, "bittern", spanning("2026-11-03", "2026-11-03")) == []
    assert found(tmp_path, "bittern", spanning("2026-11-06", "2026-11-03"), f"2026-11-05 | {work()}") == [
        "bittern.yaml:9: log[3].day: 2026-11-05 is before 2026-11-06, when the work above it ended; "
        "end that work by this day"
    ]
    assert found(tmp_path, "bittern", spanning("2026-11-06", "2026-11-03"), f"2026-11-02 | {work()}") == [
        "bittern.yaml:9: log[3].day: 2026-11-02 is before 2026-11-03 above it; list oldest first"
    ]
    assert found(tmp_path, "bittern", spanning("2026-11-02", "2026-11-03")) == [
        "bittern.yaml:7: log[2].until: 2026-11-02 is before 2026-11-03, the first day; write the last day of the work"
    ]


def test_only_work_goes_on_for_days(tmp_path: Path) -> None:
    entry = '2026-11-03 | until: "2026-11-04"\n    jump: {layer: 3}'
    assert found(tmp_path, "bittern", entry) == [
        "bittern.yaml:7: log[2].until: only work goes on for more than one day; leave it out"
    ]


def test_the_rope_of_the_day_counts(tmp_path: Path) -> None:
    """Cut off, fitted anew: what the rope reaches and how many layers it makes goes by the log, not by the data."""
    cut, seventh = "shortening: {length: 250 m, end: hook}", "jump: {layer: 7}"
    assert found(tmp_path, "bittern", seventh) == []
    assert found(tmp_path, "bittern", cut, seventh) == [
        "bittern.yaml:9: log[3].jump.layer: is 7; the rope makes 4 layers"
    ]
    assert found(tmp_path, "bittern", cut, "new_rope: {length: 560 m, tension: 14 kN}", seventh) == []


def test_unwinding_is_held_against_what_was_on_the_drum(tmp_path: Path) -> None:
    """bittern, 8 falls, 54 m of boom lowered: 560 - 53 - 7*pi*0.3 - 8*2.8 = 478.003 m are on the drum."""
    reeving = "re_reeving: {boom_length: 54 m, falls: 8, block: five-sheave}"
    assert found(tmp_path, "bittern", reeving, "unwinding: {length: 478 m}") == []
    assert found(tmp_path, "bittern", reeving, "unwinding: {length: 478.01 m}") == [
        "bittern.yaml:9: log[3].unwinding.length: is more than the 478 m that were on the drum; check the length"
    ]


def test_nothing_is_asked_of_a_rope_that_is_no_more(tmp_path: Path) -> None:
    for cut in ("560 m", "600 m"):
        assert len(found(tmp_path, "bittern", f"shortening: {{length: {cut}, end: hook}}", work())) == 1


def test_everything_at_once_and_nothing_twice(tmp_path: Path) -> None:
    """A wrong entry does not hide the next; what cannot be carried out is not held against what follows."""
    wrong = work(radius="60 m"), work(hook="[50 m, 60 m]"), "unwinding: {length: 559 m}", work(load="99 t")
    assert [line.partition("; ")[0].partition(": ")[2] for line in found(tmp_path, "bittern", *wrong)] == [
        "log[2].work.radius: the charts list 9.0 m to 48.0 m for this boom",
        "log[3].work.hook[1]: is above the upper stop, which at this radius is at 44.7 m",
        "log[3].work.hook[2]: is above the upper stop, which at this radius is at 44.7 m",
        "log[5].work.load: with the block is more than the 33.40 t the charts list there",
    ]
