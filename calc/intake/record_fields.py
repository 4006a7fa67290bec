"""The record of one run sheet as a phone exports it: every field, declared once."""

from typing import Annotated, Any, Literal, NotRequired, TypedDict

from calc.data.declared import Count, CountOrZero, Day, Id
from calc.fields import Is, MethodName, Status

Said = Annotated[str, "Text"]
OnDrum = Annotated[CountOrZero, "Layer; wraps"]


class OfPlan(TypedDict):
    """The plan the sheet was made from."""

    address: NotRequired[Annotated[str, "Address of its page on the site"]]
    machine: Annotated[Id, "Id of the machine"]
    name: NotRequired[Annotated[str, "Name of the machine"]]
    boom: Annotated[Id, "Boom length as in the address"]
    boom_name: NotRequired[Annotated[str, "Boom length in both unit systems"]]
    configuration: Annotated[Id, "Id of the configuration"]
    configuration_name: NotRequired[Annotated[str, "Name of the configuration"]]
    status: NotRequired[Annotated[Status, "Status of the machine data"]]
    revision: Annotated[Day, "Revision of the machine data"]
    rules: Annotated[Day, "Day whose rules count"]
    rope: NotRequired[Annotated[str, "Rope length the sheet counts, in both unit systems"]]
    build: NotRequired[Annotated[str, "Build of the site"]]


class OfMethod(TypedDict):
    """Its method."""

    id: Annotated[MethodName, "Its name in the plan"]
    title: NotRequired[Annotated[str, "Its name on the page"]]


_Exported = TypedDict(
    "_Exported",
    {"at": Annotated[str, "Time"], "as": Annotated[Literal["json", "csv", "text"], "Form"]},
)

_Step = TypedDict(
    "_Step",
    {
        "part": Annotated[Literal["before", "work", "after"], "Where it stands"],
        "pass": NotRequired[Annotated[Count, "Pass"]],
        "number": Annotated[Count, "Number in its part"],
        "title": Annotated[str, "What it is"],
        "text": NotRequired[Annotated[list[Said], "What to do, in metric and in US units"]],
        "planned": NotRequired[Annotated[tuple[OnDrum, OnDrum], "Drum to expect: layer, wraps"]],
        "counted": NotRequired[Annotated[tuple[OnDrum, OnDrum], "Drum as counted: layer, wraps"]],
        "answer": NotRequired[
            Annotated[
                Literal["as-planned", "off", "off-by-more"],
                "What the count before hooking on came to; left out in older records",
            ]
        ],
        "done": NotRequired[Annotated[str, "Time of the tick"]],
        "note": NotRequired[Annotated[str, "Note"]],
    },
)


class Record(TypedDict):
    """The record of one run sheet."""

    format: Annotated[Literal[1], "Version of this format"]
    plan: Annotated[OfPlan, "The plan the sheet was made from"]
    method: Annotated[OfMethod, "Method of the plan"]
    state: Annotated[
        Literal["finished", "broken-off"], "How the work ended; a sheet that is not finished is no record yet"
    ]
    older_numbers: NotRequired[Annotated[bool, "Whether the plan had changed since the sheet was started"]]
    started: Annotated[str, "Time the sheet was started"]
    ended: Annotated[str, "Time the work ended"]
    broken_at: NotRequired[Annotated[str, "Step at which the work was broken off"]]
    exported: NotRequired[Annotated[_Exported, "Last export"]]
    log: Annotated[list[Any], "Entries for the log of the rope, as in upkeep.schema.json", Is(minItems=1)]
    steps: Annotated[list[Annotated[_Step, "One step"]], "Every step of the sheet, in order"]
