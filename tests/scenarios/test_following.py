"""A header over drawn ground from the facts of a scenario."""

from dataclasses import replace

import pytest

from academy.catalog import coefficients, ground_following, grounds, headers
from academy.engine.followed_bar import SECTIONS
from academy.errors import OutOfRange
from academy.scenarios import conditions, following
from academy.scenarios.following import Hanging, over_ground

FACTS = {
    "crop": "soybean",
    "header": "flex35",
    "combine": "middle",
    "ground": "ordinary",
}
VALUES = coefficients.load("soybean").values


def case(**changed):
    facts = FACTS | changed
    return (
        conditions.field_of(facts),
        conditions.machine_of(facts),
        conditions.as_found(facts),
        VALUES,
    )


@pytest.mark.parametrize("key", headers.known())
@pytest.mark.parametrize("carried", ["ground", "wheels", "sensing"])
def test_every_header_follows_every_ground_as_it_is_carried(key, carried):
    for ground in grounds.load():
        made = over_ground(*case(header=key, carried=carried, ground=ground), seed=1)
        assert 0 < made.of().spread < 0.1
        machine = conditions.machine_of(FACTS | {"header": key})
        assert made.mesh.width == pytest.approx(machine.width)


def test_a_seed_tells_the_same_again():
    once, again, other = (over_ground(*case(), seed=seed).of() for seed in (5, 5, 6))
    assert once == again != other


def test_on_the_ground_the_bar_takes_up_what_off_it_is_left():
    on, off = (over_ground(*case(carried=c), seed=1) for c in ("ground", "sensing"))
    assert on.of().spread < off.of().spread
    assert on.of().off_ground < 0.1
    assert off.of().off_ground == 1.0
    assert off.of().force == 0.0


def test_hanging_says_what_settings_do_not():
    forces = (50.0, 200.0, 350.0)
    made = over_ground(*case(), seed=1, hung=Hanging(float_force=forces))
    found = [made.of(name).force for name in SECTIONS]
    assert found == sorted(found)
    tilted = over_ground(*case(carried="sensing"), seed=1, hung=Hanging(tilt=0.01))
    assert tilted.of("right").height > tilted.of("left").height
    assert over_ground(*case(), seed=1, hung=Hanging(freedom="locked")).of().spread > (
        made.of().spread
    )


def test_shoes_raise_the_knife_and_a_steeper_header_lowers_it():
    level, raised, steep = (
        over_ground(*case(), seed=1, hung=hung).of().height
        for hung in (Hanging(), Hanging(shoes_down=0.02), Hanging(header_angle=0.05))
    )
    assert raised == pytest.approx(level + 0.02)
    # 200 mm × tan 0.05 = 10.0 mm
    assert steep == pytest.approx(level - 0.01001, abs=1e-5)


def test_ridges_belong_to_the_ground_that_is_called_ridged():
    assert following.ridge_height_of("ordinary") == 0.0
    ridge = following.ridge_height_of("rough")
    assert ridge > 0.0
    flat, ridged = (
        over_ground(*case(ground="rough"), seed=1, ridge_height=high).of()
        for high in (0.0, ridge)
    )
    assert ridged.spread > flat.spread


def test_a_control_too_fast_for_its_dead_time_is_refused():
    field, machine, settings, values = case()
    dead_time = ground_following.load().si("dead_time")
    # index 4fτ
    hunting = replace(machine, control_bandwidth=1.01 / (4 * dead_time))
    with pytest.raises(OutOfRange, match="height_control_hunts"):
        over_ground(field, hunting, settings, values, seed=1)


def test_no_header_hunts_within_its_range():
    slow = ground_following.load().dead_time.si()[1]
    for key in headers.known():
        bandwidth = headers.load(key).measures.control_bandwidth.si()[2]
        assert 4 * bandwidth * slow < 1.0


def test_no_knife_cuts_below_the_ground():
    # locked and tilted by 3 degrees, one end of the bar would stand far under it
    tilted = Hanging(freedom="locked", tilt=0.05)
    made = over_ground(*case(carried="ground"), seed=1, hung=tilted)
    assert made.height.min() == 0.0
    assert made.of("left").pushing > made.of("right").pushing
