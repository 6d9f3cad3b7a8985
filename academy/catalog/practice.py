"""The rule of what to practise next, as ``content/practice.toml`` states it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from academy import paths
from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import Record, read


class _File(Record):
    false_trust: Evidenced
    block: Evidenced
    usual_par: Evidenced
    elsewhere: Evidenced
    returning: Evidenced
    apart: Evidenced
    starting: Evidenced
    laid_ready: Evidenced
    talk_days: Evidenced
    hour: Evidenced
    minutes: dict[str, Evidenced]


@dataclass(frozen=True, slots=True)
class PracticeRule:
    """What choosing weighs: losses, the spell of practice, weights and minutes.

    ``false_trust`` is the loss of trusting somebody below the line where not trusting
    somebody above it is 1; ``minutes`` are by kind of part, "other" for the rest.
    """

    false_trust: float
    block: int
    usual_par: float
    elsewhere: float
    returning: float
    apart: int
    starting: int
    laid_ready: int
    talk_days: int
    hour: float
    minutes: Mapping[str, float]

    def minutes_of(self, kinds: Iterable[str]) -> float:
        """Minutes a scenario takes whose parts are of these kinds."""
        other = self.minutes["other"]
        return sum(self.minutes.get(kind, other) for kind in kinds)


@cache
def entries() -> Mapping[str, Evidenced]:
    """Every number with how we know it; raises ContentError."""
    file = _read()
    plain = {name: getattr(file, name) for name in _File.model_fields}
    del plain["minutes"]
    return plain | {f"minutes.{kind}": one for kind, one in file.minutes.items()}


@cache
def load() -> PracticeRule:
    """The rule as content has it now; raises ContentError."""
    file = _read()
    return PracticeRule(
        false_trust=file.false_trust.value,
        block=int(file.block.value),
        usual_par=file.usual_par.value,
        elsewhere=file.elsewhere.value,
        returning=file.returning.value,
        apart=int(file.apart.value),
        starting=int(file.starting.value),
        laid_ready=int(file.laid_ready.value),
        talk_days=int(file.talk_days.value),
        hour=file.hour.value,
        minutes={kind: one.value for kind, one in file.minutes.items()},
    )


def _read() -> _File:
    return read(_File, paths.content() / "practice.toml")
