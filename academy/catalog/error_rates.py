"""The last run of simulated people through the certificates, as a file keeps it.

``content/error_rates.json`` ships with the house; an installation may keep its own.
Nobody real was measured: that is what the page that shows it says.
"""

from datetime import date
from pathlib import Path

from pydantic import Field, ValidationError

from academy import paths
from academy.catalog.toml_files import Record, Words
from academy.errors import ContentError, NotFound

FILE = "error_rates.json"


class Wrong(Record):
    """Shares wrongly passed and failed, with their 95 % limits (0 to 1)."""

    false_pass: float
    false_pass_low: float
    false_pass_high: float
    false_fail: float
    false_fail_low: float
    false_fail_high: float


class Through(Record):
    """How many came through the gate at a chance of a safe answer, and should."""

    safe: float
    through: float
    exact: float


class Rates(Wrong):
    """The figures of one certificate.

    ``lengths`` are mean scenarios below, on and above the line; ``curve`` pairs of
    level (logits) and share passed.
    """

    key: Words
    people: int
    pass_on_line: float
    pass_on_line_low: float
    pass_on_line_high: float
    mean_length: float
    lengths: tuple[float, float, float]
    curve: tuple[tuple[float, float], ...]
    mean_par: float
    par_sd: float
    gate: tuple[Through, ...]
    renewing: Wrong | None = None
    stress: dict[Words, Wrong] = Field(default_factory=dict)


class Run(Record):
    """One run: what was run, when, and the figures of every certificate."""

    day: date
    people: int
    seed: int
    draws: int
    engine: int
    bank: Words
    certificates: tuple[Rates, ...]


def read(path: Path) -> Run:
    """The run in a file; raises NotFound, ContentError."""
    if not path.is_file():
        raise NotFound("no_such_content", name=path.name)
    try:
        return Run.model_validate_json(path.read_bytes())
    except ValidationError as wrong:
        first = wrong.errors(include_url=False)[0]
        field = ".".join(str(step) for step in first["loc"]) or "file"
        raise ContentError(
            "broken_content", file=path.name, field=field, problem=str(first["msg"])
        ) from wrong


def shipped() -> Run:
    """The run that came with the content; raises NotFound, ContentError."""
    return read(paths.content() / FILE)
