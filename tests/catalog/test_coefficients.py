"""Crops, machines and coefficients as content has them, and what is refused."""

from dataclasses import fields

import pytest
from pydantic import BaseModel

from academy.catalog import coefficients, combines, crops, headers, sources
from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import parse
from academy.engine.coefficients import Coefficients
from academy.errors import ContentError, NotFound

INCH, FOOT, ACRE = 0.0254, 0.3048, 4046.8564224
GOOD = """
value = 3.31
low = 3.1
high = 3.5
unit = "m/s"
evidence = "judgement"
source = "judgement"
"""


@pytest.fixture(scope="module")
def soybean():
    return coefficients.load("soybean")


@pytest.mark.parametrize(
    ("name", "si"),
    [
        ("best_lead", 10 * INCH),
        ("bunched_loss", 0.03),
        ("digging_cost", 20 / ACRE),
        ("energy_per_mog", 3.6 * 3.6e6 / 1000),  # 3.6 kWh/t
        ("low_offset", 0.06),
        ("stoppage_area", 2 * ACRE),
        ("stoppage_time", 600.0),
        ("level_speed_limit", 7 * 0.44704),
    ],
)
def test_coefficients_arrive_in_si(soybean, name, si):
    assert getattr(soybean.values, name) == pytest.approx(si, rel=1e-12)


def test_every_coefficient_has_its_evidence_and_both_names(soybean):
    assert soybean.entries.keys() == {field.name for field in fields(Coefficients)}
    for name, entry in soybean.entries.items():
        assert entry.name.en != entry.name.es, name


def test_what_is_not_fixed_has_a_range(soybean):
    for name, entry in soybean.entries.items():
        low, high = getattr(soybean.low, name), getattr(soybean.high, name)
        if entry.fixed:
            assert low == high, name
        else:
            assert low < high, name


def test_the_digest_is_of_the_numbers_alone():
    values = {"b": (1.0, 2.0, 3.0), "a": (0.1, 0.2, 0.3)}
    turned = dict(reversed(values.items()))
    assert coefficients.canonical(values) == coefficients.canonical(turned)
    assert coefficients.canonical(values) == '{"a":[0.1,0.2,0.3],"b":[1.0,2.0,3.0]}'
    moved = values | {"a": (0.1, 0.2, 0.31)}
    assert coefficients.canonical(values) != coefficients.canonical(moved)


def test_a_bushel_of_soybean_weighs_sixty_pounds():
    # US standard weight, in every bushel table: 60 lb = 27.2155 kg.
    assert crops.load("soybean").bushel == pytest.approx(27.2155, abs=5e-5)


def test_achievable_losses_of_soybean_add_up_as_printed():
    # University of Nebraska 2010: 0.75 + 0.75 + 0.50 + 0.50 = 2.5 at the header.
    t = crops.load("soybean").targets
    parts = (t.shatter, t.stubble, t.lodged, t.loose_stalk)
    assert sum(part.value for part in parts) == pytest.approx(t.header.value)
    assert t.total.value == 3.0


def test_two_headers_differ_in_build_and_in_parts():
    small, large = headers.load("flex35"), headers.load("flex40")
    assert {"flex35", "flex40"} <= set(headers.known())
    for part in ("drum_speed", "reel_parts", "wings"):
        assert getattr(small.parts, part) != getattr(large.parts, part), part
    one, two = (headers.machine(h, combines.load("middle")) for h in (small, large))
    assert one.width == pytest.approx(35 * FOOT)
    assert two.width == pytest.approx(40 * FOOT)
    assert one.side_width == pytest.approx(one.width / 2)


@pytest.mark.parametrize("key", headers.known())
def test_controls_have_whole_steps_and_stand_on_one(key):
    controls = headers.load(key).controls
    for name in type(controls).model_fields:
        control = getattr(controls, name)
        for end in (control.high, control.usual):
            steps = (end - control.low) / control.step
            assert steps == pytest.approx(round(steps), abs=1e-6), name


def test_a_control_range_turns_into_si():
    low, high, step = headers.load("flex40").controls.cut_height.si()
    assert (low, high, step) == pytest.approx((1 * INCH, 8 * INCH, 0.25 * INCH))


@pytest.mark.parametrize("kind", [crops, headers, combines])
def test_an_unknown_key_is_not_found(kind):
    with pytest.raises(NotFound):
        kind.load("../../etc/passwd")


def test_a_sound_entry_is_read():
    entry = parse(Evidenced, GOOD, "x.toml")
    assert entry.si() == (3.1, 3.31, 3.5)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("low = 3.1", "low = 3.4"),  # above the value
        ("high = 3.5", ""),  # a range with one end
        ("low = 3.1\nhigh = 3.5", ""),  # a judgement without range
        ('unit = "m/s"', 'unit = "knots"'),
        ('unit = "m/s"', 'unit = "m/s"\nunti = "m/s"'),
        ('evidence = "judgement"', 'evidence = "hearsay"'),
        ("value = 3.31", 'value = "3.31"'),
        ("value = 3.31", "value = nan"),
        ("value = 3.31", "value ="),
    ],
)
def test_a_broken_entry_names_its_file(old, new):
    with pytest.raises(ContentError) as refused:
        parse(Evidenced, GOOD.replace(old, new), "x.toml")
    assert refused.value.values["file"] == "x.toml"


def evidenced_in(record):
    """Every evidenced value inside a record, however deep."""
    if isinstance(record, Evidenced):
        return [record]
    inside = record.values() if isinstance(record, dict) else ()
    if isinstance(record, BaseModel):
        inside = (getattr(record, name) for name in type(record).model_fields)
    return [entry for part in inside for entry in evidenced_in(part)]


def test_every_figure_names_a_source_that_is_listed():
    shelf = [crops.load(key) for key in crops.known()]
    shelf += [headers.load(key) for key in headers.known()]
    shelf += [combines.load(key) for key in combines.known()]
    shelf += [dict(coefficients.load(key).entries) for key in crops.known()]
    entries = [entry for record in shelf for entry in evidenced_in(record)]
    assert len(entries) > 100
    assert {entry.source for entry in entries} <= sources.load().keys()
