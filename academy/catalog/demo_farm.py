"""The invented farm of the demonstration, from ``content/demo.toml``."""

from typing import Any, Literal

from pydantic import Field

from academy import paths
from academy.catalog.toml_files import Record, Words, read


class DemoPerson(Record):
    """An invented person: skill and scenarios practised in each of two springs."""

    name: Words
    roles: tuple[Literal["hire", "lead", "owner"], ...]
    language: Literal["en", "es"]
    units: Literal["us", "metric"]
    skill: tuple[float, float]
    scenarios: tuple[int, int]


class DemoLab(Record):
    """A lab that the lead laid out, and how many of the hires answered it."""

    families: tuple[Words, ...]
    fields: Literal["same", "each"]
    days_ago: int = Field(ge=0)
    answered: int = Field(ge=0)
    debriefed: bool


class DemoCertified(Record):
    """The person who holds a certificate, and what was measured in the yard.

    ``measured``: inputs by item of the yard list, as typed; ``task``: one of the
    record of instruction; ``seconds``: how long each question took.
    """

    name: Words
    certificate: Words
    days_ago: int = Field(ge=0)
    seconds: int = Field(gt=0)
    task: Words
    measured: dict[str, dict[str, Any]]


class DemoFarm(Record):
    """An invented farm, when its people practise, and how far they go wrong."""

    name: Words
    zone: Words
    currency: Words
    crop: Words
    header: Words
    combine: Words
    harvest_in_days: int = Field(ge=0)
    first_spring_days_ago: int = Field(gt=0)
    second_spring_days_ago: int = Field(gt=0)
    spring_days: int = Field(gt=0)
    kept_as_found: float = Field(ge=0, le=1)
    stray: float = Field(ge=0, le=1)
    wrong_factors: tuple[float, ...]
    needs: dict[str, int]
    people: tuple[DemoPerson, ...]
    labs: tuple[DemoLab, ...] = ()
    certified: DemoCertified | None = None
    assessment_released_for: str = ""


def load() -> DemoFarm:
    """The demonstration farm; raises ContentError."""
    return read(DemoFarm, paths.content() / "demo.toml")
