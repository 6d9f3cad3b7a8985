"""The engine's cost of settings as one compiled loop: what a hand translation reaches.

Only the bench uses it. It takes one field, machine and set of coefficients as named
tuples of plain floats, and arrays of six settings; numba turns it into machine code.
Whatever does not change from setting to setting is worked out once before the loop.
Nothing is checked and only cost and the hard limits come out, so it is a bar to measure
by, not an engine. Without numba the same functions run as plain Python.
"""

import math
from collections import namedtuple
from collections.abc import Callable
from dataclasses import fields
from typing import Any, TypeVar

from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine
from academy.engine.processing import LEVEL_AT_1, LEVEL_AT_3

try:
    from numba import njit
except ImportError:  # the extra "bench" is not installed
    njit = None

F = TypeVar("F", bound=Callable[..., Any])
_ROOT_HALF, _TWO_PI = math.sqrt(0.5), 2.0 * math.pi
_ROOT_TWO_PI = math.sqrt(_TWO_PI)
_SPAN = math.log(LEVEL_AT_3 / LEVEL_AT_1)
_MOST_CLIMB = -math.log(LEVEL_AT_1)
CARRIED = {"ground": 0.0, "wheels": 1.0, "sensing": 2.0}
BUILDS = {"rigid": 0.0, "hinged": 1.0, "flexible": 2.0}
_CODES = CARRIED | BUILDS | {"whole": 0.0, "ends": 1.0, "centre": 2.0}
SETTINGS = (
    *("ground_speed", "reel_rate", "reel_height", "reel_lead", "cut_height"),
    "belt_speed",
)

there = njit is not None
_f = namedtuple("_f", [each.name for each in fields(Field)])  # type: ignore[misc]
_m = namedtuple("_m", [each.name for each in fields(Machine)])  # type: ignore[misc]
_c = namedtuple("_c", [each.name for each in fields(Coefficients)])  # type: ignore[misc]
_Still = namedtuple(
    "_Still", "frame per_speed short divider lead limit lodged_decay slope"
)


def _compiled(function: F) -> F:
    made: F = (
        function if njit is None else njit(error_model="numpy", fastmath=True)(function)
    )
    return made


def plain(record: Field | Machine | Coefficients) -> Any:
    """A record as a named tuple of floats; kinds of things get a code."""
    kinds = {Field: _f, Machine: _m, Coefficients: _c}
    values = {each.name: getattr(record, each.name) for each in fields(record)}
    coded = {name: _CODES.get(value, value) for name, value in values.items()}
    return kinds[type(record)](**{name: float(v) for name, v in coded.items()})


@_compiled
def _below(score: Any) -> Any:
    """Share of a normal distribution below a score."""
    return 0.5 * math.erfc(-score * _ROOT_HALF)


@_compiled
def _still(f: Any, m: Any, c: Any) -> Any:
    """What does not change from setting to setting."""
    n = c.reference_wavenumber
    waves = n * n * f.ground_roughness
    frame = c.gap_left * (2.0 * math.pi**2 * waves * (m.width / m.sections) / 4.0)
    per_speed = c.lag_left * waves / m.control_bandwidth
    if m.carried == 1.0:
        frame, per_speed = frame + c.lag_left * waves * m.wheel_base, 0.0
    if m.carried == 0.0 and m.build == 1.0:
        per_speed = 0.0
    return _Still(
        frame,
        per_speed,
        c.short_left * waves / c.bar_wavenumber,
        c.divider_share * c.divider_width / m.width,
        c.best_lead + c.best_lead_lodged * f.lodging,
        max(c.level_speed_limit - c.slope_speed_fall * f.slope, c.least_slope_speed),
        c.loose_decay + c.loose_lodging_decay * f.lodging,
        _SPAN / (c.feedrate_factor * (m.feedrate_at_3 - m.feedrate_at_1)),
    )


@_compiled
def _reel_losses(f: Any, m: Any, c: Any, k: Any, s: Any) -> Any:
    """Shares shattered and not carried in; reel index."""
    speed, rate, height, lead, cut, _ = s
    index = m.reel_tip_radius * rate / speed
    entry = speed * math.sqrt(max(index * index - 1.0, 0.0))
    error = height - (f.crop_height - cut + m.reel_tip_radius / max(index, 1.0))
    threshold = c.shatter_speed + c.shatter_moisture_slope * (
        f.moisture - c.reference_moisture
    )
    blows = c.shatter_amplitude / (
        1.0 + math.exp((threshold - entry) / c.shatter_speed_width)
    )
    low = min(error, 0.0) / c.reel_height_scale
    shatter = 1.0 - math.exp(
        math.log(1.0 - blows) * (1.0 + c.low_reel_shatter * low * low)
    )
    ahead, over = (lead - k.lead) / c.lead_scale, error / c.reel_height_scale
    loose = c.loose_amplitude * (1.0 + ahead * ahead) * (1.0 + over * over)
    loose = min(loose * math.exp((1.0 - index) / k.lodged_decay), 1.0)
    return shatter, loose, index


