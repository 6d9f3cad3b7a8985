"""A header at work in the state it is found in: every part of it joined into one run.

``header.run`` takes a header in good order. Here its parts may be in any state: the
width is cut into strips, each strip runs with its own reel height, cut height, travel
and float, and the strips are averaged. Then belts and drum take what the strips cut.
With every part as it should be this is ``header.run``.
"""

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from academy.engine import across, header
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine, Settings
from academy.engine.flow import FlowEffect
from academy.engine.header import CutStage, ReelStage
from academy.engine.knife_effect import KnifeEffect
from academy.engine.readings import LOSS_PIECES, Flags, Readings
from academy.engine.si import Metre, Number, Ratio
from academy.engine.whole_effects import Effects, effects_of
from academy.engine.whole_state import (
    Beliefs,
    Build,
    State,
    Strips,
    WholeReadings,
)

STRIPS = 24
R = TypeVar("R", Field, Machine, Settings, Coefficients)


def _wide(record: R) -> R:
    """The record with an axis for the strips behind every array in it."""
    arrays: dict[str, Any] = {
        field.name: across.spread_out(value)
        for field in fields(record)
        if isinstance(value := getattr(record, field.name), np.ndarray)
    }
    return replace(record, **arrays) if arrays else record


def scaled(share: Ratio, factor: Ratio) -> Ratio:
    """A share of what passes, when what takes it acts ``factor`` times as often.

    Never above 1: what is gone cannot go again.

    Parameters
    ----------
    share : [1] share lost, from 0 to below 1
    factor : [1] how many times as often

    Returns
    -------
    [1] share lost

    Raises
    ------
    Nothing.

    Notes
    -----
    ``1 − (1 − L)^f`` [mass-balance]: ``f L`` while the share is small.

    Examples
    --------
    >>> round(float(scaled(0.5, 2.0)), 6)
    0.75
    """
    lost: Ratio = -np.expm1(factor * np.log1p(np.negative(share)))
    return lost


def together(one: Ratio, other: Ratio) -> Ratio:
    """Share lost to two causes, each taking its share of what the other leaves.

    Parameters
    ----------
    one : [1] share lost to one
    other : [1] share lost to the other

    Returns
    -------
    [1] share lost to either

    Raises
    ------
    Nothing.

    Notes
    -----
    ``1 − (1 − a)(1 − b)`` [mass-balance].

    Examples
    --------
    >>> together(0.5, 0.5)
    0.75
    """
    return one + (1.0 - one) * other


def _apart(value: Number) -> NDArray[np.float64]:
    """A value over the places; what is alike at all of them, at one place alone."""
    laid = np.asarray(value)
    first = laid[..., :1]
    return laid if np.any(laid != first) else first


def _over_width(value: Number) -> Number:
    """The mean over the places along the last axis; one alike at all needs no sum."""
    laid = np.asarray(value)
    alike = laid.strides[-1] == 0 or laid.shape[-1] == 1
    mean: Number = laid[..., 0] if alike else np.mean(laid, axis=-1)
    return mean


def _cut(cut: CutStage, knife: KnifeEffect) -> CutStage:
    """The cut of a knife in good order, as the knife found changes it."""
    bunched = cut.bunched + across.spread_out(knife.bunched_add)
    height = cut.true_cut_height + across.spread_out(knife.stubble_add)
    return cut._replace(
        bunched=np.clip(bunched, 0.0, 1.0), true_cut_height=np.maximum(height, 0.0)
    )


def _cut_height(height: Metre, done: Effects) -> Metre:
    """The cut height over the places; the ground stops what would go below it."""
    added = across.spread_out(done.bar.height_add) + _apart(done.bar.tilt_add)
    found: Metre = height + added + _apart(done.wings.cut_height_add)
    return np.maximum(found, 0.0) if np.any(np.less(found, 0.0)) else found


def _strips(
    field: Field,
    machine: Machine,
    settings: Settings,
    c: Coefficients,
    done: Effects,
    places: NDArray[np.float64],
    mog_feedrate: Number,
) -> tuple[Strips, Ratio]:
    """The strips, and what the combine loses of what reaches it."""
    f, m, s, w = _wide(field), _wide(machine), _wide(settings), _wide(c)
    held = _apart(done.wings.travel_factor) * done.bar.travel_factor
    sections = 1.0 + (m.sections - 1.0) * held  # stiff wings are one with the centre
    m = replace(
        m,
        bar_travel=m.bar_travel * held,
        sections=sections,
        control_bandwidth=m.control_bandwidth
        * across.spread_out(done.bar.control_factor),
    )
    s = replace(
        s,
        reel_height=s.reel_height + _apart(done.reel_sections.reel_height_add),
        cut_height=_cut_height(s.cut_height, done),
        float_force=s.float_force
        * _apart(done.wings.float_factor)
        * across.spread_out(done.bar.float_factor),
    )
    r = header.reel_stage(f, m, s, w)
    cut = _cut(header.cut_stage(f, m, s, w), done.knife)
    if machine.carried == "ground":
        soil = together(cut.digging, _apart(done.wings.soil_taken))
        cut = cut._replace(digging=soil)
    shares = header.shares(f, m, s, w, r, cut, across.spread_out(mog_feedrate))
    factors = {
        "divider": done.ends.divider_factor,
        "shatter": done.knife.shatter_factor * done.hour.shatter_factor,
        "knife": done.knife.knife_factor,
        "processing": done.threshing.processing_factor,
    }
    for name, factor in factors.items():
        if np.any(factor != 1.0):
            shares[name] = scaled(shares[name], across.spread_out(factor))
    uncut = across.spread_out(done.knife.uncut)
    shares["knife"] = together(shares["knife"], uncut)
    shares["lodged"] = together(shares["lodged"], across.spread_out(done.hour.stalk))
    behind = np.asarray(shares.pop("processing"))[..., 0]
    gathered = header.in_turn(shares)
    shape = np.broadcast_shapes(places.shape, *(np.shape(x) for x in shares.values()))
    laid = {name: np.broadcast_to(share, shape) for name, share in gathered.items()}
    return Strips(places, laid, r, cut), behind


