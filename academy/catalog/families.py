"""Families of questions: what is drawn, what is asked and in which words."""

from collections import Counter
from functools import cache
from typing import Literal, Self

from pydantic import Field as Named
from pydantic import model_validator

from academy.catalog.evidence import UnitLabel
from academy.catalog.toml_files import Record, Twin, Words, path_of, read, read_folder
from academy.engine.conditions import Carried

Kind = Literal[
    "set-up",
    "direction",
    "number",
    "order",
    "one-change",
    "find-the-leak",
    "inspection",
    "read-the-stubble",
    "go-or-stop",
    "find-the-cause",
]


ASSESSED_PARTS = 4
"""Fewest separately scored parts of a scenario that counts for a certificate."""


class Grid(Record):
    """Values low, low + step, ... up to high, in the unit of the cab display."""

    low: float
    high: float
    step: float
    unit: UnitLabel
    name: Twin | None = None

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.low > self.high or self.step <= 0:
            raise ValueError("low must not exceed high, and step must be above 0")
        return self

    @property
    def size(self) -> int:
        """How many values there are."""
        return round((self.high - self.low) / self.step) + 1

    def value(self, index: int) -> float:
        """The value at ``index``."""
        return round(self.low + index * self.step, 9)


class Counted(Record):
    """Kernels counted in a frame at three places; the engine's losses fill the rest."""

    frame_area: Grid
    before_count: Grid  # on ground not yet cut


class Asked(Record):
    """One part of a family: its kind, its topic, its words and what it asks for.

    ``shown`` of the ``findings`` of a walk-round are drawn, or of the ``faults``, which
    ``evidence`` (groups of signs) tells apart and whose ``names`` are the options.
    ``elsewhere``: the prompt says plainly that it asks of another field or header.
    """

    kind: Kind
    topic: Words
    prompt: Twin
    controls: tuple[Words, ...] = ()
    setting: str = ""
    elsewhere: bool = False
    computable: str = ""
    procedure: str = ""
    changes: tuple[Words, ...] = ()
    findings: tuple[Words, ...] = ()
    faults: tuple[Words, ...] = ()
    shown: int = 0
    evidence: tuple[Words, ...] = ()
    names: Literal["cause", "cure"] = "cause"
    situation: str = ""


class Family(Record):
    """One family of ``content/questions``.

    ``sometimes``: narrower ends that hold together in some draws, for what draws of one
    quantity at a time hardly meet: a machine that is well set, or one overloaded.
    ``clones``: what each fixed policy is expected to score on a scenario, as the mean
    over many draws; a draw too far from it is refused. Free when nothing is said.
    """

    order: int
    version: int
    title: Twin
    story: Twin
    crop: Words
    combine: Words
    headers: tuple[Words, ...]
    grounds: tuple[Words, ...] = ()
    carried: tuple[Carried, ...] = ()  # on the ground when nothing is said
    field: dict[str, Grid] = Named(default_factory=dict)
    as_found: dict[str, Grid] = Named(default_factory=dict)
    givens: dict[str, Grid] = Named(default_factory=dict)
    counted: Counted | None = None
    sometimes: tuple[dict[str, Grid], ...] = ()
    parts: tuple[Asked, ...]
    clones: dict[Words, float] = Named(default_factory=dict)
    gate: str = ""  # the concept of the safety gate that it asks; never practised

    @model_validator(mode="after")
    def _findings_once(self) -> Self:
        """One finding in two parts could be in order here and faulty there."""
        seen = Counter(key for part in self.parts for key in part.findings)
        if twice := sorted(key for key, times in seen.items() if times > 1):
            raise ValueError(
                "findings may stand in one part of a family only, take these out of "
                f"all others: {', '.join(twice)}"
            )
        return self

    @model_validator(mode="after")
    def _within(self) -> Self:
        """What holds sometimes lies on the values that are drawn at other times."""
        counted = self.counted
        usual = {**self.field, **self.as_found, **self.givens}
        if counted:
            usual["before_count"] = counted.before_count
        for name, narrow in ((n, g) for one in self.sometimes for n, g in one.items()):
            grid = usual.get(name)
            values = {grid.value(at) for at in range(grid.size)} if grid else set()
            if not {narrow.value(at) for at in range(narrow.size)} <= values:
                raise ValueError(f"sometimes: {name} must lie on the grid of {name}")
        return self

    @property
    def assesses(self) -> bool:
        """Whether it has the four parts or more that an assessment asks for."""
        return not self.gate and len(self.parts) >= ASSESSED_PARTS


@cache
def load(key: str) -> Family:
    """Family by key; raises NotFound, ContentError."""
    return read(Family, path_of("questions", key))


@cache
def known() -> dict[str, Family]:
    """All families by key, in the order of the lists."""
    found = read_folder("questions", Family)
    return dict(sorted(found.items(), key=lambda item: item[1].order))


def practised() -> dict[str, Family]:
    """The families of ``known`` that may be practised: not those of the safety gate."""
    return {key: one for key, one in known().items() if not one.gate}


def topics_asked() -> frozenset[str]:
    """Keys of the topics that at least one family asks."""
    return frozenset(part.topic for one in practised().values() for part in one.parts)
