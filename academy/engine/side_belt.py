"""One side belt at work: its grip, its load, its true speed and its mat."""

from typing import NamedTuple

import numpy as np

from academy.engine import belt_drive, draper, mat_along
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Machine, Settings
from academy.engine.flow_state import FlowCoefficients, FlowState, Mouth
from academy.engine.si import (
    KilogramPerSecond,
    KilogramPerSquareMetre,
    Metre,
    MetrePerSecond,
    Newton,
    Ratio,
    Watt,
)


class Site(NamedTuple):
    """All that belts and drum work with."""

    machine: Machine
    settings: Settings
    state: FlowState
    mouth: Mouth
    coefficients: Coefficients
    c: FlowCoefficients
    crop_mass: KilogramPerSquareMetre  # grain and straw that come in

    @property
    def length(self) -> Metre:
        """Length of a side belt, from its outer end to the opening [m]."""
        return self.machine.side_width - self.mouth.opening / 2.0


class Belt(NamedTuple):
    """One side belt as found, and where its crop stands."""

    front: Ratio
    rear: Ratio
    seized: Newton
    gap: Metre
    start: Metre
    band: Metre


class BeltRun(NamedTuple):
    """What a belt does."""

    tension: Ratio  # now, of the middle of the marks
    extra: Newton  # drag that a belt in order has not
    slip: Ratio
    speed: MetrePerSecond
    flow: KilogramPerSecond
    depth: Metre  # all crop of its side laid on
    edge_depth: Metre  # as it leaves the belt
    walk: Metre
    leak: Ratio
    power: Watt


def belts_of(state: FlowState, machine: Machine) -> tuple[Belt, Belt]:
    """The left and the right belt as found."""
    left, right, wide = state.left_crop, state.right_crop, machine.side_width
    return (
        Belt(
            state.left_front_tension,
            state.left_rear_tension,
            state.left_roller_drag,
            state.left_seal_gap,
            *mat_along.crop_band(left, right, wide),
        ),
        Belt(
            state.right_front_tension,
            state.right_rear_tension,
            state.right_roller_drag,
            state.right_seal_gap,
            *mat_along.crop_band(right, left, wide),
        ),
    )


def _extra_drag(belt: Belt, tension: Ratio, walk: Metre, c: FlowCoefficients) -> Newton:
    """Of seized rollers, edges and seals that rub, and bearings of a belt too tight."""
    rubbed = np.maximum(1.0 - np.asarray(belt.gap) / c.seal_rub_gap, 0.0)
    edge = np.maximum(np.abs(walk) / c.walk_free - 1.0, 0.0)
    tight = np.maximum(tension - c.mark_high, 0.0) * c.mark_tension
    extra: Newton = (
        belt.seized + c.belt_scraping * (rubbed + edge) + c.bearing_drag * tight
    )
    return extra


def _drag(site: Site, belt: Belt) -> Newton:
    """Pull that a belt in order needs at full speed."""
    s, c = site.settings, site.c
    on_belt = mat_along.crop_on_belt(
        site.crop_mass,
        s.ground_speed,
        s.belt_speed,
        site.length,
        belt.start,
        belt.band,
    )
    laid = mat_along.laid_width(site.length, belt.start, belt.band)
    return belt_drive.belt_drag(
        on_belt + c.belt_mass * site.machine.belt_depth * site.length,
        c.bed_friction,
        site.mouth.gravity,
        c.belt_scraping,
        site.crop_mass * s.ground_speed * laid,
        s.belt_speed,
    )


def _depth(site: Site, speed: MetrePerSecond, width: Metre) -> Metre:
    return draper.mat_depth(
        site.crop_mass,
        site.settings.ground_speed,
        width,
        site.coefficients.mat_density,
        speed,
        site.machine.belt_depth,
    )


def _pull(site: Site, tension: Ratio) -> Newton:
    """Greatest pull of the drive roller, clean or fouled."""
    c = site.c
    grip = c.roller_friction * (1.0 - c.fouled_friction * site.state.roller_fouling)
    return belt_drive.drive_pull(c.mark_tension * tension, grip, c.roller_wrap)


def run(site: Site, belt: Belt) -> BeltRun:
    """The belt at work at the settings of the site."""
    c, state, roller_speed = site.c, site.state, site.settings.belt_speed
    tension = (np.asarray(belt.front) + belt.rear) / 2.0
    tension = tension * belt_drive.kept_tension(
        state.belt_age, state.since_tension, c.belt_stretch, c.stretch_time
    )
    walk = belt_drive.belt_walk(belt.front, belt.rear, c.walk_gain)
    extra = _extra_drag(belt, tension, walk, c)
    drag, pull = _drag(site, belt) + extra, _pull(site, tension)
    slip = belt_drive.slip_share(pull, drag, c.slip_steepness, c.stall_slip)
    speed = roller_speed * (1.0 - slip)
    laid = mat_along.laid_width(site.length, belt.start, belt.band)
    gap = belt.gap + np.maximum(walk - c.walk_free, 0.0)
    return BeltRun(
        tension=tension,
        extra=extra,
        slip=slip,
        speed=speed,
        flow=site.crop_mass * site.settings.ground_speed * belt.band,
        depth=_depth(site, speed, belt.band),
        edge_depth=_depth(site, speed, laid),
        walk=walk,
        leak=belt_drive.leak_share(gap, c.seal_free_gap, c.seal_gap_scale, c.seal_leak),
        power=np.minimum(drag, pull) * roller_speed,
    )
