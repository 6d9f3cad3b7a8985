"""The bank looked through: what the check counts, on families of known make."""

import pytest

from academy.catalog import borderline
from academy.errors import NotFound
from academy.service import bank_check, clones, making
from academy.service.bank_check import _guess, _guessed

OPTIONS = [("a", "long text here"), ("b", "short"), ("c", "mid text"), ("d", "x")]


@pytest.mark.parametrize(
    ("guesser", "chosen"),
    [("longest", "a"), ("shortest", "d"), ("middle", "c"), ("third", "c")],
)
def test_guessers_follow_their_rule(guesser: str, chosen: str) -> None:
    assert _guess(guesser, OPTIONS) == chosen


def test_a_guesser_is_weighed_against_chance() -> None:
    # of two choices the longest is right once: 1/2, by chance 1/4
    told = _guessed([("a", OPTIONS), ("d", OPTIONS)])
    assert told["longest"] == pytest.approx(0.25)
    assert told["third"] == pytest.approx(-0.25)
    assert _guessed([]) == {}


def test_a_family_of_rules_has_the_par_of_its_kinds_and_no_spread() -> None:
    found = bank_check.checked("safe-stop", 2)
    assert found.draws == 2
    assert found.problem == ""
    assert found.spread == pytest.approx(0.0)
    pars = borderline.load().pars
    low, high = (f(one.value for one in pars.values()) for f in (min, max))
    assert low <= found.par <= high
    assert min(found.words.values()) > 20


def test_a_refused_draw_is_counted_by_its_kind() -> None:
    found = bank_check.checked("first-change-wheat", 2)
    assert sum(found.reasons.values()) == found.rejected > 0
    assert set(found.reasons) <= {"one-change", "direction", "set-up"}
    assert found.flips <= 6


def test_the_same_content_gives_the_same_result() -> None:
    once, again = (bank_check.checked("reel-speed-today", 2) for _ in range(2))
    assert once == again


def test_an_unknown_family_is_refused() -> None:
    with pytest.raises(NotFound):
        bank_check.checked("moonbeans", 1)


def test_policies_score_as_they_must() -> None:
    # full marks for the best, none for the machine as found; mistakes lie between
    told = clones.scores(making.make("standing-soybean", 4))
    assert told["expert"] == pytest.approx(1.0)
    assert told["as_found"] == pytest.approx(0.0)
    for name in ("too_fast", "reel_fast", "cut_high", "borderline"):
        assert 0.0 <= told[name] <= 1.0
    assert min(told["too_fast"], told["reel_fast"]) < 1.0


def test_alike_draws_lie_nowhere_apart_and_rules_have_no_policies() -> None:
    draft = making.make("standing-soybean", 4)
    assert set(clones.apart([draft, draft]).values()) == {0.0}
    assert clones.apart([making.make("safe-stop", 4)]) == {}
