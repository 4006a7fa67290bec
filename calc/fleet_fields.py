"""The fleet at a glance as its reader sees it: every field, declared once.

From here mypy knows the keys and `hooks.building.schemas` writes rules/schema/fleet.schema.json.
"""

from typing import Annotated, Literal, TypedDict

from calc import fields
from calc.drum_log.drum_fields import DeepestWrap, FirmRope
from calc.winding.plan_fields import Help

# What needs doing, the most urgent first.
ToDo = Literal[
    "rope-limit",
    "pre-tension",
    "no-log",
    "not-ready",
    "inspection-overdue",
    "review-overdue",
    "findings-open",
    "nothing",
]


class PlanInShort(TypedDict):
    """The plan that mends the drum, in short."""

    boom: fields.BoomInTheAddress
    configuration: fields.ConfigurationId
    falls: fields.FallCount
    method: fields.MethodTaken
    passes: fields.PassCount
    minutes: fields.TimeOfPasses


class NextInspection(TypedDict):
    """When an inspection is due."""

    kind: fields.InspectionInShort
    next: Annotated[str, "day the next one is due, year-month-day"]
    overdue: Annotated[bool, "whether that day is past"]


class Review(TypedDict):
    """When the data is to be reviewed."""

    due: Annotated[str, "day it is due, year-month-day"]
    overdue: Annotated[bool, "whether that day is past"]


class WeakestPlan(TypedDict):
    """The plan with the least firm rope."""

    boom: fields.BoomInTheAddress
    configuration: fields.ConfigurationId
    firm_share: Annotated[
        fields.Share | None, "share of the rope that is firm after its best method; null where all are refused [-]"
    ]
    help: Annotated[Help | None, "what would help it most quickly, as in the plan; null where nothing was found"]


class CraneFound(TypedDict):
    """One crane at a glance."""

    machine: Annotated[str, "id of the crane"]
    name: Annotated[str, "its name"]
    status: fields.MachineStatus
    boom: Annotated[str | None, "boom length rigged by the log, as in the address; null without a log"]
    configuration: Annotated[str | None, "id of the configuration rigged by the log; null without a log"]
    falls: fields.FallsReeved
    ready: Annotated[bool | None, "whether it is ready for a heavy lift as rigged; null without a log, or not reeved"]
    loose_m: Annotated[
        fields.NotNegative | None,
        "loose rope in and beneath the bed of that lift; null without a log or before the rope was reeved [m]",
    ]
    firm: FirmRope
    depth: DeepestWrap
    pre_tensioning_due: Annotated[
        bool | None, "whether pre-tensioning is due before the next heavy lift as rigged; null without a log"
    ]
    plan: Annotated[PlanInShort | None, "the quickest plan that mends it; null where there is none"]
    last_entry: Annotated[str | None, "day of the last entry of the log, year-month-day; null without one"]
    rope: Annotated[fields.RopeOutcome, f"what the readings come to under the rulebook of the crane: {fields.OUTCOMES}"]
    inspections: Annotated[list[NextInspection], "next inspections of the rope; empty without a log"]
    review: Annotated[
        Review | None, "next review of the data by the one who approved them; null where they are not approved"
    ]
    open_findings: Annotated[fields.Count, "findings in the data that no engineer has answered [-]"]
    weakest_plan: Annotated[
        WeakestPlan | None, "the plan that makes least of the rope firm, or that is refused; null without a plan"
    ]


class Crane(CraneFound):
    """One crane at a glance, and what needs doing on it."""

    to_do: Annotated[
        list[ToDo], "what needs doing, the most urgent first; nothing alone where nothing does", fields.Is(minItems=1)
    ]


class Fleet(TypedDict):
    """The fleet at a glance, what needs doing first."""

    schema: fields.FormatVersion
    day: Annotated[str, "day that counts, year-month-day"]
    cranes: Annotated[list[Crane], "the cranes, what needs doing first, first"]
