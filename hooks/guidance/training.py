"""Pages of exercises: the list of sets, and each set with its answers folded away."""

from __future__ import annotations

from dataclasses import dataclass

from jinja2 import Environment
from markupsafe import Markup

from calc.data.model import Data
from calc.rounding import Pair, boom_length
from calc.teaching import exercise_text
from calc.teaching.exercise import Exercise
from calc.teaching.exercises import exercises
from calc.teaching.worked import ExerciseStep, Shown
from hooks.text import addresses
from hooks.text.cite import cited
from hooks.text.environment import both, render
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

SETS = (1, 2, 3, 4)  # each is its seed: at a fixed address, and the same set by `python -m calc exercises --seed`
# Where the formulas of a topic are explained, below the guidance.
EXPLAINED = {
    "falls": "formulas/#falls-and-the-stop",
    "load": "formulas/#load",
    "stop": "formulas/#the-start-and-the-count",
    "count": "formulas/#the-start-and-the-count",
    "passes": "formulas/#what-counts-as-firm",
    "capacity": "formulas/#limits",
    "due": "formulas/#the-next-heavy-lift",
    "discard": "rope-inspection/#add",
}


@dataclass(frozen=True)
class Shower:
    """How the numbers and steps of an exercise stand on a page, in both unit systems."""

    words: Words
    data: Data

    def texts(self) -> dict[str, object]:
        """The words of the exercises with those of the inspection."""
        return {**self.words.get("exercises"), "fitness": self.words.get("fitness")}

    def question(self, exercise: Exercise) -> Markup:
        return self.words.say(f"exercises.topics.{exercise.topic}.text", **self._named(exercise))

    def after(self, exercise: Exercise) -> Markup:
        return self.words.say(f"exercises.topics.{exercise.topic}.after", **self._named(exercise))

    def _named(self, exercise: Exercise) -> dict[str, str | Markup]:
        found: dict[str, str | Markup] = {**exercise_text.named(self.texts(), exercise)}
        if exercise.case:
            found["boom"] = both(boom_length(exercise.case.chart.boom_length))
        return found

    def number(self, metric: Shown, us: Shown) -> Markup:
        return _pair(exercise_text.number(metric), exercise_text.number(us))

    def cell(self, metric: Shown | str, us: Shown | str) -> Markup:
        return _pair(exercise_text.cell(self.texts(), metric), exercise_text.cell(self.texts(), us))

    def label(self, metric: ExerciseStep, us: ExerciseStep) -> Markup:
        texts = self.texts()
        said = (exercise_text.label(texts, step, "9.80665" in step.expression) for step in (metric, us))
        return _pair(*said)

    def equation(self, metric: ExerciseStep, us: ExerciseStep) -> Markup:
        return _pair(_unbroken(metric), _unbroken(us))

    def answer(self, metric: Shown, us: Shown) -> Markup:
        return self.words.say(f"exercises.answers.{metric.key}", number=self.number(metric, us))

    def verdict(self, exercise: Exercise) -> str:
        return exercise_text.verdict(self.texts(), exercise)

    def plan(self, exercise: Exercise) -> str | None:
        """Address of the plan an exercise is taken from, where the site has it."""
        case, machine = exercise.case, exercise.machine
        there = case and self.data.holds(machine)
        return addresses.plan(machine, case.configuration.id, case.chart.slug) if case and there else None


def _unbroken(step: ExerciseStep) -> str:
    """The equation of a `step`, the unit on the line of its number."""
    text, unit = exercise_text.equation(step), step.unit
    return f"{text.removesuffix(f' {unit}')}\u00a0{unit}" if unit else text


def _pair(metric: str, us: str) -> Markup:
    return Markup("{}").format(metric) if metric == us else both(Pair(metric, us))


def pages(env: Environment, words: Words, lessons: Data, data: Data, day: str, site: str | None = None) -> list[Page]:
    """The list of sets and a page for each, taken from the cranes of the `lessons`, on the site of the `data` at the
    address `site`; nothing where the lessons fill no exercise."""
    sets = [(seed, found) for seed in SETS if (found := exercises(lessons, seed, day))]
    if not sets:
        return []
    shower = Shower(words, data)
    body = render(env, "exercise_sets.html", root=root(addresses.EXERCISES), sets=sets, day=day)
    index = Page(
        address=addresses.EXERCISES,
        title=words.get("training.title"),
        description=words.get("training.description"),
        search_text=words.get("training.search"),
        toc=headings(body),
        html=body,
    )
    return [index, *(_set(env, words, data, seed, found, shower, day, site) for seed, found in sets)]


def _set(
    env: Environment,
    words: Words,
    data: Data,
    seed: int,
    found: tuple[Exercise, ...],
    shower: Shower,
    day: str,
    site: str | None,
) -> Page:
    at = f"{addresses.EXERCISES}{seed}/"
    title = words.get("training.set").format(seed=seed)
    body = render(
        env,
        "exercises.html",
        root=root(at),
        seed=seed,
        sets=SETS,
        exercises=found,
        show=shower,
        explained=EXPLAINED,
        rules=data.rules,
        day=day,
        zip=zip,
        cited=cited(words, site, at, title, words.get("cite.guidance").format(day=day), day),
    )
    return Page(
        address=at,
        title=title,
        description=words.get("training.set_description").format(seed=seed),
        search_text=words.get("training.set_search").format(seed=seed),
        toc=(),
        html=body,
        demonstration=True,  # whatever cranes the site is for
    )
