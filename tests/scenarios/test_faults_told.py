"""Faults and their signs: direction as the trade tells it, one fault at a time."""

import json
from dataclasses import asdict, fields

import numpy as np
import pytest

from academy.catalog import families, faults, troubles
from academy.catalog import signs as catalog
from academy.grading import options
from academy.scenarios import faulty, signs, stubble, telling
from academy.scenarios.dice import Dice
from academy.scenarios.draw import draw
from academy.scenarios.facts import bushel
from academy.service.making import make

ALL = tuple(catalog.load())
ON_GROUND, OFF_GROUND = "cause-anywhere-soybean", "cause-belts-wheat"
ROUGH, LOW = "stubble-wings-soybean", "cause-reel-pea"
PASSES = {
    key: faulty.pass_of(draw(key, families.load(key), 1))
    for key in (ON_GROUND, OFF_GROUND, ROUGH, LOW)
}
# What each trouble's row says, as signs that rise (+) or fall (-): the directions are
# those of the sources that the faults name, not of a run of ours. ``0``: left third.
SAYS = [
    ("reel_fast", ON_GROUND, "+loose_grain"),
    ("too_dry", ON_GROUND, "+loose_grain -moisture +split"),
    ("cut_high", ON_GROUND, "+height +on_stubble"),
    ("tines_steep", ON_GROUND, "+over_top"),
    ("too_fast", ON_GROUND, "+bunched +loose_grain +mat +engine +processed"),
    ("sections_worn", ON_GROUND, "+torn +drive"),
    ("hold_down_wide", ON_GROUND, "+torn +standing"),
    ("flex_stiff", ROUGH, "+wave"),
    ("knife_slow", ON_GROUND, "+bunched +torn -drive"),
    ("reel_low", ON_GROUND, "+nicked +loose_grain"),
    ("straw_full", OFF_GROUND, "+processed +mat +engine"),
    ("bearing_dry", ON_GROUND, "+bearing"),
    ("reel_out_of_step", LOW, "+nicked0"),
    ("section_missing", ON_GROUND, "+strip"),
    ("reel_slow", ON_GROUND, "+loose_stalks"),
    ("reel_high", LOW, "+loose_stalks"),
    ("reel_far", ON_GROUND, "+loose_stalks"),
    ("belt_slack", OFF_GROUND, "+slip0 +mat0"),
    ("belt_walks", OFF_GROUND, "+walk0 +leak"),
    ("seal_open", OFF_GROUND, "+leak"),
    ("belts_slow", OFF_GROUND, "+mat +lumps"),
    ("one_end_high", ON_GROUND, "+height0 -height2"),
    ("fingers_late", ON_GROUND, "+round"),
    ("drum_fast", ON_GROUND, "+round +flung"),
    ("fingers_early", OFF_GROUND, "+waiting"),
    ("too_damp", ON_GROUND, "+waiting +moisture"),
    ("part_width", OFF_GROUND, "+crossed -mat0"),
    ("old_stalks", ON_GROUND, "+dragged"),
    ("hold_down_tight", ON_GROUND, "+hold_down +drive"),
    ("wing_heavy", ON_GROUND, "+pushed0"),
    ("frame_heavy", ON_GROUND, "+pushed"),
    ("wing_stiff", ROUGH, "+wave0"),
    ("wing_hangs", ROUGH, "-height0 +pushed0"),
    ("bar_digs", ON_GROUND, "+soil -height"),
    ("dividers_short", ON_GROUND, "+run_down +at_ends"),
    ("ends_down", ON_GROUND, "+run_down"),
    ("waited_long", ON_GROUND, "+loose_grain +run_under"),
    ("rotor_fast", ON_GROUND, "+split"),
    ("chaff_windrow", ON_GROUND, "-chaff"),
]


def read(one, names=ALL):
    values = signs.read(one, names)[:, 0]
    return signs.by_name(names, values.tolist())


def test_every_fault_is_held_to_what_it_is_said_to_show() -> None:
    assert {fault for fault, _, _ in SAYS} | {"none"} == set(faults.load())


def test_every_sign_of_the_content_is_read_and_no_other() -> None:
    assert set(ALL) == set(signs.SIGNS)
    assert {sign.group for sign in catalog.load().values()} == set(catalog.groups())


def test_every_trouble_names_faults_that_there_are_or_says_why_not() -> None:
    named = {fault for one in troubles.load().values() for fault in one.faults}
    assert named <= set(faults.load())
    assert len(troubles.load()) == 47  # rows of the trade's list, none left out


