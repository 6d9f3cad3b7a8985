"""The trade's list of troubles: sign, cause and cure, and what asks each of them.

Where the engine computes the sign, faults name it; where it does not, the row says why,
and may be asked otherwise: by a finding, a sign of a setting, a case or a procedure.
"""

from collections.abc import Iterator
from functools import cache
from typing import Self

from pydantic import RootModel, model_validator

from academy import paths
from academy.catalog import directions, families, procedures, situations, walk_round
from academy.catalog.evidence import EvidenceClass
from academy.catalog.families import Asked
from academy.catalog.toml_files import Record, Twin, Words, keys, read


class Trouble(Record):
    """One trouble: what one sees, the usual cause and cure, and how it is asked.

    ``faults`` bring it about in the engine; without them ``reason`` says why not.
    ``asked`` names what else asks it: ``findings.…``, ``directions.<setting>.<sign>``,
    ``situations.<pool>`` or one of its cases, ``procedures.…``.
    """

    subject: Words
    symptom: Twin
    cause: Twin
    cure: Twin
    faults: tuple[Words, ...] = ()
    reason: Twin | None = None
    asked: tuple[Words, ...] = ()
    evidence: EvidenceClass
    source: Words

    @model_validator(mode="after")
    def _told(self) -> Self:
        if bool(self.faults) == (self.reason is not None):
            raise ValueError("a trouble names faults, or a reason why there are none")
        return self


class _Troubles(RootModel[dict[str, Trouble]]):
    pass


@cache
def load() -> dict[str, Trouble]:
    """Troubles by key; raises ContentError."""
    return read(_Troubles, paths.content() / "troubles.toml").root


def of_fault(key: str) -> tuple[Trouble, ...]:
    """Troubles that a fault brings."""
    return tuple(one for one in load().values() if key in one.faults)


def exists(asked: str) -> bool:
    """Whether content has what a row names under ``asked``."""
    group, name, case = [*asked.split("."), "", ""][:3]
    if group == "findings":
        return name in walk_round.load()
    if group == "procedures":
        return name in procedures.known()
    if group not in ("directions", "situations") or name not in keys(group):
        return False
    if group == "directions":
        return case in {sign.key for sign in directions.load(name).signs}
    return case in {"", *(one.key for one in situations.load(name).cases)}


def _asks(part: Asked, trouble: Trouble) -> bool:
    named = {".".join(one.split(".")[:2]) for one in trouble.asked}
    asks = {
        *(f"findings.{key}" for key in part.findings),
        f"directions.{part.setting}",
        f"situations.{part.situation}",
        f"procedures.{part.procedure}",
    }
    return bool(named & asks) or bool(set(part.faults) & set(trouble.faults))


def practised(trouble: Trouble) -> Iterator[str]:
    """Families that may be practised and can ask the trouble, in their order."""
    for key, family in families.practised().items():
        if any(_asks(part, trouble) for part in family.parts):
            yield key
