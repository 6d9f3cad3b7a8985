"""The course of an assessment: what comes next after what was done so far.

First the safety gate, one question for each concept; then scenarios, until the evidence
is enough. The same steps and the same seed give the same next step, whoever answers.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from academy.catalog import competence
from academy.catalog.assessment import Bar, Gate
from academy.catalog.competence import CompetenceModel
from academy.competence import curtailment, decision, form, safety_gate
from academy.competence.belief import Scored
from academy.competence.item_curve import design_weight, item_for
from academy.scenarios.dice import Dice

Stage = Literal["gate", "fresh", "scenario"]
Outcome = Literal["pass", "fail", "gate"]

FRESH_ELSEWHERE = 2
"""How many of the fresh safety questions are not from the missed concept."""


@dataclass(frozen=True, slots=True)
class Done:
    """A finished step that was not voided.

    ``slot`` is a concept of the gate or a topic; ``right`` whether a safety question
    was all right (None for a scenario); ``answers`` the scored parts of a scenario, a
    part's weight being the scenario's shared among all of its parts; ``corrected``
    whether the miss was put right face to face.
    """

    stage: Stage
    slot: str
    family: str
    right: bool | None
    answers: tuple[Scored, ...]
    corrected: bool


@dataclass(frozen=True, slots=True)
class Next:
    """What comes next: ask, wait until a miss is corrected, or the end.

    ``evidence`` so far, the starting credit included, from so many ``scenarios``.
    """

    kind: Literal["ask", "correct", "ended"]
    stage: Stage
    slot: str
    outcome: Outcome | None
    evidence: float
    scenarios: int


def what_next(
    done: Sequence[Done],
    weights: Mapping[str, int],
    concepts: Sequence[str],
    bar: Bar,
    gate: Gate,
    credit: float,
    seed: object,
    model: CompetenceModel | None = None,
) -> Next:
    """What follows the steps ``done``, in their order.

    ``weights`` by topic in equal shares; ``concepts`` as many as the gate has
    questions; ``bar`` that of the attempt; ``credit`` evidence to start with;
    ``seed`` settles what is left to the lot; ``model`` reads the answers, content's
    when it is left out.
    """
    first = [step for step in done if step.stage == "gate"]
    fresh = [step for step in done if step.stage == "fresh"]
    state = safety_gate.state(_right(first), _right(fresh), gate)
    if state == "clear":
        return _scenario(done, weights, bar, credit, seed, model or competence.load())
    stage: Stage = "fresh" if state == "correct" or fresh else "gate"
    if state == "closed":
        last = (fresh or first)[-1].slot
        return Next("ended", stage, last, "gate", credit, 0)
    if state == "open":
        slot = Dice("gate", seed).shuffled(sorted(concepts))[len(first)]
        return Next("ask", stage, slot, None, credit, 0)
    missed = next(step for step in first if not step.right)
    if not missed.corrected:
        return Next("correct", "gate", missed.slot, None, credit, 0)
    slot = _fresh_slots(missed.slot, concepts, gate, seed)[len(fresh)]
    return Next("ask", "fresh", slot, None, credit, 0)


def scored(
    parts: Sequence[tuple[float, float, float]], model: CompetenceModel
) -> tuple[Scored, ...]:
    """The evidence of a scenario's parts, each (par, chance floor, score).

    All parts share one stem, whatever their topics, and share its weight alike.
    """
    weight = design_weight(len(parts), model.part_correlation) / len(parts)
    return tuple(
        Scored(item_for(par, floor, model), score, weight)
        for par, floor, score in parts
    )


def _right(steps: Sequence[Done]) -> list[bool]:
    return [bool(step.right) for step in steps]


def _fresh_slots(
    missed: str, concepts: Sequence[str], gate: Gate, seed: object
) -> list[str]:
    """The missed concept again and again, a few others strewn in."""
    dice = Dice("fresh", seed)
    others = dice.shuffled(sorted(set(concepts) - {missed}))
    elsewhere = min(FRESH_ELSEWHERE, len(others), gate.fresh - 1)
    slots = [missed] * (gate.fresh - elsewhere) + others[:elsewhere]
    return dice.shuffled(slots)


def _scenario(
    done: Sequence[Done],
    weights: Mapping[str, int],
    bar: Bar,
    credit: float,
    seed: object,
    model: CompetenceModel,
) -> Next:
    asked = [step for step in done if step.stage == "scenario"]
    answers = [answer for step in asked for answer in step.answers]
    total = credit + decision.evidence(answers, bar)
    most = curtailment.reach(bar, model)
    said = curtailment.settled(total, len(asked), bar, most)
    if said == "more":
        slot = form.slot(weights, [step.slot for step in asked], seed)
        return Next("ask", "scenario", slot, None, total, len(asked))
    return Next("ended", "scenario", asked[-1].slot, said, total, len(asked))
