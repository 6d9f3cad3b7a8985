"""What a part offers must fit its header, its field and its cases, and each other."""

from collections.abc import Iterator
from itertools import combinations

from academy.catalog import directions, faults, situations
from academy.catalog.families import Asked, Family
from academy.errors import AcademyError, ContentError
from academy.scenarios.fitting import fitting, met_on


def fitting_problems(file: str, family: Family) -> Iterator[AcademyError]:
    """Everything that does not fit; what the family names must exist already."""
    for place, asked in enumerate(family.parts, start=1):
        where = f"parts #{place}"
        if asked.findings or asked.faults:
            yield from _on_headers(file, where, asked, family)
        if asked.kind == "direction":
            yield from _field(file, where, asked)
        if asked.kind == "go-or-stop":
            yield from _prompt(file, where, asked)
        if asked.names == "cure":
            yield from _cures(file, where, asked)


def _on_headers(
    file: str, where: str, asked: Asked, family: Family
) -> Iterator[AcademyError]:
    """Nothing that no header of the family has; enough for each of them."""
    met = {on: fitting(asked, *on) for on in met_on(family)}
    for key in asked.findings or asked.faults:
        if not any(key in found for found in met.values()):
            yield ContentError("fits_no_header", file=file, field=where, value=key)
    for (header, carried), found in met.items():
        if len(found) < asked.shown:
            yield ContentError(
                "too_few_fit",
                file=file,
                field=where,
                header=header,
                carried=carried,
                value=len(found),
                least=asked.shown,
            )


def _field(file: str, where: str, asked: Asked) -> Iterator[AcademyError]:
    """Signs of a field of their own are asked of another field."""
    if directions.load(asked.setting).own_field and not asked.elsewhere:
        yield ContentError(
            "sign_of_other_field",
            file=file,
            field=f"{where}.prompt",
            value=asked.prompt.en,
            name=asked.setting,
        )


def _prompt(file: str, where: str, asked: Asked) -> Iterator[AcademyError]:
    """A prompt that was read against every case of its pool."""
    if asked.prompt not in situations.load(asked.situation).asked_as:
        yield ContentError(
            "prompt_not_of_pool",
            file=file,
            field=f"{where}.prompt",
            value=asked.prompt.en,
            name=f"situations/{asked.situation}",
        )


def _cures(file: str, where: str, asked: Asked) -> Iterator[AcademyError]:
    """Of the cures offered none puts right what another one names."""
    listed = faults.load()
    for one, other in combinations(asked.faults, 2):
        first, second = listed[one], listed[other]
        said = [(first.cure.en, second.cure.en), (first.cure.es, second.cure.es)]
        alike = any(a.casefold() == b.casefold() for a, b in said)
        if alike or other in first.also_cures or one in second.also_cures:
            yield ContentError(
                "cures_alike", file=file, field=where, value=one, other=other
            )
