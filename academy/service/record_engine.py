"""What the engine says again of one answered part, beside what was kept.

It runs with the coefficients stored when the question was made, and only where this is
still the same engine. What it says changes nothing: the stored values hold.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from academy.engine import header
from academy.engine.coefficients import Coefficients
from academy.engine.header import Readings, Settings
from academy.engine.version import VERSION
from academy.errors import AcademyError
from academy.language import Reader, gettext, marked, number, show, show_in
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service.chosen import chosen_settings
from academy.service.regrade import nine
from academy.service.regrade_kinds import KINDS, Attempted
from academy.service.replayed import PartAgain
from academy.service.views import Table

_SAME = marked(
    "The engine was run again with the coefficients kept with this question: the same, "
    "to nine digits."
)
_DIFFERS = marked(
    "The engine says something else today. What was kept holds; tell those who look "
    "after this program."
)
_OTHER = marked(
    "Made by engine version %(then)s; today's is %(now)s. What was kept holds, and the "
    "engine is not run again."
)
_FAILED = marked("The engine could not be run again. What was kept holds.")
_FACTS = marked("No engine: the key follows from the facts or from a written rule.")
_UNREADABLE = (AcademyError, LookupError, TypeError, ValueError, AttributeError)


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence about the engine, its readings, and whether it still agrees."""

    sentence: str
    readings: Table | None
    agrees: bool


def said(
    part: PartAgain, sets: Mapping[str, Coefficients | None], reader: Reader
) -> Said:
    """What the engine says again of a part."""
    kind = KINDS.get(part.asked.kind)
    if kind is None or kind.rerun is None:
        return Said(gettext(_FACTS, reader.language), None, agrees=True)
    then = part.asked.engine_version
    if then != VERSION:
        told = gettext(_OTHER, reader.language) % {"then": then, "now": VERSION}
        return Said(told, None, agrees=True)
    values = sets.get(part.asked.coefficient_digest)
    if values is None or part.asked.answer is None:
        return Said(gettext(_FAILED, reader.language), None, agrees=values is not None)
    tried = Attempted(
        facts=part.facts,
        place=part.asked.position,
        part=part.stored,
        answer=part.asked.answer,
        detail=part.asked.marks["detail"],
        values=values,
    )
    try:
        pairs = kind.rerun(tried)
        same = all(nine(kept) == nine(again) for kept, again in pairs.values())
        table = _readings(tried, reader) if part.asked.kind == "set-up" else None
    except _UNREADABLE:
        return Said(gettext(_FAILED, reader.language), None, agrees=False)
    return Said(gettext(_SAME if same else _DIFFERS, reader.language), table, same)


def _readings(tried: Attempted, reader: Reader) -> Table:
    """Losses and cost with the answer, the key, and the machine as found."""
    found = conditions.as_found(tried.facts)
    typed = chosen_settings(tried.part, tried.facts, tried.answer)
    best = replace(found, **tried.part["best"])
    runs = [_run(tried.facts, one, tried.values) for one in (typed, best, found)]

    def say(text: str) -> str:
        return gettext(text, reader.language)

    def share(name: str) -> list[str]:
        return [_percent(float(getattr(run, name)), reader) for run in runs]

    def figure(name: str) -> list[str]:
        return [number(float(getattr(run, name)), 2, reader.language) for run in runs]

    costs = [show(float(run.cost), "money_per_area", reader) for run in runs]
    rows = (
        (say(marked("lost at the header")), *share("header_loss")),
        (say(marked("lost behind the header")), *share("processing")),
        (say(marked("reel index")), *figure("reel_index")),
        (say(marked("cost")), *costs),
    )
    head = (
        say(marked("Reading")),
        say(marked("as answered")),
        say(marked("key")),
        say(marked("as found")),
    )
    return Table(say(marked("What the engine read")), head, rows)


def _percent(share: float, reader: Reader) -> str:
    return show_in(100.0 * share, "%", 2, reader.language)


def _run(facts: Facts, settings: Settings, values: Any) -> Readings:
    field, machine = conditions.field_of(facts), conditions.machine_of(facts)
    return header.run(field, machine, settings, values)
