"""Counts at three places that the engine's losses leave on the ground."""

from typing import Any

from academy import units
from academy.catalog import coefficients, combines, crops
from academy.engine import counting, header
from academy.scenarios import conditions
from academy.scenarios.facts import Facts, si

BEFORE, HEADER, BEHIND = (
    f"counted.{place}_count" for place in ("before", "header", "behind")
)
AREA, DISCHARGE = "counted.frame_area", "counted.discharge_width"
HARVESTED = "counted.harvested"
_TANK = 0.5, "bu/ac"  # the yield in the tank is read to this step


def kernel_mass(facts: Facts) -> float:
    """Mass of one kernel as the count rule of the trade has it [kg]."""
    crop = crops.load(facts["crop"])
    one_bushel = float(units.to_si(1.0, "bu/ac", crop.bushel))
    return one_bushel / crop.grain.kernels_per_bushel_area.si()[1]


def counts(facts: Facts) -> dict[str, Any]:
    """The counts where the header passed and where the combine did, whole kernels.

    Needs the count on ground not yet cut and the frame; adds the discharge's width and
    the yield in the tank.
    """
    field, machine = conditions.field_of(facts), conditions.machine_of(facts)
    values = coefficients.load(facts["crop"]).values
    losses = header.run(field, machine, conditions.as_found(facts), values)
    area, mass = si(facts, AREA), kernel_mass(facts)
    width = combines.load(facts["combine"]).discharge_width
    spread = counting.concentration_factor(machine.width, width.si()[1])
    by_header = float(losses.header_loss * field.crop_yield)
    behind = float(losses.processing * field.crop_yield * spread)
    under = float(facts[BEFORE][0]) + round(
        float(counting.count_for(by_header, area, mass))
    )
    after = under + round(float(counting.count_for(behind, area, mass)))
    return {
        HEADER: [float(under), "1"],
        BEHIND: [float(after), "1"],
        DISCHARGE: [width.value, width.unit],
        HARVESTED: [
            _in_tank(facts, float(field.crop_yield), float(losses.total_loss)),
            _TANK[1],
        ],
    }


def _in_tank(facts: Facts, grown: float, lost: float) -> float:
    """What reached the tank [the unit of its reading], to its step."""
    step, label = _TANK
    crop = crops.load(facts["crop"])
    tank = float(units.from_si(grown * (1.0 - lost), label, crop.bushel))
    return round(tank / step) * step


def losses(facts: Facts) -> tuple[float, float, float]:
    """Grain lost before the harvest, at the header and behind it [kg/m^2], counted.

    The discharge-width correction takes the heap behind the combine apart
    [smallgrains-2003].
    """
    area, mass = si(facts, AREA), kernel_mass(facts)
    before, under, behind = (
        counting.count_to_mass_per_area(float(facts[name][0]), area, mass)
        for name in (BEFORE, HEADER, BEHIND)
    )
    width = conditions.machine_of(facts).width
    spread = counting.concentration_factor(width, si(facts, DISCHARGE))
    return (
        float(before),
        float(counting.header_loss(under, before)),
        float(counting.machine_loss(behind, under, spread)),
    )
