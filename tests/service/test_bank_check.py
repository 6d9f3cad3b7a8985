"""The bank looked through: what the check counts, on families of known make."""

import json
from collections import Counter
from dataclasses import replace

import pytest

from academy.catalog import assessment, borderline, families
from academy.errors import NotFound
from academy.records.queries.stock import Draft
from academy.service import bank_check, clones, making

SETTING = making.make("standing-soybean", 4)


def _substream(draft: Draft) -> int:
    return int(json.loads(draft.payload)["substream"])


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
    """Of the set-up alone full marks for the best, none as found, mistakes between."""
    told = clones.scores(SETTING)
    n, others = len(SETTING.parts), SETTING.parts[1:]
    assert told["expert"] == pytest.approx(1.0)
    assert told["chance"] * n == pytest.approx(sum(one.floor for one in others))
    assert told["borderline"] * n == pytest.approx(sum(p.par for p in SETTING.parts))
    for name in ("too_fast", "reel_fast", "cut_high"):
        alone = told[name] * n - sum(one.par for one in others)
        assert -1e-9 <= alone <= 1.0 + 1e-9
    assert min(told["too_fast"], told["reel_fast"]) < told["cut_high"]


def test_as_found_touches_nothing() -> None:
    """Two directions with one "keep" of five signs, a call that is "go" in half of all.

    Found settings and an empty figure are worth nothing.
    """
    kinds = [part.kind for part in SETTING.parts]
    assert Counter(kinds) == Counter(
        {"set-up": 1, "direction": 2, "number": 2, "go-or-stop": 1}
    )
    told = clones.scores(SETTING)["as_found"]
    assert told == pytest.approx((2 * 1 / 5 + 1 / 2) / 6)


def test_rules_are_scored_by_chance_par_and_full_marks() -> None:
    """Without a set-up the scores hang on the kinds of parts alone."""
    told = clones.scores(making.make("long-day", 4))  # five times go or stop
    par = borderline.load().par_of("go-or-stop")
    assert told["as_found"] == told["chance"] == pytest.approx(0.5)  # one of two
    assert told["expert"] == 1.0
    for name in ("too_fast", "reel_fast", "cut_high", "borderline"):
        assert told[name] == pytest.approx(par)
    assert set(clones.apart([making.make("long-day", n) for n in (4, 5)]).values()) == {
        0.0
    }


def _as_one_change(draft: Draft, key: str) -> Draft:
    """A scenario of one part that offers two own changes and two others."""
    shown = ["drive_faster", "cut_lower", "leave_it", "reel_slower"]
    stored = {"kind": "one-change", "shown": shown, "key": key}
    payload = json.loads(draft.payload) | {"parts": [stored]}
    part = replace(draft.parts[0], kind="one-change", par=0.62, floor=0.25)
    return replace(draft, payload=json.dumps(payload), parts=[part])


def test_a_fixed_choice_counts_by_the_keys_of_all_draws() -> None:
    """Of four draws faster is right in one, leaving it in two; no draw stands out."""
    keys = ["drive_faster", "leave_it", "leave_it", "cut_lower"]
    drafts = [_as_one_change(SETTING, key) for key in keys]
    told = clones.means(drafts)
    assert told["too_fast"] == pytest.approx(1 / 4)
    assert told["as_found"] == pytest.approx(2 / 4)
    assert told["reel_fast"] == told["cut_high"] == pytest.approx(0.62)
    assert told["expert"] == 1.0
    assert told["chance"] == pytest.approx(0.25)
    assert max(clones.apart(drafts).values()) == pytest.approx(0.0)


def test_no_family_that_tells_a_centre_asks_for_one_change() -> None:
    """Its centre would hang on the keys of other draws, which a making does not see."""
    for family in families.known().values():
        asked = {part.kind for part in family.parts}
        assert not family.clones or "one-change" not in asked


def test_draws_of_families_without_a_set_up_are_clones() -> None:
    """What chance gives in an inspection hangs on how many findings are bad."""
    for key in ("before-harvest-check", "road-and-lines", "count-in-the-field"):
        far = clones.apart([making.make(key, seed) for seed in range(20)])
        assert max(far.values()) <= clones.APART, key
        assert {n for n, off in far.items() if off > 1e-9} <= {"chance"}


