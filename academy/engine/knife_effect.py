"""What the state of the knife does to the crop, to the drive and to the hands' work.

Sharp sections of the header's own kind, in register, with hold-downs as the book says
and the drive at full strokes, change nothing: factors are 1 and additions 0.
"""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from academy.engine import knife, knife_drive, knife_edge, knife_fit
from academy.engine.conditions import Machine, Settings
from academy.engine.cutting_diagram import Knife
from academy.engine.cutting_table import Cut, cut
from academy.engine.knife_state import KnifeCoefficients, KnifeState
from academy.engine.readings import Flags
from academy.engine.si import (
    Count,
    Kelvin,
    Metre,
    MetrePerSecond,
    PerSecond,
    Ratio,
    Watt,
)
from academy.engine.stand import Stand


class KnifeEffect(NamedTuple):
    """What the composition applies, then what people see; each a number or an array."""

    bunched_add: Ratio  # onto the share of bunched stems; below 0 where it is spared
    stubble_add: Metre  # onto the true cut height, by how stems are bent at the cut
    knife_factor: Ratio  # on the loss at the knife
    shatter_factor: Ratio  # on the loss by shatter
    uncut: Ratio  # extra share of the crop left standing
    power_add: Watt  # onto the power of the machine, against a knife in order
    # readings
    bunched: Ratio
    once: Ratio
    recut: Ratio
    aside: Metre
    ahead: Metre
    folded: Ratio
    pulled: Ratio
    ragged: Ratio  # share of stubs that are bunched, folded or pulled
    serration: Ratio
    drag: Ratio
    power_mean: Watt
    power_peak: Watt  # in the fullest stroke
    gap_peak: Ratio  # stems at one gap in its fullest stroke, against the mean
    hold_down_excess: Kelvin
    bearing_band: Count  # a number of ``knife_fit.BANDS``
    violations: Mapping[str, Flags]
    signs: Mapping[str, Flags]


class _Edge(NamedTuple):
    """How the edges deal with one stand."""

    folded: Ratio
    pulled: Ratio
    work: Ratio  # factor on the work of cutting
    serration: Ratio
    drag: Ratio


class _Drive(NamedTuple):
    mean: Watt
    stems: Watt


def _speed(machine: Machine, state: KnifeState) -> tuple[PerSecond, MetrePerSecond]:
    rate = machine.stroke_rate * state.stroke_share
    return rate, knife.mean_knife_speed(machine.knife_stroke, rate)


def _edge(
    speed: MetrePerSecond,
    settings: Settings,
    stand: Stand,
    tough: Ratio,
    state: KnifeState,
    relief: Ratio,
    c: KnifeCoefficients,
) -> _Edge:
    force = knife_edge.edge_force(state.wear, c.dull_force)
    serration = knife_edge.serration_factor(
        knife_edge.LEANS[state.serration],
        stand.stem_thickness,
        c.serration_gain,
        c.serration_thickness,
        c.serration_width,
    )
    return _Edge(
        folded=knife_fit.folded_share(
            state.hold_down_clearance,
            state.vertical_play,
            c.widest_clearance,
            stand.stem_thickness,
            tough,
            c.fold_rate,
            c.fold_tough,
        ),
        pulled=knife_edge.pulled_share(
            force, speed, c.least_knife_speed, tough, c.pull_rate, c.pull_tough
        ),
        work=force * serration,
        serration=serration,
        drag=knife_edge.drag_tendency(
            stand.residue, settings.cut_height, relief, c.drag_residue, c.drag_height
        ),
    )


def _drive(
    machine: Machine,
    settings: Settings,
    stand: Stand,
    rate: PerSecond,
    work_factor: Ratio,
    rubbing: Ratio,
    c: KnifeCoefficients,
) -> _Drive:
    width, stroke = machine.width, machine.knife_stroke
    work = knife_drive.stem_work(
        stand.stem_thickness, c.stem_work, c.stem_reference, c.stem_exponent
    )
    stems = knife_drive.cutting_power(
        work * work_factor, stand.stem_density, width, settings.ground_speed
    )
    sliding = knife_drive.friction_power(c.bar_friction, width, stroke, rate)
    turning = knife_drive.inertia_power(
        c.knife_mass, width, stroke, rate, c.inertia_lost
    )
    return _Drive(mean=stems + sliding * rubbing + turning, stems=stems)


def _peak(
    across: Metre, advance: Metre, row_angle: Ratio, c: KnifeCoefficients
) -> Ratio:
    """Fullest against mean stroke of a length of bar, by the longer of its windows."""
    window = np.maximum(
        across * np.abs(np.cos(row_angle)), advance * np.abs(np.sin(row_angle))
    )
    return knife_drive.row_peak(window, c.row_distance, c.row_band)


