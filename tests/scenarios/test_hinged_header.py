"""The hinged header as a machine: parts, half-pitch knife, its use in any crop."""

from dataclasses import replace

import numpy as np
import pytest

from academy.catalog import coefficients, combines, crops, headers, knives
from academy.engine import header
from academy.engine.cutting_diagram import Knife, diagram
from academy.engine.cutting_pattern import bunched_share
from academy.scenarios import conditions

MM, INCH, FOOT = 1e-3, 0.0254, 0.3048
HINGED = headers.load("hinged30")
VALUES = coefficients.load("soybean").values
MEASURES = ("knife_pitch", "knife_stroke", "knife_edge", "knife_tip", "ledger_width")
# Bunched stems of half-pitch sections at an advance [mm], worked out stem by stem
# outside this program for a harmonic 38.1 mm stroke on half the advance.
HALF_PITCH = [(60, 0.007), (80, 0.068), (100, 0.153), (120, 0.232)]


def machine(key="hinged30", carried="ground"):
    return headers.machine(headers.load(key), combines.load("middle"), carried)


def facts(crop="soybean", key="hinged30", carried="ground"):
    whole = {"crop": crop, "header": key, "combine": "middle"}
    return whole | {"ground": "ordinary", "carried": carried}


def run(crop, key, carried, **settings):
    told = facts(crop, key, carried)
    return header.run(
        conditions.field_of(told),
        conditions.machine_of(told),
        replace(conditions.as_found(told), **settings),
        coefficients.load(crop).values,
    )


@pytest.mark.parametrize("other", ["flex35", "flex40"])
def test_it_differs_from_the_others_in_build_and_in_parts(other):
    theirs = headers.load(other).parts
    for part in ("reel_parts", "wings", "build", "sensors"):
        assert getattr(HINGED.parts, part) != getattr(theirs, part), part
    made = machine()
    assert made.width == pytest.approx(30 * FOOT)
    assert made.side_width == pytest.approx(made.width / 2)
    assert made.bar_travel == 0.0
    assert made.knife_pitch == pytest.approx(1.5 * INCH)
    assert made.knife_stroke == pytest.approx(2 * made.knife_pitch)


def test_its_knife_is_the_half_pitch_one_of_the_diagram():
    half = knives.of("half-pitch")
    known = dict(half.figures())
    names = ("pitch", "stroke", "edge", "tip", "ledger")
    for name, measure in zip(names, MEASURES, strict=True):
        ours = getattr(HINGED.measures, measure).si()[1]
        assert ours == pytest.approx(known[name].si()[1]), name


@pytest.mark.parametrize("key", ["flex35", "flex40"])
def test_standard_sections_are_their_own_measure(key):
    made = machine(key)
    assert (made.bunched_ratio, made.ledger_ratio, made.sections) == (1.0, 1.0, 1.0)
    assert made.knife_pitch == made.knife_stroke


def compact(advance, made=None):
    made = made or machine()
    edges = made.knife_edge * made.knife_stroke / made.knife_pitch
    share = bunched_share(advance, edges, VALUES.bunched_coefficient)
    return share * made.bunched_ratio


def whole_stroke(advance):
    knife = Knife(
        pitch=1.5 * INCH,
        stroke=3 * INCH,
        tip=8 * MM,
        edges=(35 * MM,),
        ledger=14 * MM,
    )
    return diagram(knife, advance, 400, 800).bunched


@pytest.mark.parametrize(("advance", "bunched"), HALF_PITCH)
def test_compact_form_of_half_pitch_lies_near_the_worked_table(advance, bunched):
    assert compact(advance * MM) == pytest.approx(bunched, abs=0.01)


def test_compact_form_of_half_pitch_keeps_to_its_stated_error():
    edges = 2 * 35 * MM
    far = [
        whole_stroke(float(r) * edges) - compact(float(r) * edges)
        for r in np.linspace(1.15, 3.0, 9)
    ]
    assert np.abs(far).max() < 0.041
    # at one of these edges it says none, where the diagram shows most
    assert whole_stroke(edges) == pytest.approx(0.073, abs=0.002)


@pytest.mark.parametrize("advance", [70, 85, 100, 120, 150])
def test_half_pitch_bunches_fewer_and_bends_less_than_standard(advance):
    assert compact(advance * MM) < compact(advance * MM, machine("flex35"))
    speed = advance * MM * machine().stroke_rate
    half = run("soybean", "hinged30", "ground", ground_speed=speed)
    wide = replace(
        machine(),
        knife_pitch=3 * INCH,
        knife_edge=52 * MM,
        bunched_ratio=1.0,
        ledger_ratio=1.0,
    )
    told = facts()
    settings = replace(conditions.as_found(told), ground_speed=speed)
    standard = header.run(conditions.field_of(told), wide, settings, VALUES)
    assert half.bunched < standard.bunched
    assert half.true_cut_height < standard.true_cut_height


# a crop of low pods is cut on the ground
OFF_GROUND = [key for key in crops.known() if crops.load(key).off_ground]
CUTS = [(key, "ground") for key in crops.known()]
CUTS += [(key, way) for key in OFF_GROUND for way in ("wheels", "sensing")]


@pytest.mark.parametrize(("crop", "carried"), CUTS)
def test_it_works_in_every_crop_however_it_is_carried(crop, carried):
    made = run(crop, "hinged30", carried)
    assert 0.0 < made.total_loss < 0.25
    assert not any(bool(broken) for broken in made.violations.values())


def test_on_the_ground_it_follows_worse_than_a_flexing_bar_and_better_than_locked():
    free, flexing = (run("soybean", k, "ground") for k in ("hinged30", "flex35"))
    assert flexing.cut_height_spread < free.cut_height_spread
    told = facts()
    locked = replace(machine(), build="rigid", sections=1.0)
    settings, field = conditions.as_found(told), conditions.field_of(told)
    stiff = header.run(field, locked, settings, VALUES)
    assert free.cut_height_spread < stiff.cut_height_spread
    assert free.stubble < stiff.stubble
