"""Lists of the yard sign-off: what is seen and measured on the real machine.

A list of ``content/yard`` names groups of ``content/yard_groups`` in order; the first
is the observed safe stop, and the rest stays closed until every step of it was right.
"""

import hashlib
import json
from collections.abc import Mapping
from functools import cache
from typing import Literal, Self, TypeAlias

from pydantic import Field, RootModel, model_validator

from academy import paths, units
from academy.catalog import crops, procedures
from academy.catalog.evidence import EvidenceClass, Named
from academy.catalog.headers import Header
from academy.catalog.procedures import Procedure, Step
from academy.catalog.toml_files import Record, Twin, Words, path_of, read, read_folder
from academy.errors import ContentError

SAFE_STOP = "safe-stop"
"""The group, and the procedure, that opens every list."""

Kind: TypeAlias = Literal["seen", "measured"]
COUNTS, BOOK, CROP = "counts", "book", "crop"
"""Kinds of input beside those of quantities: one count per frame; a figure in any unit
of the machine's own book; one of the list's crops."""


class Input(Record):
    """What is typed or chosen for a measured item.

    ``kind`` is one of ``units.KINDS`` with its ends, or ``counts``, ``book``, ``crop``;
    an input with ``options`` is chosen.
    """

    key: Words
    name: Twin
    hint: Twin | None = None
    kind: str = ""
    low: float | None = None
    high: float | None = None
    unit: str = ""
    options: dict[Words, Twin] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        if bool(self.options) == bool(self.kind):
            raise ValueError("an input has either options or a kind")
        if self.options or self.kind in (COUNTS, BOOK, CROP):
            return self
        if self.kind not in units.KINDS:
            raise ValueError(f"kind {self.kind!r} is none of ours")
        if self.unit not in units.labels_for(self.kind):
            raise ValueError(f"unit {self.unit!r} does not measure {self.kind}")
        if self.low is None or self.high is None or not self.low < self.high:
            raise ValueError("a quantity needs low and high, low below high")
        return self

    def bounds(self, bushel: float | None = None) -> tuple[float, float]:
        """Low and high in SI of a quantity; ``bushel`` [kg] where one is counted."""
        low, high = self.low or 0.0, self.high or 0.0
        return (
            units.to_si(low, self.unit, bushel),
            units.to_si(high, self.unit, bushel),
        )


class Item(Record):
    """One step seen or one value measured; ``only``: kinds of header it is for.

    Whoever misses a ``critical`` one is not signed off.
    """

    key: Words
    kind: Kind
    critical: bool = False
    text: Twin
    why: Twin
    evidence: EvidenceClass
    source: Words
    judge: str = ""
    inputs: tuple[Input, ...] = ()
    only: dict[Words, tuple[Words, ...]] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _either(self) -> Self:
        if (self.kind == "measured") != bool(self.judge and self.inputs):
            raise ValueError("a measured item has judge and inputs, a seen one neither")
        return self

    def on(self, header: Header) -> bool:
        """Whether a header has what this item looks at."""
        return all(
            str(getattr(header.parts, part)).lower() in kinds
            for part, kinds in self.only.items()
        )


class Group(Record):
    """Items that belong together, or the steps of a procedure, all critical."""

    title: Twin
    about: Twin | None = None
    items: tuple[Item, ...] = ()
    procedure: str = ""
    leave_out: tuple[Words, ...] = ()

    @model_validator(mode="after")
    def _either(self) -> Self:
        if bool(self.items) == bool(self.procedure):
            raise ValueError("a group has either items or a procedure")
        return self

    def all_items(self) -> tuple[Item, ...]:
        """Its items, those of a procedure made from its steps."""
        if not self.procedure:
            return self.items
        known = procedures.known()
        if self.procedure not in known:
            raise ContentError("no_such_content", name=self.procedure)
        told = known[self.procedure]
        return tuple(
            _item(self.procedure, told, step)
            for step in told.steps
            if step.key not in self.leave_out
        )


class SignOffList(Record):
    """One list as it stands in its file."""

    order: int
    title: Twin
    about: Twin
    headers: tuple[Words, ...] = Field(min_length=1)
    crops: tuple[Words, ...] = ()
    groups: tuple[Words, ...] = Field(min_length=1)


class Rule(RootModel[dict[str, Named]]):
    """``content/yard.toml``: the rule, and figures that values are held against."""

    def si(self, name: str) -> float:
        """One figure in SI."""
        return self.root[name].si()[1]


def _item(key: str, told: Procedure, step: Step) -> Item:
    """A step with the gravest reason why it comes before another."""
    pairs = [pair for pair in told.precedences if pair.before == step.key]
    grave = sorted(
        pairs, key=lambda pair: (not pair.critical, not pair.safety_critical)
    )
    if not grave:
        raise ContentError(
            "step_without_reason", file=f"procedures/{key}", step=step.key
        )
    return Item(
        key=f"{key}.{step.key}",
        kind="seen",
        critical=True,
        text=step.text,
        why=grave[0].why,
        evidence=grave[0].evidence,
        source=grave[0].source,
    )


@cache
def rule() -> Rule:
    """The rule of all lists; raises NotFound, ContentError."""
    return read(Rule, paths.content() / "yard.toml")


@cache
def groups() -> Mapping[str, Group]:
    """All groups by key; raises ContentError."""
    return read_folder("yard_groups", Group)


@cache
def known() -> Mapping[str, SignOffList]:
    """All lists by key, in their order; raises ContentError."""
    found = read_folder("yard", SignOffList)
    return dict(sorted(found.items(), key=lambda pair: pair[1].order))


@cache
def load(key: str) -> SignOffList:
    """One list; raises NotFound, ContentError."""
    return read(SignOffList, path_of("yard", key))


def crop_name(key: str, language: str) -> str:
    """What a crop is called; its key where there is none like it any more."""
    return crops.load(key).name.for_language(language) if key in crops.known() else key


def items_of(key: str, header: Header) -> dict[str, tuple[Item, ...]]:
    """The items of a list on a header, by group; groups without any are left out."""
    found = {
        name: tuple(item for item in groups()[name].all_items() if item.on(header))
        for name in load(key).groups
    }
    return {name: items for name, items in found.items() if items}


@cache
def digest(key: str) -> str:
    """SHA-256 of a list with its groups and the rule: 64 hexadecimal digits."""
    wanted = load(key)
    told = {
        "list": wanted.model_dump(mode="json"),
        "groups": [
            [
                name,
                [item.model_dump(mode="json") for item in groups()[name].all_items()],
            ]
            for name in wanted.groups
        ],
        "rule": rule().model_dump(mode="json"),
    }
    text = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()
