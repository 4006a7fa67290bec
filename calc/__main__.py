"""The command line: `python -m calc check` and `python -m calc plan MACHINE BOOM`.

May import: everything of calc.  The only module here that reads the clock.
Exit: 0 done (a refused plan is a result), 1 errors in the data, 2 wrong call.
"""

from __future__ import annotations

import argparse
import datetime
import json
import os
import sys
from pathlib import Path
from typing import Any

from calc import check, contract, tables
from calc.files import Errors

ROOT = Path(__file__).resolve().parent.parent


def today() -> str:
    """The day to compute for: FIRMWRAP_DAY, or today."""
    return os.environ.get("FIRMWRAP_DAY") or datetime.date.today().isoformat()


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m calc", description="Check the data; compute a winding plan.")
    commands = parser.add_subparsers(dest="command", required=True)
    checking = commands.add_parser("check", help="read everything in the data folder and report every error at once")
    planning = commands.add_parser("plan", help="print the plan of one machine and boom length")
    planning.add_argument("machine", help="machine id, for example bittern")
    planning.add_argument("boom", help="boom length as in its address, for example 54m")
    planning.add_argument("--configuration", help="configuration id; the first-listed if left out")
    planning.add_argument("--day", default=today(), type=_day, help="day whose rules count, YYYY-MM-DD (today)")
    planning.add_argument("--json", action="store_true", help="print the whole plan as JSON")
    for command in (checking, planning):
        command.add_argument("--data", type=Path, default=ROOT / "rules", help="data folder (rules)")
    call = parser.parse_args(arguments)
    try:
        data = check.load(call.data)
        if call.command == "check":
            print(check.counts(data))
            return 0
        case = check.case(data, call.machine, call.boom, call.configuration, call.day)
    except Errors as errors:
        print(errors, file=sys.stderr)
        return 1
    except check.Unknown as unknown:
        print(f"python -m calc: {unknown}", file=sys.stderr)
        return 2
    plan = contract.plan(case)
    print(json.dumps(plan, indent=2) if call.json else summary(plan))
    return 0


def _day(text: str) -> str:
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no day; write YYYY-MM-DD") from error


def summary(plan: dict[str, Any]) -> str:
    """The plan in a few lines for a terminal, rounded as on the pages, in both units."""
    falls, load, stops = plan["falls"], plan["load"], plan["stops"]
    lines = [f"{plan['machine']} {plan['boom']} {plan['configuration']} ({plan['status']} data), {plan['day']}"]
    if plan["refused"]:
        lines.append(f"no plan: {plan['refused']['code']}")
    exact = "-" if falls["exact"] is None else f"{falls['exact']:.2f}"
    lines.append(
        f"falls: {falls['used']} (estimate {falls['estimate']}, exact {exact}, limit {falls['reeving_limit']})"
    )
    if load and stops:
        lines.append(f"load with hook block and slings: {_both(tables.mass(load['planned_kg'], 'up'))}")
        lines.append(
            f"start: radius {_both(tables.length(stops['start_radius_m'], 'up'))}, hook not below "
            f"{_both(tables.length(stops['hook_height_m'], 'up'))}, drum at layer {stops['layer_at_start']} "
            f"wrap {tables.wraps(stops['wrap_at_start'], 'near')}"
        )
    for method in filter(None, plan["methods"]):
        if method["refused"]:
            lines.append(f"{method['name']}: refused, {method['refused']['code']}")
            continue
        shares = ", ".join(tables.share(p["firm_share"], "down") for p in method["passes"])
        lines.append(
            f"{method['name']}: {len(method['passes'])} pass(es), firm after each: {shares}; "
            f"{tables.whole_minutes(method['minutes'])} min"
        )
    lines += [f"warning: {warning['code']}" for warning in plan["warnings"]]
    lines.append("The machine's manual, local codes and licensed practice decide.")
    return "\n".join(lines)


def _both(pair: tables.Pair) -> str:
    return f"{pair.metric} ({pair.us})"


if __name__ == "__main__":
    sys.exit(main())
