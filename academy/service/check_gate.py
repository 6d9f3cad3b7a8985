"""What is wrong with the safety gate: concepts and their families name each other."""

from collections.abc import Iterator

from academy.catalog import families, gate
from academy.errors import AcademyError, ContentError


def problems() -> list[AcademyError]:
    """Every problem of ``content/gate.toml`` and of the families that say ``gate``."""
    return [*_of_concepts(), *_of_families()]


def _unknown(file: str, field: str, name: str) -> AcademyError:
    return ContentError("names_unknown", file=file, field=field, value=name)


def _of_concepts() -> Iterator[AcademyError]:
    known = families.known()
    for key, concept in gate.concepts().items():
        for name in concept.families:
            if name not in known or known[name].gate != key:
                yield _unknown("gate.toml", f"{key}.families", name)


def _of_families() -> Iterator[AcademyError]:
    asked = {name for one in gate.concepts().values() for name in one.families}
    for key, family in families.known().items():
        if family.gate and key not in asked:
            yield _unknown(f"questions/{key}", "gate", family.gate)