@pytest.mark.parametrize(("fault", "family", "says"), SAYS)
@pytest.mark.parametrize("mirrored", [False, True], ids=["left", "right"])
def test_a_fault_shows_the_symptom_that_its_row_says(
    fault: str, family: str, says: str, mirrored: bool
) -> None:
    one = PASSES[family]
    usual, found = read(one), read(faulty.with_fault(one, fault, mirrored))
    for said in says.split():
        name, place = said[1:].rstrip("02"), said[len(said.rstrip("02")) :]
        spot = int(place or 0)
        if mirrored and place:
            spot = len(found[name]) - 1 - spot
        more = found[name][spot] - usual[name][spot]
        assert more > 0 if said[0] == "+" else more < 0


@pytest.mark.parametrize("fault", sorted(faults.load()))
def test_a_fault_changes_what_it_names_and_nothing_else(fault: str) -> None:
    one = PASSES[ON_GROUND]
    bad = faulty.with_fault(one, fault)
    named = {effect.sets for effect in faults.load()[fault].does}
    changed = set()
    for group in ("settings", "field"):
        before, after = asdict(getattr(one, group)), asdict(getattr(bad, group))
        changed |= {f"{group}.{name}" for name in before if before[name] != after[name]}
    for part in (field.name for field in fields(one.state)):
        before, after = (asdict(getattr(each.state, part)) for each in (one, bad))
        changed |= {
            f"state.{part}.{name}" for name in before if before[name] != after[name]
        }
    changed |= {f"seen.{name}" for name in bad.seen}
    changed |= set() if bad.machine == one.machine else {"machine.bar"}
    assert changed == named


def test_a_fault_of_one_side_lies_the_same_on_the_other() -> None:
    one = PASSES[ON_GROUND]
    for fault in ("belt_slack", "wing_heavy", "one_end_high"):
        left = signs.read(faulty.with_fault(one, fault), ("height", "pushed", "mat"))
        right = signs.read(
            faulty.with_fault(one, fault, mirrored=True), ("height", "pushed", "mat")
        )
        swapped = right[[2, 1, 0, 5, 4, 3, 7, 6]]
        assert left == pytest.approx(swapped)


def test_good_order_shows_none_of_the_signs_that_only_faults_leave() -> None:
    only = ("torn", "standing", "strip", "run_down", "nicked", "slip", "walk", "leak")
    only += ("crossed", "round", "flung", "hold_down", "dragged", "over_top")
    for one in (PASSES[ON_GROUND], PASSES[OFF_GROUND]):
        assert not any(any(values) for values in read(one, only).values())


def test_a_bar_off_the_ground_pushes_no_soil() -> None:
    for fault in ("frame_heavy", "wing_heavy"):
        bad = faulty.with_fault(PASSES[OFF_GROUND], fault)
        assert read(bad, ("pushed",))["pushed"] == [0.0, 0.0, 0.0]


# --- telling apart


def test_steps_by_hand() -> None:
    # least step 2, growing by 0.1 with what is there: 14 against 10 differ by
    # 4/(2 + 0.1 * 12) = 1.25 steps; 11 against 10 by 1/(2 + 1.05) < 1: not seen
    just = np.array([[2.0, 2.0], [0.1, 0.1]])
    one, other = np.array([14.0, 11.0]), np.array([10.0, 10.0])
    assert telling.steps(one, other, just)[0] == pytest.approx(1.25)
    assert float(telling.apart(one, other, just)) == pytest.approx(1.25)
    assert float(telling.apart(one, one, just)) == 0


def judged(key, offered, family=ON_GROUND, draws=None):
    one = PASSES[family]
    return telling.judge(key, offered, one, ALL, draws or one.values)


def test_a_fault_beside_one_that_looks_the_same_is_never_asked(monkeypatch) -> None:
    twin = dict(faults.load()) | {"twin": faults.load()["reel_fast"]}
    assert judged("reel_fast", ["reel_fast", "cut_high"]) is not None
    monkeypatch.setattr(faults, "load", lambda: twin)
    assert judged("reel_fast", ["reel_fast", "twin"]) is None


def test_a_fault_that_does_not_show_is_never_asked() -> None:
    """Good order is always one of the rivals, offered or not."""
    assert judged("dividers_short", ["dividers_short", "cut_high"]) is not None
    one = PASSES[ON_GROUND]
    blind = telling.judge(
        "dividers_short", ["dividers_short", "cut_high"], one, ("moisture",), one.values
    )
    assert blind is None


def test_without_doubt_nothing_flips(monkeypatch) -> None:
    known = PASSES[ON_GROUND].believed
    monkeypatch.setattr(telling, "beliefs", lambda *_: known)
    told = judged("cut_high", ["cut_high", "reel_fast"])
    assert told is not None
    assert told.flips == 0


