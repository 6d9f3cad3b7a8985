"""The flow of crop as belts, drum and clutch are found, and what it does to a run."""

from typing import NamedTuple

import numpy as np

from academy.engine import (
    crossing,
    drum,
    drum_run,
    feeding,
    guard,
    mat_along,
    processing,
    side_belt,
)
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine, Settings
from academy.engine.drum_run import DrumRun
from academy.engine.flow_state import FlowCoefficients, FlowState, Mouth, check
from academy.engine.readings import Flags
from academy.engine.si import Metre, MetrePerSecond, Ratio, Watt
from academy.engine.side_belt import BeltRun, Site
from academy.engine.stand import Stand

__all__ = ["FlowCoefficients", "FlowEffect", "FlowState", "Mouth", "flow_effect"]


class FlowEffect(NamedTuple):
    """What the flow does to a run, and what is read of it."""

    # for the run
    slugging_index: Ratio  # in place of the run's
    stoppage_factor: Ratio  # of the stoppages that this index brings
    crossing_loss: Ratio  # extra share of the crop
    belt_leak: Ratio  # extra share of the crop
    extra_power: Watt
    flags: dict[str, Flags]
    # read by people
    slugging_factor: Ratio  # of the index, by drum and fingers
    mat_depth: Metre  # the deeper of the two, all crop of its side laid on
    left_depth: Metre
    right_depth: Metre
    left_speed: MetrePerSecond  # as the belt truly runs
    right_speed: MetrePerSecond
    left_slip: Ratio
    right_slip: Ratio
    left_tension: Ratio  # now, of the middle of the marks
    right_tension: Ratio
    left_walk: Metre  # off the track, towards the rear
    right_walk: Metre
    left_centre: Metre  # depth on the left half of the centre belt
    right_centre: Metre
    imbalance: Ratio
    crossing_over: Ratio  # share of the crop that lands on the opposite belt
    wrap_tendency: Ratio
    carry_over: Ratio
    bunching: Ratio
    fling: Ratio
    overtight: Ratio  # tension beyond the upper mark, over that mark
    clutch_load: Ratio
    power: Watt  # of both belts and the drum


def _crossed(site: Site, one: BeltRun, other: BeltRun) -> Ratio:
    """Share of one side's crop that lands on the opposite belt."""
    c, mouth = site.c, site.mouth
    alone = crossing.unopposed_share(one.flow, one.speed, other.flow, other.speed)
    past = crossing.crossing_share(
        one.speed, c.belt_drop, one.edge_depth, mouth.opening, mouth.gravity
    )
    held = c.deflector_hold if site.state.deflector == "on" else 0.0
    share: Ratio = alone * past * (1.0 - held)
    return share


def _of_both(left: Ratio, right: Ratio, runs: tuple[BeltRun, BeltRun]) -> Ratio:
    """Mean of two shares, each weighed by the crop of its side; 0 without crop."""
    flows = np.asarray(runs[0].flow) + runs[1].flow
    brought = left * runs[0].flow + right * runs[1].flow
    mean: Ratio = brought / np.where(flows > 0, flows, 1.0)
    return mean


def _centre(site: Site, run: BeltRun) -> Metre:
    """Depth on one half of the centre belt."""
    return mat_along.centre_depth(
        run.flow,
        site.coefficients.mat_density,
        site.mouth.opening / 2.0,
        site.c.centre_belt_speed,
    )


def _off_marks(run: BeltRun, c: FlowCoefficients) -> Flags:
    low: Flags = np.asarray(run.tension) < c.mark_low
    return low | (np.asarray(run.tension) > c.mark_high)


def _flags(
    site: Site, left: BeltRun, right: BeltRun, index: Ratio, load: Ratio
) -> dict[str, Flags]:
    c, setting = site.c, site.state.clutch_setting
    plugged = np.asarray(index) > site.coefficients.plug_limit
    slips = np.asarray(load) > setting
    stalls = np.maximum(left.slip, right.slip) >= c.stall_slip
    rubs = np.maximum(np.abs(left.walk), np.abs(right.walk)) > c.walk_free
    return {
        "belt_off_marks": _off_marks(left, c) | _off_marks(right, c),
        "belt_edge_rubs": rubs,
        "belt_slips": np.maximum(left.slip, right.slip) > 0.0,
        "belt_stalls": stalls,
        "clutch_slips": slips,
        "driveline_unprotected": plugged & ~slips,
        "plug_up": plugged | slips | stalls,
    }


