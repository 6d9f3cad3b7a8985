"""The one just-qualified operator of the whole bank, who sets every par."""

from functools import cache

from academy import paths
from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import Record, read


class Borderline(Record):
    """How far a just-qualified operator strays, and what such a one usually scores.

    ``error_steps``: spread of the setting error in steps of each control;
    ``kept_as_found``: chance that a control is left as it was found; the pars are for
    kinds of part that the engine cannot simulate, by kind; ``mistakes`` are usual ones
    on top of the best settings, by which draws of a family are compared.
    """

    operators: int
    error_steps: dict[str, Evidenced]
    kept_as_found: Evidenced
    pars: dict[str, Evidenced]
    mistakes: dict[str, Evidenced]

    def par_of(self, kind: str) -> float:
        """Par of a kind of part that is not simulated."""
        return self.pars[kind].value


@cache
def load() -> Borderline:
    """The borderline operator; raises ContentError."""
    return read(Borderline, paths.content() / "borderline.toml")
