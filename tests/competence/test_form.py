"""The form of an assessment: shares at every length, families by lot."""

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import blueprints
from academy.competence import form

OURS = blueprints.known()


def slots(weights: dict[str, int], length: int, seed: object) -> list[str]:
    asked: list[str] = []
    while len(asked) < length:
        asked.append(form.slot(weights, asked, seed))
    return asked


@st.composite
def shares(draw: st.DrawFn) -> dict[str, int]:
    """Weights of up to ten topics that add up to sixteen."""
    cuts = draw(st.sets(st.integers(1, 15), max_size=9))
    ends = [0, *sorted(cuts), 16]
    return {f"t{k}": high - low for k, (low, high) in enumerate(pairwise(ends))}


@given(shares(), st.integers(0, 10**6))
def test_every_topic_stays_within_one_scenario_of_its_share(weights, seed) -> None:
    """The law wanted: |count - weight * n| < 1 at every stopping point n."""
    asked = slots(weights, 32, seed)
    for n in range(1, 33):
        counts = Counter(asked[:n])
        for topic, weight in weights.items():
            assert abs(counts[topic] - weight * n / 16) < 1


@pytest.mark.parametrize("key", OURS)
def test_a_planned_form_of_sixteen_has_exactly_the_weights(key: str) -> None:
    """Asked for is within five points; sixteenths over sixteen leave none."""
    for seed in range(250):  # four certificates: 1000 forms
        counts = Counter(slots(dict(OURS[key].weights), 16, seed))
        assert counts == Counter(OURS[key].weights)


def test_the_lot_changes_the_order_but_not_for_the_same_seed() -> None:
    weights = dict(OURS["yard-helper"].weights)
    orders = {tuple(slots(weights, 16, seed)) for seed in range(20)}
    assert len(orders) > 10
    assert slots(weights, 16, "a") == slots(weights, 16, "a")


@given(st.integers(1, 5), st.integers(1, 3), st.integers(0, 10**6))
def test_no_family_comes_oftener_than_may_be(count, repeats, seed) -> None:
    eligible, used = [f"f{k}" for k in range(count)], list[str]()
    while (one := form.choice(eligible, used, repeats, seed)) is not None:
        used.append(one)
        assert max(Counter(used).values()) - (len(used) - 1) // count <= 1
    assert Counter(used) == Counter(eligible * repeats)


def test_families_are_drawn_evenly() -> None:
    """Four families, 2000 first slots: 500 each, standard deviation 19.4."""
    eligible = ["a", "b", "c", "d"]
    drawn = Counter(form.choice(eligible, [], 1, seed) for seed in range(2000))
    assert all(abs(drawn[one] - 500) < 5 * 19.4 for one in eligible)
