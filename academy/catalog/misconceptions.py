"""Mistaken thoughts behind wrong answers, from ``content/misconceptions.toml``."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from academy import paths
from academy.catalog.toml_files import Record, Twin, Words, read


class _File(Record):
    settings: dict[Words, dict[Words, Twin]]
    directions: dict[Words, dict[Words, Twin]]
    ticking: dict[Words, Twin]
    order: dict[Words, Twin]
    leak: dict[Words, Twin]


@cache
def load() -> Mapping[str, Twin]:
    """Every thought by its key, such as ``settings.reel_rate.above``.

    Raises ContentError.
    """
    file = read(_File, paths.content() / "misconceptions.toml")
    found: dict[str, Twin] = {}
    for group in ("settings", "directions"):
        for name, thoughts in getattr(file, group).items():
            found |= {f"{group}.{name}.{side}": text for side, text in thoughts.items()}
    for group in ("ticking", "order", "leak"):
        found |= {f"{group}.{key}": text for key, text in getattr(file, group).items()}
    return MappingProxyType(found)