def _pieces(strips: Strips, flow: FlowEffect, behind: Ratio) -> dict[str, Ratio]:
    """Share of the standing crop lost at each stage; strips weigh alike."""
    pieces: dict[str, Ratio] = {
        name: _over_width(share) for name, share in strips.pieces.items()
    }
    left: Ratio = 1.0 - sum(pieces.values())
    then = {
        "belt_leak": flow.belt_leak,
        "crossing_over": flow.crossing_loss,
        "processing": behind,
    }
    for name, share in header.in_turn(then).items():
        pieces[name] = left * share
    return pieces


def _mean(stage: ReelStage | CutStage) -> dict[str, Number]:
    """Each reading of a stage on average over the width."""
    return {
        name: _over_width(value) if np.ndim(value) else value
        for name, value in stage._asdict().items()
    }


def _flow(
    field: Field, machine: Machine, settings: Settings, c: Coefficients, done: Effects
) -> dict[str, Number]:
    """Mat, feedrate, engine load and area rate, with belts and knife as found."""
    flow = dict(header.flow_stage(field, machine, settings, c))
    flow["mat_depth"] = done.flow.mat_depth
    flow["slugging_index"] = done.flow.slugging_index
    straw = c.energy_per_mog * flow["mog_feedrate"]
    green = straw * (done.threshing.work_factor - 1.0)
    extra = done.flow.extra_power + done.knife.power_add + green
    flow["engine_load"] = flow["engine_load"] + extra / machine.engine_power
    return flow


def _costs(
    field: Field,
    machine: Machine,
    c: Coefficients,
    flow: dict[str, Number],
    cut: Mapping[str, Number],
    done: Effects,
    total_loss: Ratio,
) -> dict[str, Number]:
    costs: dict[str, Number] = dict(
        header.costs(field, machine, c, flow, cut["digging"], total_loss)
    )
    more = costs["stoppage_cost"] * (done.flow.stoppage_factor - 1.0)
    costs["stoppage_cost"] = costs["stoppage_cost"] + more
    costs["cost"] = costs["cost"] + more
    return costs


def _violations(found: Mapping[str, Flags], done: Effects) -> dict[str, Flags]:
    """Limits that are broken, by the settings or by any part."""
    broken = dict(found)
    more = (
        done.knife.violations,
        done.reel_sections.violations,
        done.wings.violations,
        done.bar.violations,
        {"plug_up": done.flow.flags["plug_up"]},
    )
    for each in more:
        for name, flag in each.items():
            broken[name] = np.logical_or(broken.get(name, False), flag)
    return broken


def run(
    field: Field,
    machine: Machine,
    settings: Settings,
    c: Coefficients,
    build: Build,
    state: State,
    believed: Beliefs,
) -> WholeReadings:
    """Readings of a header at work in the state it is found in.

    What is lost where over the width, what the parts do, what the day costs.

    Parameters
    ----------
    field, machine, settings, c : as ``header.run`` takes them; numbers or arrays.
        The field is that of this hour; of the hour's state only the waiting counts
    build : what the header is built like beyond its measures
    state : the stand and the state of each part; figures are numbers or arrays
    believed : what is believed of stems and parts; numbers or arrays

    Returns
    -------
    readings of the shape that the inputs broadcast to; those of the strips with one
    more axis at the end

    Raises
    ------
    OutOfRange : when an input lies where it cannot be

    Notes
    -----
    Each strip is a narrow header of its own up to the belts; all weigh alike. Then
    losses of belts, crossing over and combine follow in turn: the total is the sum of
    the pieces [mass-balance]. With every part as it should be it is ``header.run``.
    """
    places = np.asarray(across.places(STRIPS))
    done = effects_of(field, machine, settings, c, build, state, believed, places)
    flow = _flow(field, machine, settings, c, done)
    strips, behind = _strips(
        field, machine, settings, c, done, places, flow["mog_feedrate"]
    )
    pieces = _pieces(strips, done.flow, behind)
    header_loss: Ratio = sum(pieces[name] for name in LOSS_PIECES[:-1])
    total = header_loss + pieces["processing"]
    reel, cut = _mean(strips.reel), _mean(strips.cut)
    reel["finger_gap"] = done.reel_sections.least_finger_gap
    level = header.reel_stage(field, machine, settings, c)
    found = header.violations(field, machine, settings, c, level, flow)
    readings = Readings(
        **pieces,
        header_loss=header_loss,
        total_loss=total,
        **reel,
        **cut,
        **flow,
        **header.float_stage(settings, c),
        **_costs(field, machine, c, flow, cut, done, total),
        violations=_violations(found, done),
    )
    return WholeReadings(readings=readings, strips=strips, **done._asdict())
