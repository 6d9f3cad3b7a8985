"""The record of instruction: tasks, its four steps, and what is said every year."""

from functools import cache
from typing import Literal, Self, TypeAlias, get_args

from pydantic import model_validator

from academy import paths
from academy.catalog.facts import SourcedFact
from academy.catalog.toml_files import Record, Twin, Words, read

Step: TypeAlias = Literal["shown", "did", "explained", "alone"]
STEPS: tuple[Step, ...] = get_args(Step)


class StepText(Record):
    """What a step is called, and when it counts."""

    name: Twin
    about: Twin


class Yearly(SourcedFact):
    """One thing said at the first assignment and every year; ``rule`` is its place."""

    rule: Words


class Instruction(Record):
    """``content/instruction.toml``."""

    source: SourcedFact
    steps: dict[Step, StepText]
    tasks: dict[Words, Twin]
    yearly: dict[Words, Yearly]
    under_16: SourcedFact
    own_words: SourcedFact

    @model_validator(mode="after")
    def _every_step(self) -> Self:
        if tuple(self.steps) != STEPS:
            raise ValueError(f"steps must be {', '.join(STEPS)}, in this order")
        return self

    def facts(self) -> tuple[SourcedFact, ...]:
        """Everything here that has a source."""
        single = (self.source, self.under_16, self.own_words)
        return (*single, *self.yearly.values())


@cache
def load() -> Instruction:
    """Tasks, steps and yearly items; raises NotFound, ContentError."""
    return read(Instruction, paths.content() / "instruction.toml")
