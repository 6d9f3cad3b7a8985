"""Headers: measures, controls and what kind of parts they have."""

from functools import cache
from typing import Literal, Self

from pydantic import model_validator

from academy import units
from academy.catalog import ground_following, knives
from academy.catalog.combines import Combine
from academy.catalog.evidence import Named, UnitLabel
from academy.catalog.toml_files import Record, Twin, Words, keys, path_of, read
from academy.engine.conditions import Build, Carried, Machine, Sensed
from academy.engine.hinged_bar import sections_alike
from academy.engine.knife_state import KnifeKind


class Measures(Record):
    """What the engine and the drawings need to know of a header's build."""

    width: Named
    reel_tip_radius: Named
    reel_bats: Named
    knife_pitch: Named
    knife_stroke: Named
    knife_edge: Named
    knife_tip: Named
    ledger_width: Named
    bunched_ratio: Named
    stroke_rate: Named
    bar_travel: Named
    bar_rise: Named
    control_bandwidth: Named
    belt_depth: Named
    side_width: Named
    centre_opening: Named
    feed_gap: Named
    drum_diameter: Named
    least_finger_gap: Named
    wheel_base: Named


class Parts(Record):
    """Kinds of parts that differ between headers."""

    drum_speed: Literal["stepped", "continuous"]
    knife: KnifeKind
    reel_parts: int
    wings: Literal["springs", "oil", "hinged"]
    build: Build  # of the bar, and of the frame that carries it
    sensors: Sensed  # of the height control
    senses_off_ground_without_wheels: bool


class ControlRange(Record):
    """What one control can be set to, in the units of the cab display."""

    name: Twin
    low: float
    high: float
    step: float
    usual: float  # where it stands when nothing is said about it
    unit: UnitLabel
    source: Words

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if not self.low <= self.usual <= self.high or self.step <= 0:
            raise ValueError("low, usual and high are out of order, or step is not > 0")
        return self

    def si(self) -> tuple[float, float, float]:
        """Low, high and step in SI."""
        low = units.to_si(self.low, self.unit)
        return (
            low,
            units.to_si(self.high, self.unit),
            units.to_si(self.low + self.step, self.unit) - low,
        )


class Controls(Record):
    """The settings of a header; the first five are graded in money."""

    ground_speed: ControlRange
    reel_rate: ControlRange
    reel_height: ControlRange
    reel_lead: ControlRange
    cut_height: ControlRange
    cut_height_off_ground: ControlRange  # takes its place off the ground
    float_force: ControlRange
    belt_speed: ControlRange
    tine_pitch: ControlRange


class Header(Record):
    """One header of ``content/headers/``."""

    name: Twin
    note: Twin
    measures: Measures
    parts: Parts
    controls: Controls


@cache
def load(key: str) -> Header:
    """Header by key; raises NotFound, ContentError."""
    return read(Header, path_of("headers", key))


def known() -> tuple[str, ...]:
    """Keys of all headers."""
    return keys("headers")


def range_of(header: Header, setting: str, carried: Carried) -> ControlRange:
    """What a setting can be set to on a header that is carried so."""
    if setting == "cut_height" and carried != "ground":
        return header.controls.cut_height_off_ground
    found: ControlRange = getattr(header.controls, setting)
    return found


def machine(header: Header, combine: Combine, carried: Carried = "ground") -> Machine:
    """The engine's record of ``header`` on ``combine``, in SI."""
    measured = {
        name: getattr(header.measures, name).si()[1]
        for name in Measures.model_fields
        if name in Machine.__dataclass_fields__
    }
    drawn = {
        name: getattr(combine, name).si()[1]
        for name in Combine.model_fields
        if name in Machine.__dataclass_fields__
    }
    parts, wing_share = header.parts, ground_following.load().si("wing_share")
    standard = knives.of("standard").ledger.si()[1]
    return Machine(
        **measured,
        **drawn,
        ledger_ratio=header.measures.ledger_width.si()[1] / standard,
        build=parts.build,
        sensed=parts.sensors,
        sections=sections_alike(parts.build, parts.sensors, carried, wing_share),
        carried=carried,
        senses_off_ground=parts.senses_off_ground_without_wheels,
    )