def test_a_draw_off_the_centre_of_its_family_is_no_clone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    told = clones.scores(SETTING)
    assert clones.within(SETTING, {})
    assert clones.within(SETTING, told)
    assert clones.within(SETTING, {"too_fast": told["too_fast"] + 0.049})
    assert not clones.within(SETTING, {"too_fast": told["too_fast"] + 0.051})
    off = {"too_fast": told["too_fast"] + 0.2}
    listed = families.known()
    moved = listed["standing-soybean"].model_copy(update={"clones": off})
    monkeypatch.setattr(making, "known", lambda: {**listed, "standing-soybean": moved})
    assert making.attempt("standing-soybean", 4, _substream(SETTING)) == making.NO_CLONE


def _with_bar(monkeypatch: pytest.MonkeyPatch, **ends: float) -> None:
    bar = replace(assessment.bar(), **ends)
    monkeypatch.setattr(assessment, "bar", lambda: bar)


@pytest.mark.parametrize("end", ["hardest_par", "easiest_par"])
def test_a_part_too_hard_or_too_easy_to_be_assessed_is_refused(
    monkeypatch: pytest.MonkeyPatch, end: str
) -> None:
    """The par of a set-up is left as it is; the draw goes when it lies outside."""
    pars = {part.par for part in SETTING.parts}
    off = 1e-6 if end == "hardest_par" else -1e-6
    edge = min(pars) if end == "hardest_par" else max(pars)
    _with_bar(monkeypatch, **{end: edge})
    again = making.attempt("standing-soybean", 4, _substream(SETTING))
    assert isinstance(again, Draft)
    _with_bar(monkeypatch, **{end: edge + off})
    told = making.attempt("standing-soybean", 4, _substream(SETTING))
    assert told == making.PAR_OUTSIDE


def test_what_is_only_practised_may_be_as_easy_as_it_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    _with_bar(monkeypatch, hardest_par=0.99)
    assert not families.load("reel-speed-today").assesses
    assert making.make("reel-speed-today", 4).parts


def test_a_family_whose_draws_lie_apart_is_told() -> None:
    found = bank_check.checked("safe-stop", 2)
    assert found.wrong() == ""
    assert replace(found, apart={"too_fast": 0.061}).wrong() == "no_clones"
    assert replace(found, apart={"too_fast": 0.059}).wrong() == ""


def test_a_family_that_breaks_a_rule_is_told() -> None:
    found = bank_check.checked("safe-stop", 2)
    easy, hard = {"hardest": 0.6, "easiest": 0.86}, {"hardest": 0.44, "easiest": 0.6}
    for pars in (easy, hard):
        assert replace(found, pars=pars).wrong() == ""  # it is only practised
        assert replace(found, pars=pars, assessed=True).wrong() == "par_outside"
    fine = {"hardest": 0.45, "easiest": 0.85}
    assert replace(found, pars=fine, assessed=True).wrong() == ""
    assert replace(found, guessable="part 1: longest").wrong() == "guessable"
    assert replace(found, missing=("title",)).wrong() == "text_missing"


def test_the_report_says_where_each_par_comes_from() -> None:
    found = bank_check.checked("first-change-wheat", 1)
    assert set(found.par_from.values()) == {bank_check.FIXED}
    whole = bank_check.checked("standing-soybean", 1)
    assert whole.par_from["set-up"] == bank_check.SIMULATED
    assert whole.assessed
    assert whole.pars["easiest"] <= 0.85


def test_the_report_counts_who_picks_what() -> None:
    """Five calls of two draws: as found goes on in each, the key as it fell."""
    found = bank_check.checked("long-day", 2)
    use = found.option_use
    assert use["as_found"] == {"places": {"1": 10}, "options": {"go": 10}}
    assert sum(use["key"]["options"].values()) == 10
    assert use["third"] == {"places": {"2": 10}, "options": {"stop": 10}}
    assert use["too_fast"] == {"places": {}, "options": {}}
    keys = use["key"]["places"]
    assert found.positions["1"] == pytest.approx(keys.get("1", 0) / 10 - 0.5)
