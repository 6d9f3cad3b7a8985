"""Single adjustments: what is turned and how far, and what one believes who errs."""

from functools import cache
from typing import Self

from pydantic import RootModel, model_validator

from academy import paths
from academy.catalog.evidence import UnitLabel
from academy.catalog.toml_files import Record, Twin, read
from academy.engine.conditions import Carried


class Change(Record):
    """One change of ``content/changes.toml``.

    Turns one setting ``by`` an amount, or gives the header something else to be carried
    by, or leaves all as it is. ``belief`` is the mistaken thought behind choosing it
    when it does not help.
    """

    text: Twin
    belief: Twin
    setting: str = ""
    by: float = 0.0
    unit: UnitLabel = "1"
    carried: Carried | None = None

    @model_validator(mode="after")
    def _one_thing(self) -> Self:
        if bool(self.setting) != bool(self.by) or (self.setting and self.carried):
            raise ValueError("a change turns one setting by an amount, or the carriage")
        return self


class _Changes(RootModel[dict[str, Change]]):
    pass


@cache
def load() -> dict[str, Change]:
    """Changes by key; raises ContentError."""
    return read(_Changes, paths.content() / "changes.toml").root
