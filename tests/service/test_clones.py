"""The centres told in content: draws of a set-up family lie round them, all alike.

Nothing here is a person's answer; par and mistakes come from the one borderline
operator. The window is that of the rule "each clone's expected score within 0.06 of the
family's mean", a hundredth narrower for the doubt of the mean itself.
"""

from statistics import fmean

import pytest

from academy.catalog import borderline, families
from academy.service import clones, making

SET_UPS = sorted(
    key
    for key, family in families.known().items()
    if any(part.kind == "set-up" for part in family.parts)
)
FRESH = 900_000  # seeds that measured no centre
TOLD = ("too_fast", "reel_fast", "cut_high", "borderline")


def fresh(key: str, count: int) -> list[dict[str, float]]:
    return [clones.scores(making.make(key, FRESH + n)) for n in range(count)]


@pytest.mark.parametrize("key", SET_UPS)
def test_every_set_up_family_tells_its_centre_and_is_assessed(key: str) -> None:
    family = families.load(key)
    assert set(family.clones) == set(TOLD)
    assert family.assesses


@pytest.mark.parametrize("key", SET_UPS)
def test_a_centre_lies_where_its_parts_allow(key: str) -> None:
    """The other parts give their par: a set-up's own score is between 0 and 1."""
    family, pars = families.load(key), borderline.load()
    kinds = [part.kind for part in family.parts if part.kind != "set-up"]
    others = sum(pars.par_of(kind) for kind in kinds)
    for centre in family.clones.values():
        own = (centre * len(family.parts) - others) / (len(family.parts) - len(kinds))
        assert -1e-3 <= own <= 1.0 + 1e-2
    assert 0.45 <= family.clones["borderline"] <= 0.85


@pytest.mark.parametrize("key", SET_UPS)
def test_fresh_draws_lie_round_the_centre(key: str) -> None:
    """Three draws, each in the window; their mean by three errors of 0.02 at most."""
    drawn, family = fresh(key, 3), families.load(key)
    for name, centre in family.clones.items():
        assert all(abs(one[name] - centre) <= clones.WINDOW for one in drawn)
        assert fmean(one[name] for one in drawn) == pytest.approx(centre, abs=0.035)


@pytest.mark.long
@pytest.mark.parametrize("key", SET_UPS)
def test_the_mean_of_many_draws_is_the_centre(key: str) -> None:
    drawn = fresh(key, 60)
    for name, centre in families.load(key).clones.items():
        scores = [one[name] for one in drawn]
        middle = fmean(scores)
        assert middle == pytest.approx(centre, abs=0.01)
        assert max(abs(score - middle) for score in scores) <= clones.APART
