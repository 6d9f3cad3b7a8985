"""Parts of the header beyond its settings: their state, and what is believed of each.

A file of ``content/parts/`` holds ``coefficients`` (the engine's beliefs), ``state``
(figures one finds or sets: value as it should be, ends that the engine takes) and
``choices`` (kinds one finds or sets, the first as it should be).
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from types import MappingProxyType
from typing import Any

from pydantic import Field

from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, Twin, Words, path_of, read
from academy.engine import (
    ends,
    flow_state,
    hour,
    hung_bar,
    knife_state,
    reel_sections,
    stand,
    threshing,
    wings,
)
from academy.errors import ContentError, NotFound

# part -> the engine's records of its state and of what is believed of it
PARTS: Mapping[str, tuple[type, type]] = {
    "bar": (hung_bar.BarState, hung_bar.BarCoefficients),
    "ends": (ends.EndsState, ends.EndsCoefficients),
    "flow": (flow_state.FlowState, flow_state.FlowCoefficients),
    "hour": (hour.HourState, hour.HourCoefficients),
    "knife": (knife_state.KnifeState, knife_state.KnifeCoefficients),
    "reel_sections": (
        reel_sections.ReelSectionsState,
        reel_sections.ReelSectionsCoefficients,
    ),
    "stand": (stand.Stand, stand.StandCoefficients),
    "threshing": (threshing.ThreshingState, threshing.ThreshingCoefficients),
    "wings": (wings.WingsState, wings.WingsCoefficients),
}


class Choice(Record):
    """Kinds of one thing: what it is called, and a name for each kind by its key."""

    name: Twin
    kinds: dict[Words, Twin]


class _File(Record):
    coefficients: dict[str, Named]
    state: dict[str, Named] = Field(default_factory=dict)
    choices: dict[str, Choice] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Part:
    """One part: beliefs with their bounds, the state as it should be, its ends."""

    values: Any
    low: Any
    high: Any
    in_order: Any
    entries: Mapping[str, Named]
    state: Mapping[str, Named]
    choices: Mapping[str, Choice]


def _same(key: str, record: type, found: set[str]) -> None:
    needed = {field.name for field in fields(record)}
    for name in sorted(found - needed):
        raise ContentError("unknown_coefficient", file=f"parts/{key}", field=name)
    for name in sorted(needed - found):
        raise ContentError("missing_coefficient", file=f"parts/{key}", field=name)


@cache
def load(key: str) -> Part:
    """A part by key; raises NotFound, ContentError."""
    if key not in PARTS:
        raise NotFound("no_such_content", name=key)
    state_record, belief_record = PARTS[key]
    file = read(_File, path_of("parts", key))
    _same(key, belief_record, set(file.coefficients))
    _same(key, state_record, set(file.state) | set(file.choices))
    drawn = {name: entry.drawn_si() for name, entry in file.coefficients.items()}
    low, values, high = (
        belief_record(**{name: triple[end] for name, triple in drawn.items()})
        for end in range(3)
    )
    known = {name: entry.si()[1] for name, entry in file.state.items()}
    first = {name: next(iter(each.kinds)) for name, each in file.choices.items()}
    return Part(
        values=values,
        low=low,
        high=high,
        in_order=state_record(**known, **first),
        entries=MappingProxyType(file.coefficients),
        state=MappingProxyType(file.state),
        choices=MappingProxyType(file.choices),
    )
