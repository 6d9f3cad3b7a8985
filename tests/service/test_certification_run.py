"""Simulated people through real assessments: figures, files, and the errors allowed."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from statistics import fmean, pstdev
from typing import Any

import pytest

from academy.catalog import blueprints, error_rates, families, gate
from academy.competence import form
from academy.competence.proportion import wilson
from academy.competence.simulated_course import Sitting
from academy.errors import ContentError, NotFound
from academy.service import answer_menus, certification_run, making, marking
from academy.service import error_rates as rates
from academy.service.certification_run import ABOVE, BELOW, Group, Plan

KEYS = tuple(blueprints.known())
PEOPLE, DRAWS, WORST = 400, 3, 0.05


@pytest.fixture(scope="module")
def small() -> tuple[Plan, list[dict[str, Any]]]:
    """A run of one certificate with few people."""
    plan = Plan(("yard-helper",), people=12, seed=3, draws=1)
    return plan, certification_run.run(plan)


def test_every_figure_of_a_run_is_told(small) -> None:
    _, (told,) = small
    wanted = {
        *("key", "people", "false_pass", "false_pass_low", "false_pass_high"),
        *("false_fail", "pass_on_line", "mean_length"),
    }
    assert wanted <= set(told)
    assert (told["key"], told["people"]) == ("yard-helper", 12)
    for name in ("false_pass", "false_fail", "pass_on_line"):
        assert 0 <= told[f"{name}_low"] <= told[name] <= told[f"{name}_high"] <= 1
    assert 8 <= told["mean_length"] <= 20


def test_the_same_seed_gives_the_same_figures(small) -> None:
    plan, first = small
    assert certification_run.run(plan) == first


def test_two_workers_find_what_one_finds(small) -> None:
    plan, first = small
    shared = Plan(plan.certificates, plan.people, plan.seed, plan.draws, workers=2)
    assert certification_run.run(shared) == first


def test_a_run_is_kept_and_read_again(small, tmp_path: Path, monkeypatch) -> None:
    plan, figures = small
    told = rates.document(plan, figures, date(2031, 3, 1), rates.bank())
    assert not rates.keep(tmp_path, told)  # one certificate of several
    monkeypatch.setattr(blueprints, "known", lambda: {"yard-helper": None})
    assert rates.keep(tmp_path, told)
    newest = rates.newest(tmp_path)
    assert newest is not None
    assert (newest.day, newest.bank) == (date(2031, 3, 1), rates.bank())
    assert newest.certificates[0].false_pass == figures[0]["false_pass"]


def test_a_broken_file_is_named_and_counts_as_none(tmp_path: Path) -> None:
    (tmp_path / error_rates.FILE).write_text("{", encoding="utf-8")
    with pytest.raises(ContentError, match=r"error_rates\.json"):
        error_rates.read(tmp_path / error_rates.FILE)
    with pytest.raises(NotFound):
        error_rates.read(tmp_path / "none.json")
    assert rates.newest(tmp_path) == error_rates.shipped()


def test_the_shipped_run_is_of_all_certificates_by_many_people() -> None:
    shipped = error_rates.shipped()
    assert [one.key for one in shipped.certificates] == list(KEYS)
    assert all(one.people >= 2000 for one in shipped.certificates)
    assert all(one.false_pass <= WORST for one in shipped.certificates)
    assert all(one.par_sd <= 0.03 for one in shipped.certificates)


@pytest.mark.parametrize("family", ["moves-by-itself", "first-change-soybean"])
def test_menus_hold_what_real_answers_are_given(family: str) -> None:
    """The perfect answer scores 1, a choice nothing else but 0."""
    draft = making.make(family, 11)
    parts = json.loads(draft.payload)["parts"]
    for part, menu in zip(parts, answer_menus.of_draft(draft), strict=True):
        assert max(menu.menu.scores) == 1.0
        assert menu.par == pytest.approx(0.6, abs=0.21)
        if "key" in part and part["kind"] != "number":
            facts = json.loads(draft.payload)["facts"]
            answer = {"choice": part["key"], "way": part["key"]}
            assert marking.mark(part, facts, answer).score == 1.0
            assert menu.menu.scores == (0.0, 1.0)


def test_the_perfect_answer_passes_the_gate_and_the_worst_does_not() -> None:
    for concept in gate.concepts().values():
        for family in concept.families:
            told = answer_menus.safety_of_family(family, draws=2, seed=1)
            assert told == ((True, False), (True, False)), family


@pytest.fixture(scope="module")
def sittings() -> dict[str, Sitting]:
    """Every certificate with a few verified draws of all its families."""
    return certification_run._sittings(Plan(KEYS, PEOPLE, 5, DRAWS, workers=2))


@pytest.fixture(scope="module")
def passes(sittings: dict[str, Sitting]) -> Callable[[str, float], int]:
    """How many people of a certificate pass at a level."""
    groups = [Group(key, level) for key in KEYS for level in (BELOW, ABOVE)]
    ended = certification_run._sat(sittings, groups, Plan(KEYS, PEOPLE, 5, workers=2))

    def _passes(key: str, level: float) -> int:
        sat = ended[Group(key, level)]
        assert len(sat) == PEOPLE
        return sum(one.outcome == "pass" for one in sat)

    return _passes


@pytest.mark.long
@pytest.mark.parametrize("key", KEYS)
def test_no_certificate_passes_more_than_5_in_100_clearly_below(passes, key) -> None:
    assert passes(key, BELOW) / PEOPLE <= WORST


@pytest.mark.long
@pytest.mark.parametrize("key", KEYS)
def test_a_certificate_fails_some_10_in_100_clearly_above(passes, key) -> None:
    low, _ = wilson(PEOPLE - passes(key, ABOVE), PEOPLE)
    assert low <= 0.10


@pytest.mark.long
@pytest.mark.parametrize("key", KEYS)
def test_mean_pars_of_a_thousand_forms_lie_within_three_points(sittings, key) -> None:
    """Standard deviation of the mean par of planned forms at most 0.03."""
    sat, means = sittings[key], []
    for seed in range(1000):
        asked, used, pars = list[str](), list[str](), list[float]()
        for turn in range(16):
            asked.append(form.slot(sat.weights, asked, seed))
            name = form.choice(sat.families[asked[-1]], used, sat.repeats, seed)
            assert name is not None
            used.append(name)
            draws = sat.draws[name]
            pars += [part.par for part in draws[(seed + turn) % len(draws)]]
        assert all(len(families.load(name).parts) >= 4 for name in used)
        means.append(fmean(pars))
    assert pstdev(means) <= 0.03
