"""One simulated person takes one assessment, through the course that people take.

Nobody real answered: level, luck and the drawn questions make every answer.
"""

import math
import random
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist

from academy.catalog.assessment import Bar, Gate
from academy.catalog.competence import CompetenceModel
from academy.competence import answer_menu, form
from academy.competence.answer_menu import PartMenu
from academy.competence.assessment_course import Done, Next, scored, what_next
from academy.competence.belief import Scored

Drawn = tuple[PartMenu, ...]  # one drawn scenario


@dataclass(frozen=True, slots=True)
class Sitting:
    """What one certificate asks: its shares, concepts, families and their draws."""

    weights: Mapping[str, int]
    concepts: tuple[str, ...]
    families: Mapping[str, tuple[str, ...]]  # by topic
    draws: Mapping[str, tuple[Drawn, ...]]  # by family
    safety: Mapping[str, tuple[tuple[bool, bool], ...]]  # by concept: safe, unsafe
    repeats: int
    bar: Bar
    gate: Gate
    credit: float = 0.0


@dataclass(frozen=True, slots=True)
class World:
    """How the world differs from what the bank believes.

    ``clone_sd`` spread of a draw's difficulty around its family's (logits), ``easier``
    how much easier every part truly is (logits), ``correlation`` of the scores of one
    scenario's parts, ``lost`` the share of scenarios a technical failure hits, and
    whether those are scored 0 (or voided and replaced, as the rule says).
    """

    clone_sd: float = 0.3
    easier: float = 0.0
    correlation: float = 0.3
    lost: float = 0.0
    lost_scored: bool = False


@dataclass(frozen=True, slots=True)
class Ended:
    """How an assessment ended, after how many scenarios, and the mean of their pars."""

    outcome: str
    scenarios: int
    mean_par: float


class Luck:
    """A stream of luck: the same names, the same luck."""

    def __init__(self, *names: object) -> None:
        self._stream = random.Random("/".join(map(str, names)))  # noqa: S311
        self._bell = NormalDist()

    def even(self) -> float:
        """A number from 0 up to 1, neither end included."""
        return min(max(self._stream.random(), 1e-12), 1 - 1e-12)

    def normal(self) -> float:
        """A standard normal number."""
        return self._bell.inv_cdf(self.even())

    def below(self, size: int) -> int:
        """A whole number from 0 to ``size`` - 1."""
        return min(int(self._stream.random() * size), size - 1)

    def share_below(self, normal: float) -> float:
        """How much of the standard normal lies below."""
        return self._bell.cdf(normal)


def take(
    sitting: Sitting,
    theta: float,
    safe: float,
    world: World,
    model: CompetenceModel,
    seed: str,
) -> Ended:
    """A person of level ``theta`` who answers a safety question rightly with ``safe``.

    Asked is what the course says comes next, until it says that it ended.
    """
    luck, done, used = Luck("person", seed), list[Done](), list[str]()
    while True:
        step = _next(sitting, done, seed)
        if step.kind == "ended":
            break
        if step.kind == "correct":
            done = [_corrected(one) for one in done]
            continue
        if step.stage != "scenario":
            asked = sitting.safety[step.slot]
            safely, unsafely = asked[luck.below(len(asked))]
            done.append(_safety(step, safely if luck.even() < safe else unsafely))
            continue
        family, drawn = _question(sitting, step.slot, used, luck, seed)
        used.append(family)
        lost = world.lost > 0 and luck.even() < world.lost
        if lost and not world.lost_scored:
            continue  # voided with its reason; the same slot is asked afresh
        answers = _answers(drawn, theta, world, model, luck, lost)
        done.append(Done("scenario", step.slot, family, None, answers, False))
    pars = [a.item for one in done for a in one.answers]
    level = math.fsum(answer_menu.expected(item, 0.0) for item in pars)
    return Ended(str(step.outcome), step.scenarios, level / max(len(pars), 1))


def _next(sitting: Sitting, done: Sequence[Done], seed: str) -> Next:
    return what_next(
        done,
        sitting.weights,
        sitting.concepts,
        sitting.bar,
        sitting.gate,
        sitting.credit,
        seed,
    )


def _safety(step: Next, right: bool) -> Done:
    return Done(step.stage, step.slot, "", right, (), False)


def _corrected(one: Done) -> Done:
    return Done(one.stage, one.slot, one.family, one.right, one.answers, True)


def _question(
    sitting: Sitting, topic: str, used: Sequence[str], luck: Luck, seed: str
) -> tuple[str, Drawn]:
    """Family and draw for a slot; of a family that came before another draw."""
    eligible = sitting.families[topic]
    spare = max(Counter(used).values(), default=0) + 1  # voided ones leave none short
    family = form.choice(eligible, used, max(sitting.repeats, spare), seed)
    draws = sitting.draws[str(family)]
    return str(family), draws[luck.below(len(draws))]


def _answers(
    drawn: Drawn,
    theta: float,
    world: World,
    model: CompetenceModel,
    luck: Luck,
    lost: bool,
) -> tuple[Scored, ...]:
    clone = world.clone_sd * luck.normal() - world.easier
    # scores of equal chance 1/2 correlate by c when their causes do by sin(pi c / 2)
    shared = math.sin(math.pi * world.correlation / 2)
    stem, own = math.sqrt(shared) * luck.normal(), math.sqrt(1 - shared)
    told = []
    for part in drawn:
        chance = luck.share_below(stem + own * luck.normal())
        mean = answer_menu.expected(part.item, theta - clone)
        score = 0.0 if lost else answer_menu.pick(part.menu, mean, chance)
        told.append((part.par, part.floor, score))
    return scored(told, model)
