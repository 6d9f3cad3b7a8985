"""Whether the certificates name only what exists and can ask all that they weigh."""

from collections.abc import Iterator

from academy.catalog import blueprints, crops, gate, headers, roles, sources, topics
from academy.catalog.blueprints import Blueprint
from academy.errors import AcademyError, ContentError

Named = tuple[str, str, bool]  # field, what it names, whether that exists


def problems() -> list[AcademyError]:
    """Every problem of ``content/blueprints``; empty when all is in order."""
    return [one for key, each in blueprints.known().items() for one in of(key, each)]


def of(key: str, blueprint: Blueprint) -> Iterator[AcademyError]:
    """What is wrong with one certificate."""
    file = f"blueprints/{key}"
    for field, name, exists in _named(blueprint):
        if not exists:
            yield ContentError("names_unknown", file=file, field=field, value=name)
    yield from blueprints.problems(key, blueprint)


def _named(blueprint: Blueprint) -> Iterator[Named]:
    jobs = roles.load(topics.load())
    for field, names, known in (
        ("jobs", blueprint.jobs, tuple(jobs)),
        ("crops", blueprint.crops, crops.known()),
        ("headers", blueprint.headers, headers.known()),
        ("concepts", blueprint.concepts, tuple(gate.concepts())),
    ):
        for name in names:
            yield field, name, name in known
    figures = (
        blueprint.valid_days,
        blueprint.retake.wait_hours,
        blueprint.retake.practice_chance,
        blueprint.retake.attempts,
    )
    for figure in figures:
        yield "source", figure.source, figure.source in sources.load()
