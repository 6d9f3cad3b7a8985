"""What can be asked as a number with a unit: a registry of computables.

Each takes the facts and gives the exact value in SI; everything it needs is printed in
the question, so the key has no spread.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import atan2

from academy import units
from academy.catalog import crops, headers
from academy.engine import capacity, counting, grain, reel
from academy.scenarios import counted
from academy.scenarios.facts import Facts, bushel, si


@dataclass(frozen=True, slots=True)
class Computable:
    """A quantity that follows from the facts: how to show it, and its formula.

    ``needs`` names the drawn facts that the formula takes.
    """

    kind: str
    value: Callable[[Facts], float]
    source: str
    needs: tuple[str, ...]


def _reel_speed(facts: Facts) -> float:
    radius = si(facts, "given.reel_diameter") / 2.0
    index, speed = si(facts, "given.reel_index"), si(facts, "as_found.ground_speed")
    return float(reel.reel_rate_for(radius, index, speed))


def _loss_from_count(facts: Facts) -> float:
    grain = crops.load(facts["crop"]).grain
    per_area = grain.kernels_per_bushel_area.si()[1]
    one_bushel = units.to_si(1.0, "bu/ac", bushel(facts))
    count, area = si(facts, "given.count"), si(facts, "given.frame_area")
    return float(counting.count_to_mass_per_area(count, area, one_bushel / per_area))


def _money_of_loss(facts: Facts) -> float:
    return _loss_from_count(facts) * si(facts, "grain_price")


def _field_capacity(facts: Facts) -> float:
    width = headers.load(facts["header"]).measures.width.si()[1]
    speed, share = (
        si(facts, "as_found.ground_speed"),
        si(facts, "given.field_efficiency"),
    )
    return float(capacity.field_capacity(width, speed, share))


def _work_time(facts: Facts) -> float:
    return float(
        capacity.work_time(si(facts, "given.field_area"), _field_capacity(facts))
    )


def _counted_header_loss(facts: Facts) -> float:
    return counted.losses(facts)[1]


def _counted_processing_loss(facts: Facts) -> float:
    return counted.losses(facts)[2]


def _counted_share(facts: Facts) -> float:
    _, header, processing = counted.losses(facts)
    harvested = si(facts, counted.HARVESTED)
    return float(counting.loss_share(header + processing, harvested))


def _counted_money(facts: Facts) -> float:
    _, header, processing = counted.losses(facts)
    return (header + processing) * si(facts, "grain_price")


def _drawn_in(facts: Facts) -> float:
    """How far a belt takes a stalk in before the hand lets go of it."""
    return si(facts, "as_found.belt_speed") * si(facts, "given.reaction_time")


def _slope(facts: Facts) -> float:
    return atan2(si(facts, "given.rise"), si(facts, "given.level_run"))


def _free_height(facts: Facts) -> float:
    return si(facts, "given.line_height") - si(facts, "given.load_height")


def _dry_grain(facts: Facts) -> float:
    """Worth of the weight that too dry a crop lacks when it is sold."""
    market = si(facts, "given.market_moisture")
    lacking = float(grain.saleable_loss(si(facts, "moisture"), market))
    return lacking * si(facts, "given.market_yield") * si(facts, "grain_price")


_COUNTED = (counted.AREA, counted.BEFORE)
_COUNT = ("given.count", "given.frame_area")
_PACE = ("as_found.ground_speed", "given.field_efficiency")
COMPUTABLES: Mapping[str, Computable] = {
    "reel_speed": Computable(
        "reel_speed",
        _reel_speed,
        "kinematics",
        ("given.reel_index", "given.reel_diameter", "as_found.ground_speed"),
    ),
    "loss_from_count": Computable(
        "loss_mass", _loss_from_count, "mass-balance", _COUNT
    ),
    "money_of_loss": Computable(
        "money_per_area", _money_of_loss, "mass-balance", (*_COUNT, "grain_price")
    ),
    "counted_header_loss": Computable(
        "loss_mass", _counted_header_loss, "mass-balance", _COUNTED
    ),
    "counted_processing_loss": Computable(
        "loss_mass", _counted_processing_loss, "smallgrains-2003", _COUNTED
    ),
    "counted_share": Computable("share", _counted_share, "mass-balance", _COUNTED),
    "counted_money": Computable(
        "money_per_area", _counted_money, "mass-balance", (*_COUNTED, "grain_price")
    ),
    "field_capacity": Computable("area_rate", _field_capacity, "mass-balance", _PACE),
    "work_time": Computable(
        "time", _work_time, "mass-balance", (*_PACE, "given.field_area")
    ),
    "drawn_in": Computable(
        "length",
        _drawn_in,
        "kinematics",
        ("as_found.belt_speed", "given.reaction_time"),
    ),
    "slope": Computable(
        "slope", _slope, "kinematics", ("given.rise", "given.level_run")
    ),
    "free_height": Computable(
        "length", _free_height, "kinematics", ("given.line_height", "given.load_height")
    ),
    "dry_grain": Computable(
        "money_per_area",
        _dry_grain,
        "unl-2017",
        ("moisture", "given.market_moisture", "given.market_yield", "grain_price"),
    ),
}
