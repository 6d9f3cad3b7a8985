"""Which wrong answers have no mistaken thought of their own, and which share one.

A fault, a pool of situations, a finding of a walk-round and a procedure must hold
theirs (their files are refused without);
those of directions and places of loss stand in ``content/misconceptions.toml``.
"""

from collections.abc import Iterator

from academy.catalog import changes, faults, misconceptions, procedures, walk_round
from academy.catalog.directions import WAYS
from academy.catalog.toml_files import keys
from academy.errors import AcademyError, ContentError
from academy.service import find_leak
from academy.service.misconceptions import thought

_FILE = "misconceptions.toml"


def problems() -> list[AcademyError]:
    """Every wrong answer without a thought, and every thought that stands twice."""
    return [*_missing(), *_shared()]


def wanted() -> Iterator[str]:
    """The key of the thought behind every wrong choice that a question may offer."""
    for setting in keys("directions"):
        yield from (f"directions.{setting}.{way}" for way in WAYS)
    yield from (f"leak.{place}" for place in find_leak.PLACES)
    yield from (f"faults.{key}" for key in faults.load())
    yield from (f"changes.{key}" for key in changes.load())
    for pool in keys("situations"):
        yield from (f"calls.{pool}.{call}" for call in ("go", "stop"))
    for key in walk_round.load():
        yield from (f"findings.{key}.{way}" for way in ("passed", "doubted"))
    for key, procedure in procedures.known().items():
        yield from (f"orders.{key}.{way}" for way in procedure.thoughts)


def _missing() -> Iterator[AcademyError]:
    known = misconceptions.load()
    for key in wanted():
        if key.partition(".")[0] in ("directions", "leak") and key not in known:
            yield ContentError("thought_missing", file=_FILE, field=key)


def _shared() -> Iterator[AcademyError]:
    told: dict[str, str] = {}
    for key in wanted():
        twin = thought(key)
        for text in () if twin is None else (twin.en, twin.es):
            first = told.setdefault(text, key)
            if first != key:
                yield ContentError("thought_shared", file=_FILE, field=key, name=first)
