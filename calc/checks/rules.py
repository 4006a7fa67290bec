"""What the schema of a rule cannot see: versions in order, values that are read, heirs, rules the calculation names."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from calc.checks.folder import Folder, misnamed, shared, versions_in_order
from calc.data import folders, rule_values, rulebook, schema
from calc.data.files import Document, Problem, Where


def problems(folder: Folder) -> Iterator[Problem]:
    """Everything in the rules of a `folder` that cannot be."""
    documents = folder.sound["rulebook"]
    yield from misnamed(documents)
    for document in documents.values():
        yield from _rule(document, folder)
    yield from shared(documents, "code", "take the next code never used")
    known = folder.known["rulebook"]
    for id in rulebook.NAMED if known else ():
        if id not in known:
            text = f"there is no rule {id}, which the state of a drum names; put it back"
            yield Problem(folders.shown(folders.place(folder.path, folders.RULEBOOK)), 1, "", text)


def _rule(document: Document, folder: Folder) -> Iterator[Problem]:
    if document.data["id"] in schema.page_names("rules"):
        text = f"'{document.data['id']}' is the address of another page; choose another id"
        yield document.problem(("id",), text)
    yield from versions_in_order(document)
    for i, version in enumerate(document.data["versions"]):
        here = ("versions", i)
        if version.get("announced", "") >= version["from"]:
            text = f"is not before {version['from']}, the first day this version counts; take it out"
            yield document.problem((*here, "announced"), text)
        yield from _values(document, version, here)
        yield from _withdrawn(document, version, here, folder)


def _withdrawn(document: Document, version: dict[str, Any], here: Where, folder: Folder) -> Iterator[Problem]:
    """A withdrawal ends a rule: no version after it, no value in it, and its heir holds from the same day on."""
    heir = version.get("replaced_by")
    rules = folder.sound["rulebook"]
    if heir and not version.get("withdrawn"):
        yield document.problem((*here, "replaced_by"), "only a withdrawn rule is replaced; add withdrawn: true")
    if version.get("withdrawn") and version is not document.data["versions"][0]:
        text = "a withdrawn rule does not come back; write a new rule with a new code"
        yield document.problem((*here, "withdrawn"), text)
    if version.get("withdrawn") and version["values"]:
        yield document.problem((*here, "values"), "a withdrawn rule gives no values; write values: {}")
    if heir == document.data["id"]:
        yield document.problem((*here, "replaced_by"), "names the rule itself; name the one that takes its place")
    elif heir and heir not in folder.known["rulebook"]:
        yield document.problem((*here, "replaced_by"), folder.no_rule(heir))
    elif heir and heir in rules:
        begun = (earlier for earlier in rules[heir].data["versions"] if earlier["from"] <= version["from"])
        if next(begun, {"withdrawn": True}).get("withdrawn"):
            text = f"rule {heir} is not in force on {version['from']}; name one that is"
            yield document.problem((*here, "replaced_by"), text)


def _values(document: Document, version: dict[str, Any], here: Where) -> Iterator[Problem]:
    informative = version.get("informative", [])
    for name in version["values"]:
        if name not in rule_values.READ and name not in informative:
            text = "is read by no calculation; correct the name or list it under informative"
            yield document.problem((*here, "values", name), text)
    for i, name in enumerate(informative):
        if name not in version["values"]:
            text = f"there is no value '{name}' in this version; take it out"
            yield document.problem((*here, "informative", i), text)
        elif name in rule_values.READ:
            yield document.problem((*here, "informative", i), f"'{name}' is read by the calculation; take it out here")
    binding = any(name not in informative for name in version["values"])
    for fact in sorted(rulebook.UNKNOWN_BEFORE_PLANNING.intersection(version["applies"])) if binding else ():
        text = "is not known before the plan is made; a rule with values the plan reads cannot ask for it"
        yield document.problem((*here, "applies", fact), text)
    rises = any(name.startswith("rise_ratio") for name in version["values"])
    if rises and "layers" in version["applies"]:
        text = "follows from the rise ratio; a rule that gives it cannot ask for layers"
        yield document.problem((*here, "applies", "layers"), text)
