"""Reads one content file into one frozen record, or says what is wrong and where."""

import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from academy.errors import ContentError


class Record(BaseModel):
    """A frozen content record: unknown fields, nan and loose types are refused."""

    model_config = ConfigDict(
        frozen=True, strict=True, extra="forbid", allow_inf_nan=False
    )


class Twin(Record):
    """One text in English and Spanish; neither may be empty."""

    en: str
    es: str

    def for_language(self, language: str) -> str:
        """The text in ``language`` ("en" or "es")."""
        return self.es if language == "es" else self.en


R = TypeVar("R", bound=Record)


def _field_path(location: Sequence[int | str]) -> str:
    return ".".join(str(step) for step in location) or "file"


def read_record(path: Path, kind: type[R]) -> R:
    """The record of kind ``kind`` in the TOML file ``path``.

    Raises ContentError naming file, field and what is wrong with it.
    """
    try:
        with path.open("rb") as file:
            return kind.model_validate(tomllib.load(file), strict=False)
    except tomllib.TOMLDecodeError as wrong:
        raise ContentError(
            "not_toml", file=f"{path.parent.name}/{path.name}", problem=str(wrong)
        ) from wrong
    except ValidationError as wrong:
        first = wrong.errors(include_url=False)[0]
        raise ContentError(
            "content_field",
            file=f"{path.parent.name}/{path.name}",
            field=_field_path(first["loc"]),
            problem=first["msg"],
        ) from wrong


def read_folder(folder: Path, kind: type[R]) -> dict[str, R]:
    """Every ``*.toml`` of ``folder`` by its file name without the ending."""
    return {path.stem: read_record(path, kind) for path in sorted(folder.glob("*.toml"))}