def _overtight(left: BeltRun, right: BeltRun, c: FlowCoefficients) -> Ratio:
    tightest = np.maximum(left.tension, right.tension)
    over: Ratio = np.maximum(tightest / c.mark_high - 1.0, 0.0)
    return over


def _joined(site: Site, runs: tuple[BeltRun, BeltRun], turning: DrumRun) -> FlowEffect:
    left, right = runs
    c, coefficients = site.c, site.coefficients
    depth = np.maximum(left.depth, right.depth)
    index = turning.factor * drum.slugging_index(
        depth, coefficients.mat_compression, site.machine.feed_gap
    )
    load = feeding.clutch_load(index, coefficients.plug_limit, c.clutch_at_plug)
    crossed = _of_both(_crossed(site, left, right), _crossed(site, right, left), runs)
    roller = site.settings.belt_speed
    return FlowEffect(
        slugging_index=index,
        stoppage_factor=1.0
        + c.crossing_stoppages * crossed
        + c.wrap_stoppages * turning.wraps,
        crossing_loss=c.crossing_loss * crossed,
        belt_leak=_of_both(left.leak, right.leak, runs),
        extra_power=(left.extra + right.extra) * roller + turning.extra_power,
        flags=_flags(site, left, right, index, load),
        slugging_factor=turning.factor,
        mat_depth=depth,
        left_depth=left.depth,
        right_depth=right.depth,
        left_speed=left.speed,
        right_speed=right.speed,
        left_slip=left.slip,
        right_slip=right.slip,
        left_tension=left.tension,
        right_tension=right.tension,
        left_walk=left.walk,
        right_walk=right.walk,
        left_centre=_centre(site, left),
        right_centre=_centre(site, right),
        imbalance=mat_along.imbalance(left.flow, right.flow),
        crossing_over=crossed,
        wrap_tendency=turning.wrap,
        carry_over=turning.carry_over,
        bunching=turning.bunching,
        fling=turning.fling,
        overtight=_overtight(left, right, c),
        clutch_load=load,
        power=left.power + right.power + turning.power,
    )


def flow_effect(
    *,
    field: Field,
    machine: Machine,
    settings: Settings,
    stand: Stand,
    toughness: Ratio,
    state: FlowState,
    mouth: Mouth,
    coefficients: Coefficients,
    c: FlowCoefficients,
) -> FlowEffect:
    """What belts, drum and clutch as found do to a run.

    Parameters
    ----------
    field, machine, settings, coefficients : what ``header.run`` takes
    stand : the stand of this hour
    toughness : how tough its stems are, from ``stand.toughness``
    state : belts, drum, clutch, and how much of each side brings crop
    mouth : opening and drum of the header
    c : what is believed of the flow

    Returns
    -------
    the effect; with everything in order, crop from end to end and no more mass than the
    drum clears, factors are 1, extra shares and power 0, and the index the run's

    Raises
    ------
    OutOfRange : when an input lies where it cannot be

    Notes
    -----
    Side belts are taken to carry all the crop of their half, as ``header.run`` does;
    what falls before the opening goes straight to the centre belt, so that the mat at
    the end of the belt is thinner by the opening's share of the width. Of drum,
    fingers, wrapping, tension and clutch only directions are known [judgement].
    """
    check(state)
    guard.fraction("toughness", toughness)
    straw = processing.straw_taken(
        field.mog_ratio,
        settings.cut_height,
        field.crop_height,
        coefficients.straw_left,
    )
    crop_mass = field.crop_yield * (1.0 + straw)
    site = Site(machine, settings, state, mouth, coefficients, c, crop_mass)
    belts = side_belt.belts_of(state, machine)
    left, right = (side_belt.run(site, belt) for belt in belts)
    stem_length = np.maximum(field.crop_height - settings.cut_height, 0.0)
    turning = drum_run.run(
        site, np.asarray(left.flow) + right.flow, stem_length, stand, toughness
    )
    return _joined(site, (left, right), turning)
