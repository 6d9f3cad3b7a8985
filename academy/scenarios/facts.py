"""The facts of one drawn field and machine, as plain data that is kept for ever.

A fact is a key (``"ordinary"``), a list of keys, or a value with its unit
(``[4.5, "mph"]``). The digest of the canonical text tells whether two people had the
very same facts.
"""

import hashlib
import json
from collections.abc import Mapping
from typing import Any, TypeAlias

from academy import units
from academy.catalog import crops

Facts: TypeAlias = Mapping[str, Any]


def canonical(data: object) -> str:
    """Canonical JSON text: sorted keys, no spaces, plain numbers only."""
    return json.dumps(
        data, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )


def digest(family: str, facts: Facts) -> str:
    """Digest of a family's facts: 64 hexadecimal digits."""
    return hashlib.sha256(canonical([family, facts]).encode()).hexdigest()


def bushel(facts: Facts) -> float:
    """Mass of the crop's bushel [kg]."""
    return crops.load(facts["crop"]).bushel


def si(facts: Facts, name: str) -> float:
    """A fact with a unit, in SI."""
    value, label = facts[name]
    return float(units.to_si(float(value), label, bushel(facts)))