def _stubble(cut_height: Metre, made: Cut) -> Metre:
    return knife.stubble_length(cut_height, np.hypot(made.aside, made.ahead))


def _either(*shares: Ratio) -> Ratio:
    left: Ratio = 1.0
    for share in shares:
        left = left * (1.0 - share)
    return 1.0 - left


def _signs(
    state: KnifeState,
    excess: Kelvin,
    speed: MetrePerSecond,
    band: Count,
    c: KnifeCoefficients,
) -> dict[str, Flags]:
    gap = state.hold_down_clearance + state.vertical_play
    return {
        "hold_down_wide": gap > c.widest_clearance,
        "hold_down_tight": excess > c.clearly_hotter,
        "out_of_register": np.abs(state.register) > c.register_tolerance,
        "knife_slow": speed < c.least_knife_speed,
        "bearing_hot": band >= 3.0,
    }


def knife_effect(
    *,
    machine: Machine,
    settings: Settings,
    stand: Stand,
    toughness: Ratio,
    state: KnifeState,
    kinds: Mapping[str, Knife],
    built: str,
    c: KnifeCoefficients,
) -> KnifeEffect:
    """What the knife as found does, against the header's own in good order.

    Where stems are bunched, folded, torn or left, what old stalks do, how much power
    the drive takes and how hot it runs.

    Parameters
    ----------
    machine : header and combine; its stroke rate is the one the drive should make
    settings : pace and cut height
    stand : stems of this hour, old stalks and the way of the rows
    toughness : of the stems, from 0 to 1 (``stand.toughness``)
    state : the knife as found
    kinds : measures of every kind of knife by key
    built : key of the kind that the header was built with
    c : what is believed of knives

    Returns
    -------
    additions and factors to apply, then readings

    Raises
    ------
    OutOfRange : when an input lies where it cannot be

    Notes
    -----
    Bunching, recutting and bending come from the diagram of the kind at the advance as
    it really is, and are applied against the header's own knife at full strokes
    [kinematics]. Mean power is exact for what is believed of its parts; the peak is
    that of the fullest stroke, taken on the longer side of the ground cut in it
    [kinematics]. Of folding, pulling, serration, dragging and heat only the direction
    is known [judgement].
    """
    made_of = kinds[state.kind]
    rate, speed = _speed(machine, state)
    advance = knife.advance_per_stroke(settings.ground_speed, rate)
    usual = knife.advance_per_stroke(settings.ground_speed, machine.stroke_rate)
    made, wanted = cut(made_of, advance, state.register), cut(kinds[built], usual, 0.0)
    relief = 0.0 if made_of.uniform else c.alternating_relief
    edge = _edge(speed, settings, stand, toughness, state, relief, c)
    tight = knife_fit.tightness(state.hold_down_clearance, c.free_clearance)
    rubbing = (1.0 + c.tight_friction * tight) * (1.0 + c.fold_drag * edge.folded)
    drive = _drive(machine, settings, stand, rate, edge.work, rubbing, c)
    order = _drive(machine, settings, stand, machine.stroke_rate, 1.0, 1.0, c)
    peak = _peak(machine.width, advance, stand.row_angle, c)
    excess = knife_fit.hold_down_excess(
        tight, speed / c.least_knife_speed, state.run_time, c.tight_heat, c.heat_time
    )
    band = knife_fit.bearing_band(
        state.bearing_temperature,
        c.bearing_normal_low,
        c.bearing_normal_high,
        c.bearing_act,
        c.bearing_stop,
    )
    height = settings.cut_height
    losing = (1.0 + c.pull_loss * edge.pulled) * (1.0 + c.drag_loss * edge.drag)
    return KnifeEffect(
        bunched_add=made.bunched - wanted.bunched,
        stubble_add=_stubble(height, made) - _stubble(height, wanted),
        knife_factor=edge.serration * losing,
        shatter_factor=1.0 + c.pull_shatter * edge.pulled,
        uncut=c.fold_uncut * edge.folded,
        power_add=drive.mean - order.mean,
        bunched=made.bunched,
        once=made.once,
        recut=made.recut,
        aside=made.aside,
        ahead=made.ahead,
        folded=edge.folded,
        pulled=edge.pulled,
        ragged=_either(made.bunched, edge.folded, edge.pulled),
        serration=edge.serration,
        drag=edge.drag,
        power_mean=drive.mean,
        power_peak=drive.mean + drive.stems * (peak - 1.0),
        gap_peak=_peak(made_of.pitch, advance, stand.row_angle, c),
        hold_down_excess=excess,
        bearing_band=band,
        violations={"bearing_stop": band >= 4.0},
        signs=_signs(state, excess, speed, band, c),
    )
