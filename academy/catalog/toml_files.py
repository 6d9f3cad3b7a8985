"""Reading the TOML files of ``content/`` into strict, frozen records."""

import json
import tomllib
from pathlib import Path
from typing import Annotated, TypeVar

from pydantic import BaseModel, ConfigDict, StringConstraints, ValidationError

from academy import paths
from academy.catalog import plain_problems
from academy.errors import ContentError, NotFound

Words = Annotated[str, StringConstraints(min_length=1, strip_whitespace=True)]


class Record(BaseModel):
    """A record that takes nothing unknown, nothing loosely typed, and never changes."""

    model_config = ConfigDict(
        strict=True, extra="forbid", frozen=True, allow_inf_nan=False
    )


class Twin(Record):
    """One text in both languages."""

    en: Words
    es: Words

    def for_language(self, language: str) -> str:
        """The text in ``language`` ("en" or "es")."""
        return self.es if language == "es" else self.en


R = TypeVar("R", bound=BaseModel)


def _first_problem(wrong: ValidationError, file: str) -> ContentError:
    first = wrong.errors(include_url=False)[0]
    field = plain_problems.place(first["loc"])
    if first["type"] == "missing" and "belief" in first["loc"]:
        return ContentError("thought_missing", file=file, field=field)
    problem = plain_problems.plain(first)
    return ContentError("broken_content", file=file, field=field, problem=problem)


def parse(model: type[R], text: str, file: str) -> R:
    """Record of the TOML ``text``; raises ContentError naming ``file`` and field."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as wrong:
        raise ContentError("broken_toml", file=file, problem=str(wrong)) from wrong
    try:
        # through JSON, where strict reading still lets an array be a tuple
        return model.model_validate_json(json.dumps(table, default=str))
    except ValidationError as wrong:
        raise _first_problem(wrong, file) from wrong


def read(model: type[R], path: Path) -> R:
    """Record in the file at ``path``; raises NotFound, ContentError."""
    if not path.is_file():
        raise NotFound("no_such_content", name=path.name)
    return parse(model, path.read_text("utf-8"), f"{path.parent.name}/{path.name}")


def keys(folder: str) -> tuple[str, ...]:
    """Names, without ending, of the TOML files of a folder of ``content/``, sorted."""
    files = (paths.content() / folder).glob("*.toml")
    return tuple(sorted(path.stem for path in files))


def path_of(folder: str, key: str) -> Path:
    """Path of ``content/folder/key.toml``; raises NotFound for any other key."""
    if key not in keys(folder):
        raise NotFound("no_such_content", name=key)
    return paths.content() / folder / f"{key}.toml"


def read_folder(folder: str, model: type[R]) -> dict[str, R]:
    """Every record of ``content/folder`` by key; raises ContentError."""
    return {key: read(model, path_of(folder, key)) for key in keys(folder)}
