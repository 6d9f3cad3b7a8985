"""Procedures as partial orders: steps, and which must come before which and why."""

from functools import cache
from typing import Literal

from academy.catalog.toml_files import Record, Twin, read_folder
from academy.errors import ContentError

Turned = Literal["critical", "plain"]


class Step(Record):
    """One step of a procedure."""

    key: str
    text: Twin


class Precedence(Record):
    """A step that must come before another, the reason and how it is known.

    Only relations that are safety-critical and read in a source fail a person on their
    own (``critical``); those from memory are taught and scored mildly.
    """

    before: str
    after: str
    safety_critical: bool
    evidence: Literal["published", "memory", "practice"]
    source: str
    why: Twin

    @property
    def critical(self) -> bool:
        """Whether turning this pair round is a critical miss."""
        return self.safety_critical and self.evidence == "published"


class Beliefs(Record):
    """The mistaken thought of one who turns steps round.

    ``critical`` where a pair that fails alone is turned, else ``plain``; each must
    stand where the procedure has such pairs.
    """

    critical: Twin | None = None
    plain: Twin | None = None


class Procedure(Record):
    """A procedure with its steps in one right order."""

    topic: str
    title: Twin
    purpose: Twin
    steps: tuple[Step, ...]
    precedences: tuple[Precedence, ...]
    belief: Beliefs
    never: tuple[Twin, ...] = ()

    @property
    def thoughts(self) -> tuple[Turned, ...]:
        """Which thoughts it must hold, by the pairs it has."""
        critical = {pair.critical for pair in self.precedences}
        ways: dict[Turned, bool] = {"critical": True, "plain": False}
        return tuple(way for way, alone in ways.items() if alone in critical)


def _check(key: str, procedure: Procedure) -> None:
    place = {step.key: index for index, step in enumerate(procedure.steps)}
    for pair in procedure.precedences:
        for step in (pair.before, pair.after):
            if step not in place:
                raise ContentError("unknown_step", file=f"procedures/{key}", step=step)
        if place[pair.before] >= place[pair.after]:
            raise ContentError(
                "steps_against_precedence",
                file=f"procedures/{key}",
                before=pair.before,
                after=pair.after,
            )
    for way in procedure.thoughts:
        if getattr(procedure.belief, way) is None:
            file, field = f"procedures/{key}.toml", f"belief.{way}"
            raise ContentError("thought_missing", file=file, field=field)


@cache
def known() -> dict[str, Procedure]:
    """Procedures by key; the steps as listed keep every precedence."""
    found = read_folder("procedures", Procedure)
    for key, procedure in found.items():
        _check(key, procedure)
    return found