# --- the stubble drawn


@pytest.mark.parametrize(
    "fault", ["none", "too_fast", "one_end_high", "wing_heavy", "section_missing"]
)
def test_a_trace_shows_the_signs_it_was_given(fault: str) -> None:
    one = PASSES[ON_GROUND]
    across, along = stubble.traces(one, fault, 1)
    aside = stubble.mirrored(one.facts, 1)
    found = read(faulty.with_fault(one, fault, aside), stubble.names())
    assert len(across.heights) == len(along.heights) == stubble.PLACES
    for name, mark in (("torn", "ragged"), ("bunched", "bunched")):
        told = sum(getattr(across, mark))
        assert told == round(found[name][0] * stubble.PLACES)
    third = stubble.PLACES // 3
    for place in range(3):
        here = slice(place * third, (place + 1) * third)
        assert sum(across.pushed[here]) == round(found["pushed"][place] * third)
    assert any(across.standing) == bool(found["strip"][0])


def test_one_end_high_rises_all_the_way_and_mirrors() -> None:
    one = PASSES[ON_GROUND]
    left = stubble._profile(faulty.with_fault(one, "one_end_high"))
    right = stubble._profile(faulty.with_fault(one, "one_end_high", mirrored=True))
    assert np.all(np.diff(left) < 0)
    assert left == pytest.approx(right[::-1])


def test_bunched_stems_come_in_the_rhythm_of_the_strokes() -> None:
    """A stroke's advance apart, the same again: kinematics."""
    one = PASSES[ON_GROUND]
    _, along = stubble.traces(one, "too_fast", 1)
    fast = faulty.with_fault(one, "too_fast")
    advance = float(fast.settings.ground_speed / fast.machine.stroke_rate)
    starts = sum(
        now and not before
        for before, now in zip(along.bunched, along.bunched[1:], strict=False)
    )
    assert starts == pytest.approx(stubble.LENGTH / advance, abs=1.01)
    assert max(along.heights) > min(along.heights)


def test_the_same_facts_draw_the_same_stubble() -> None:
    one = PASSES[ON_GROUND]
    assert stubble.traces(one, "too_fast", 1) == stubble.traces(one, "too_fast", 1)
    assert stubble.traces(one, "too_fast", 1) != stubble.traces(one, "too_fast", 2)


# --- no question is answered by the looks of its options

ASKED = [
    (key, place, asked)
    for key, family in families.known().items()
    for place, asked in enumerate(family.parts, start=1)
    if asked.faults
]
GUESSES = {
    "longest": lambda texts: max(texts, key=lambda one: (len(one[1]), one[0]))[0],
    "shortest": lambda texts: min(texts, key=lambda one: (len(one[1]), one[0]))[0],
    "middle": lambda texts: texts[len(texts) // 2][0],
    "first": lambda texts: texts[0][0],
}


@pytest.mark.parametrize("guess", GUESSES)
def test_no_guess_from_the_options_beats_chance(guess: str) -> None:
    won, fair, spread = 0.0, 0.0, 0.0
    for key, place, asked in ASKED:
        for seed in range(60):
            right, *offered = draw(key, families.load(key), seed)[f"part.{place}"]
            listed = faults.load()
            texts = [
                (one, getattr(listed[one], asked.names).for_language("en"))
                for one in offered
            ]
            chance = 1.0 / len(offered)
            won += GUESSES[guess](texts) == right
            fair += chance
            spread += chance * (1.0 - chance)
    assert won == pytest.approx(fair, abs=3.0 * spread**0.5)


@pytest.mark.parametrize(("key", "place", "asked"), ASKED[::3])
def test_what_is_asked_stands_in_256_draws(key, place, asked) -> None:
    """At most six draws flip it: the 95 % bound of agreement stays at 0.95."""
    made = json.loads(make(key, 5).payload)
    part = made["parts"][place - 1]
    assert part["flips"] <= options.MOST_FLIPS
    just = signs.visible(_names(asked), bushel(made["facts"]))
    gap = telling.apart(np.array(part["found"]), np.array(part["in_order"]), just)
    assert part["key"] == "none" or gap >= catalog.apart()


def _names(asked):
    if asked.kind == "read-the-stubble":
        return stubble.names()
    return catalog.of_groups(asked.evidence)


def test_luck_puts_one_sided_faults_on_either_side() -> None:
    family = families.load(OFF_GROUND)
    sides = [stubble.mirrored(draw(OFF_GROUND, family, s), 1) for s in range(200)]
    # 200 throws of a coin: a mean of 100 with a spread of 7
    assert 79 <= sum(sides) <= 121
    assert Dice("a").below(2) in (0, 1)
