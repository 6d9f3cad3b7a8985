"""The engine's coefficients for one crop, gathered from ``content/``.

What holds for every crop stands in ``content/coefficients/``; what is the crop's own
stands in its file. Each coefficient stands in exactly one place.
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from types import MappingProxyType

from pydantic import RootModel

from academy.catalog import crops
from academy.catalog.evidence import Named
from academy.catalog.toml_files import keys, path_of, read
from academy.engine.coefficients import Coefficients
from academy.errors import ContentError

_NEEDED = frozenset(field.name for field in fields(Coefficients))


class _Table(RootModel[dict[str, Named]]):
    pass


@dataclass(frozen=True, slots=True)
class CoefficientSet:
    """Coefficients with their bounds, how each is known, a digest, and the
    canonical JSON it is the digest of.
    """

    values: Coefficients
    low: Coefficients
    high: Coefficients
    entries: Mapping[str, Named]
    digest: str
    body: str


def canonical(values: Mapping[str, tuple[float, float, float]]) -> str:
    """Canonical JSON of low, value and high by name, to 12 significant digits."""
    rounded = {
        name: [float(f"{x:.12g}") for x in triple] for name, triple in values.items()
    }
    return json.dumps(rounded, sort_keys=True, separators=(",", ":"))


def _add(into: dict[str, Named], more: Mapping[str, Named], file: str) -> None:
    for name, entry in more.items():
        if name not in _NEEDED:
            raise ContentError("unknown_coefficient", file=file, field=name)
        if name in into:
            raise ContentError("coefficient_twice", file=file, field=name)
        into[name] = entry


def common() -> dict[str, Named]:
    """What holds for every crop, by name; raises ContentError."""
    found: dict[str, Named] = {}
    for key in keys("coefficients"):
        _add(found, read(_Table, path_of("coefficients", key)).root, f"{key}.toml")
    return found


def entries_for(crop_key: str) -> dict[str, Named]:
    """Every coefficient of a crop with its evidence; raises ContentError, NotFound."""
    found: dict[str, Named] = {}
    _add(found, crops.load(crop_key).coefficients, f"{crop_key}.toml")
    _add(found, common(), f"{crop_key}.toml")
    if missing := sorted(_NEEDED - found.keys()):
        raise ContentError("missing_coefficient", file=crop_key, field=missing[0])
    return found


@cache
def load(crop_key: str) -> CoefficientSet:
    """The coefficient set of a crop; raises ContentError, NotFound."""
    entries = entries_for(crop_key)
    bushel = crops.load(crop_key).bushel
    drawn = {name: entry.drawn_si(bushel) for name, entry in entries.items()}
    body = canonical(drawn)
    low, values, high = (
        Coefficients(**{name: triple[end] for name, triple in drawn.items()})
        for end in range(3)
    )
    return CoefficientSet(
        values=values,
        low=low,
        high=high,
        entries=MappingProxyType(entries),
        digest=hashlib.sha256(body.encode()).hexdigest(),
        body=body,
    )