@_compiled
def _flexed(square: Any, travel: Any) -> Any:
    """What a bar of some travel leaves of a gap, both squared."""
    reach = travel / (2.0 * math.sqrt(square))
    density = math.exp(-0.5 * reach * reach) / _ROOT_TWO_PI
    left = (1.0 + reach * reach) * _below(-reach) - reach * density
    return square * 2.0 * max(left, 0.0)


@_compiled
def _knife(m: Any, c: Any, k: Any, s: Any) -> Any:
    """Bunched share, true cut height, its variance, and the share of the way dug."""
    speed, cut = s[0], s[4]
    advance = speed / m.stroke_rate
    edge = m.knife_edge * (m.knife_stroke / m.knife_pitch)
    bunched = (
        c.bunched_coefficient * m.bunched_ratio * (1.0 - edge / max(advance, edge))
    )
    aside = m.knife_pitch - c.ledger_width * m.ledger_ratio
    square = (1.0 - bunched) * aside * aside + bunched * advance * advance
    frame = k.frame + k.per_speed * speed
    if m.carried == 0.0:
        frame = _flexed(frame, m.bar_travel)
    rough = frame + k.short
    spread = math.sqrt(rough)
    stands = cut + c.riding * spread if m.carried == 0.0 else cut
    height = math.sqrt(stands * stands + c.deflection_share * square)
    return bunched, height, rough, _below((c.digging_height - cut) / spread)


@_compiled
def _stubble(f: Any, c: Any, height: Any, rough: Any) -> Any:
    """Share left on the stubble."""
    lowest = f.lowest_grain - c.low_offset
    spread = math.sqrt(c.low_spread * c.low_spread + rough)
    score = (height - lowest) / spread
    below = _below(score)
    density = math.exp(-0.5 * score * score) / _ROOT_TWO_PI
    share = min(c.pod_share * spread * (score * below + density), 1.0)
    if c.head_share > 0.0:
        spread = math.sqrt(c.head_spread * c.head_spread + rough)
        main = _below((height - (f.crop_height - c.head_drop)) / spread)
        share += c.late_share * below + (c.head_share - c.late_share) * main
    return share


@_compiled
def _one(f: Any, m: Any, c: Any, k: Any, s: Any) -> Any:
    """Cost of one set of settings, and whether a hard limit is broken."""
    speed, _, height, _, cut, belt = s
    shatter, loose, index = _reel_losses(f, m, c, k, s)
    bunched, true_height, rough, dug = _knife(m, c, k, s)
    relief = math.exp(c.lodged_reel_relief * (1.0 - index))
    lodged = 1.0 - math.exp(-c.lodged_share * relief * f.lodging * true_height)
    straw = f.mog_ratio * (1.0 - c.straw_left * min(cut / f.crop_height, 1.0))
    feedrate = speed * m.width * f.crop_yield * straw
    climb = k.slope * (feedrate - m.feedrate_at_1 * c.feedrate_factor)
    behind = LEVEL_AT_1 * math.exp(min(climb, _MOST_CLIMB))
    kept = (1.0 - k.divider) * (1.0 - shatter) * (1.0 - lodged)
    kept *= 1.0 - _stubble(f, c, true_height, rough)
    kept *= (1.0 - c.bunched_loss * bunched) * (1.0 - loose) * (1.0 - behind)
    inflow = f.crop_yield * (1.0 + straw) * speed * m.side_width
    depth = inflow / (c.mat_density * m.belt_depth * belt)
    slug = depth / (c.mat_compression * m.feed_gap)
    stoppages = slug**c.stoppage_steepness / c.stoppage_area
    cost = m.hour_cost / (m.width * speed * m.field_efficiency)
    cost += f.grain_price * f.crop_yield * (1.0 - kept)
    cost += stoppages * c.stoppage_time * m.hour_cost + c.digging_cost * dug
    power = c.base_power + c.energy_per_mog * feedrate + c.travel_force * speed
    broken = height - m.reel_tip_radius - m.bar_rise < m.least_finger_gap
    broken |= slug > c.plug_limit
    broken |= power > m.engine_power
    broken |= speed > k.limit
    broken |= (m.carried == 2.0) & (m.senses_off_ground == 0.0)
    return cost, broken


@_compiled
def costs(f: Any, m: Any, c: Any, settings: Any, cost: Any, broken: Any) -> None:
    """Fill cost [money/m^2] and broken for every column of the six ``SETTINGS``."""
    k = _still(f, m, c)
    speed, rate, height, lead, cut, belt = settings
    for i in range(len(cost)):
        s = (speed[i], rate[i], height[i], lead[i], cut[i], belt[i])
        cost[i], broken[i] = _one(f, m, c, k, s)
