"""Reading all content, and saying everything that is wrong with it, not just the first.

First every file is read by itself; then what families, signs and procedures name must
exist; last every family must give scenarios that may be asked.
"""

from collections.abc import Callable, Iterator
from dataclasses import fields
from functools import partial

from academy.catalog import (
    assessment,
    blueprints,
    borderline,
    calculators,
    changes,
    coefficients,
    combines,
    crops,
    demo_farm,
    directions,
    facts,
    families,
    faults,
    gate,
    glossary,
    grains,
    ground_following,
    grounds,
    headers,
    lesson_pictures,
    lessons,
    misconceptions,
    mouths,
    practice,
    procedures,
    recommended,
    shelf,
    signs,
    situations,
    sources,
    topics,
    troubles,
    unit_slips,
    walk_round,
)
from academy.catalog.families import Asked, Family
from academy.catalog.toml_files import keys
from academy.engine.conditions import Field, Settings
from academy.errors import AcademyError, ContentError
from academy.scenarios.draw import fact_sets
from academy.scenarios.number import COMPUTABLES
from academy.service import (
    check_certificates,
    check_gate,
    check_lessons,
    check_thoughts,
    check_yard,
    clones,
    how,
    making,
)
from academy.service.check_facts import fact_problems
from academy.service.check_fitting import fitting_problems

LEAST_SETS = 10_000  # of facts, so that nobody meets the same ones twice
SAMPLE = 3  # scenarios of each family that are tried
Named = tuple[str, str, bool]  # field, what it names, whether that exists


def check(sample: int = SAMPLE) -> list[AcademyError]:
    """Every problem of ``content/``; empty when all is in order.

    ``sample`` scenarios are made of each family.
    """
    unread = {str(p): p for read in _readers() for p in _problem(read)}
    if unread:
        return list(unread.values())  # what follows would only repeat them
    wrong = [*_figures(), *_signs(), *_steps(), *_cases(), *_findings()]
    wrong += _troubles()
    wrong += [*check_gate.problems(), *check_lessons.problems()]
    wrong += [*check_certificates.problems(), *check_thoughts.problems()]
    wrong += check_yard.problems()
    for key, family in families.known().items():
        found = list(_family(key, family))
        wrong += found or _tried(key, sample)
    return wrong


def _tried(key: str, sample: int) -> list[AcademyError]:
    """The first problem of making some scenarios of a family."""
    seeds = range(sample)
    return [p for seed in seeds for p in _problem(partial(making.make, key, seed))][:1]


def _problem(deed: Callable[[], object]) -> list[AcademyError]:
    try:
        deed()
    except AcademyError as problem:
        return [problem]
    return []


def _readers() -> Iterator[Callable[[], object]]:
    """Everything that reads content, one file or folder each."""
    yield from (sources.load, topics.load, shelf.load, grounds.load, grains.load)
    yield from (unit_slips.load, borderline.load, calculators.load, glossary.load)
    yield from (procedures.known, demo_farm.load, assessment.entries)
    yield from (changes.load, faults.load, walk_round.load, recommended.load)
    yield from (signs.load, troubles.load, misconceptions.load)
    yield from (practice.load, ground_following.load, mouths.load)
    yield from (facts.load, lesson_pictures.load, lessons.known, gate.concepts)
    yield from (blueprints.known, *check_yard.READERS)
    loads: tuple[tuple[str, Callable[[str], object]], ...] = (
        ("crops", coefficients.load),
        ("headers", headers.load),
        ("combines", combines.load),
        ("directions", directions.load),
        ("situations", situations.load),
        ("questions", families.load),
    )
    for folder, load in loads:
        for key in keys(folder):
            yield partial(load, key)


def _unknown(file: str, named: list[Named]) -> Iterator[AcademyError]:
    for field, name, exists in named:
        if not exists:
            raised = ContentError("names_unknown", file=file, field=field, value=name)
            yield raised


def _figures() -> Iterator[AcademyError]:
    listed = sources.load()
    for key, entry in how.entries().items():
        source = entry.figure.source
        yield from _unknown(key, [("source", source, source in listed)])


