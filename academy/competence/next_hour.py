"""What a person should practise next: one rule for everybody.

Practice is worth what it teaches and what it tells. It tells: how much better one then
knows whether to trust this person (``information``). It teaches: how much likelier the
person stands ready on harvest day (``gain``). Both are counted in ready people, so they
add; a topic that a job of the crew needs counts fully, up to double where the crew's
cover hangs on this very person, and more where a mistaken thought keeps coming back.
The family whose topics give most per minute comes first; no family comes twice in a
row, nor again before a few others.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from academy.catalog.competence import CompetenceModel
from academy.catalog.practice import PracticeRule
from academy.competence.belief import chance
from academy.competence.information import information
from academy.competence.item_curve import Array, design_weight, item_for
from academy.competence.memory import forget, learn

Reason = Literal["untested", "information", "gain"]


@dataclass(frozen=True, slots=True)
class Subject:
    """How a person stands in one topic today, and how much the crew needs it.

    ``idle_days`` lie between today and harvest; ``wanted`` by a job of the crew;
    ``importance`` is the chance that exactly this person is lacking (0 to 1).
    """

    grid: Array
    idle_days: int
    half_life: float
    wanted: bool
    importance: float
    tested: bool = True
    returning: bool = False  # a mistaken thought in it keeps coming back


@dataclass(frozen=True, slots=True)
class Candidate:
    """A family: parts by topic, minutes, how often the person had it."""

    family: str
    parts: Mapping[str, int]
    minutes: float
    had: int = 0


@dataclass(frozen=True, slots=True)
class Pick:
    """A family with its worth per minute, and what makes most of it.

    ``reason``, in the topic that counts most: "untested", else the larger of
    "information" and "gain".
    """

    family: str
    worth: float
    topic: str
    reason: Reason
    minutes: float


def gain(
    grid: Array, weight: float, idle_days: int, half_life: float, model: CompetenceModel
) -> float:
    """Rise of the chance ``idle_days`` from now by practice of ``weight`` today."""
    practised = forget(learn(grid, weight, model), idle_days, half_life, model)
    return chance(practised) - chance(forget(grid, idle_days, half_life, model))


def need(subject: Subject, rule: PracticeRule) -> float:
    """What a ready person more in this topic counts for the crew."""
    wanted = (1.0 if subject.wanted else rule.elsewhere) * (1.0 + subject.importance)
    return wanted * (1.0 + rule.returning * subject.returning)


def told_and_taught(
    subject: Subject, parts: int, rule: PracticeRule, model: CompetenceModel
) -> tuple[float, float]:
    """Information and gain of one spell of practice with ``parts`` of the topic."""
    weight = rule.block * design_weight(parts, model.part_correlation)
    answers = max(round(weight * model.practice_weight), 1)
    item = item_for(rule.usual_par, 0.0, model)
    told = information(subject.grid, answers, item, rule.false_trust)
    lifted = gain(subject.grid, weight, subject.idle_days, subject.half_life, model)
    return told, max(lifted, 0.0)


def best_first(
    candidates: Iterable[Candidate],
    subjects: Mapping[str, Subject],
    rule: PracticeRule,
    model: CompetenceModel,
) -> tuple[Pick, ...]:
    """The families by worth per minute; of equal ones the one had least, then by name.

    Topics without a subject count nothing.
    """
    known: dict[tuple[str, int], tuple[float, float]] = {}

    def valued(topic: str, parts: int) -> tuple[float, float]:
        subject = subjects[topic]
        if (topic, parts) not in known:
            told, taught = told_and_taught(subject, parts, rule, model)
            counts = need(subject, rule)
            known[topic, parts] = (counts * told, counts * taught)
        return known[topic, parts]

    made = []
    for one in candidates:
        values = {t: valued(t, n) for t, n in one.parts.items() if t in subjects}
        if values:
            made.append((one.had, _pick(one, values, subjects, rule)))
    made.sort(key=lambda pair: (-pair[1].worth, pair[0], pair[1].family))
    return tuple(pick for _had, pick in made)


def next_pick(picks: Sequence[Pick], recent: Sequence[str], apart: int) -> Pick | None:
    """The best whose family is none of the ``apart`` last ones, newest first.

    With too few families the oldest of those may come again, the very last never;
    None when there is no other.
    """
    for kept_off in range(min(apart, len(recent)), 0, -1):
        for pick in picks:
            if pick.family not in recent[:kept_off]:
                return pick
    return picks[0] if picks and not recent else None


def _pick(
    candidate: Candidate,
    values: Mapping[str, tuple[float, float]],
    subjects: Mapping[str, Subject],
    rule: PracticeRule,
) -> Pick:
    main = max(values, key=lambda topic: sum(values[topic]))
    return Pick(
        family=candidate.family,
        worth=sum(sum(pair) for pair in values.values())
        / (rule.block * candidate.minutes),
        topic=main,
        reason=_reason(subjects[main], *values[main]),
        minutes=candidate.minutes,
    )


def _reason(subject: Subject, told: float, taught: float) -> Reason:
    if not subject.tested:
        return "untested"
    return "information" if told >= taught else "gain"
