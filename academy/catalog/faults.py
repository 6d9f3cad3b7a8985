"""Faults whose signs the engine computes: what each changes, its cause and its cure."""

from functools import cache
from typing import Literal, Self

from pydantic import model_validator

from academy.catalog.evidence import EvidenceClass, Evidenced
from academy.catalog.fitting import Needs
from academy.catalog.toml_files import Record, Twin, Words, read_folder
from academy.errors import ContentError


class Effect(Record):
    """One thing that a fault changes in a header at work.

    ``sets``: ``settings.…``, ``field.…``, ``state.<part>.…``, ``machine.carried``,
    ``machine.bar``, or ``seen.…`` for what lies beyond the engine's states. Either a
    ``kind``, or an ``amount`` that is put in place, added or multiplied.
    """

    sets: Words
    how: Literal["to", "add", "times"] = "to"
    kind: str = ""
    amount: Evidenced | None = None

    @model_validator(mode="after")
    def _one(self) -> Self:
        if bool(self.kind) == (self.amount is not None):
            raise ValueError("an effect has a kind or an amount, and not both")
        return self


class Fault(Record):
    """One fault: what it changes, how one tells it, what cures it.

    ``belief`` is the mistaken thought of one who names it where it is not the cause.
    ``needs`` says which headers can have it; it is offered on no other. ``also_cures``
    names other faults that its cure puts right as well: where cures are the options,
    they are never offered beside each other.
    """

    cause: Twin
    shows: Twin
    cure: Twin
    belief: Twin
    evidence: EvidenceClass
    source: Words
    does: tuple[Effect, ...] = ()
    needs: Needs = Needs()
    also_cures: tuple[Words, ...] = ()


class _File(Record):
    faults: dict[str, Fault]


@cache
def load() -> dict[str, Fault]:
    """Faults of ``content/faults/`` by key; raises ContentError."""
    found: dict[str, Fault] = {}
    for name, file in read_folder("faults", _File).items():
        for key, fault in file.faults.items():
            if key in found:
                raise ContentError("named_twice", file=f"faults/{name}", field=key)
            found[key] = fault
    return found