def _signs() -> Iterator[AcademyError]:
    for key in keys("directions"):
        setting = directions.load(key)
        named = [("topic", setting.topic, setting.topic in topics.load())]
        named += [
            ("source", s.source, s.source in sources.load()) for s in setting.signs
        ]
        yield from _unknown(f"directions/{key}", named)


def _cases() -> Iterator[AcademyError]:
    for key in keys("situations"):
        pool = situations.load(key)
        named = [("topic", pool.topic, pool.topic in topics.load())]
        named += [("source", c.source, c.source in sources.load()) for c in pool.cases]
        yield from _unknown(f"situations/{key}", named)


def _findings() -> Iterator[AcademyError]:
    for key, finding in walk_round.load().items():
        source = finding.source
        named = [(f"{key}.source", source, source in sources.load())]
        yield from _unknown("walk_round", named)


def _troubles() -> Iterator[AcademyError]:
    for key, trouble in troubles.load().items():
        named = [(f"{key}.subject", trouble.subject, trouble.subject in topics.load())]
        named += [(f"{key}.source", trouble.source, trouble.source in sources.load())]
        named += [(f"{key}.faults", f, f in faults.load()) for f in trouble.faults]
        named += [(f"{key}.asked", one, troubles.exists(one)) for one in trouble.asked]
        yield from _unknown("troubles", named)


def _steps() -> Iterator[AcademyError]:
    for key, procedure in procedures.known().items():
        named = [("topic", procedure.topic, procedure.topic in topics.load())]
        named += [
            ("source", pair.source, pair.source in sources.load())
            for pair in procedure.precedences
        ]
        yield from _unknown(f"procedures/{key}", named)


def _family(key: str, family: Family) -> Iterator[AcademyError]:
    file = f"questions/{key}"
    wrong = list(_unknown(file, [*_of_field(family), *_of_parts(family)]))
    yield from wrong
    if not wrong:
        yield from fact_problems(file, family)
        yield from fitting_problems(file, family)
    if not wrong and fact_sets(family) < LEAST_SETS:
        yield ContentError(
            "too_few_facts", file=file, value=fact_sets(family), least=LEAST_SETS
        )


def _of_field(family: Family) -> Iterator[Named]:
    conditions = {field.name for field in fields(Field)}
    settings = {field.name for field in fields(Settings)}
    yield "crop", family.crop, family.crop in crops.known()
    yield "combine", family.combine, family.combine in combines.known()
    for name in family.headers:
        yield "headers", name, name in headers.known()
    for name in family.grounds:
        yield "grounds", name, name in grounds.load()
    for name in family.field:
        yield "field", name, name in conditions
    for name in family.as_found:
        yield "as_found", name, name in settings
    for name in family.clones:
        yield "clones", name, name in clones.POLICIES


def _of_parts(family: Family) -> Iterator[Named]:
    for place, asked in enumerate(family.parts, start=1):
        where = f"parts #{place}"
        yield f"{where}.topic", asked.topic, asked.topic in topics.load()
        for field, name, exists in _asked(asked):
            yield f"{where}.{field}", name, exists


def _asked(asked: Asked) -> Iterator[Named]:
    if asked.kind == "set-up":
        for name in asked.controls or ("",):
            yield "controls", name, name in borderline.load().error_steps
    elif asked.kind == "direction":
        yield "setting", asked.setting, asked.setting in keys("directions")
    elif asked.kind == "number":
        yield "computable", asked.computable, asked.computable in COMPUTABLES
    elif asked.kind == "order":
        yield "procedure", asked.procedure, asked.procedure in procedures.known()
    elif asked.kind == "go-or-stop":
        yield "situation", asked.situation, asked.situation in keys("situations")
    else:
        yield from _listed(asked)


def _listed(asked: Asked) -> Iterator[Named]:
    """Kinds that name several entries of one file."""
    for field, known in (
        ("changes", changes.load()),
        ("findings", walk_round.load()),
        ("faults", faults.load()),
        ("evidence", signs.groups()),
    ):
        for name in getattr(asked, field):
            yield field, name, name in known
