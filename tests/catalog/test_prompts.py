"""Prompts say nothing that a case, a sign or a finding of their part contradicts.

The tables are read by hand from the cases, signs and findings; each word named here is
denied by at least one of them.
"""

import re

import pytest

from academy.catalog import directions, situations
from academy.catalog.families import known
from academy.catalog.toml_files import keys

# A word that a prompt may not say, and the case that denies it.
DENIED = {
    "dry-wind": r"\bwind\b|viento",  # wind-drops-at-dusk: it is calm
    "ends-at-night": r"wheel|rueda",
    "fatigue": r"tired|end of the day|seat|cansad|final del día|asiento",  # trade-jobs
    "fire": r"in the heat|noon|afternoon|con el calor|mediodía|tarde",  # calm-evening
    "header-in-automatic": r"in automatic|control on|en automático|puesto",  # scrape
    "hydraulics": r"^at the hoses|^en las mangueras|^junto a",  # straight-to-surgery
    "knife-by-hand": r"hands|manos",  # heat-from-a-step-away
    "leaving-the-seat": r"door|puerta",  # key-for-the-other: already down
    "moving-off": r"before|antes",  # neighbour-walks-up: it is moving
    "on-a-slope": r"hill|loma",  # creek-after-rain
    "raised-on-oil": r"reel|while|with|molinete|arriba",  # down-for-the-night
    "road": r"on the road|en el camino",  # guide-at-the-side: it is being loaded
    "slope-and-ground": r"hill|water|edge|loma|ladera|agua|borde",  # weeds-hide-a-hole
    "storage-and-care": r"grease|blower|engrasadora|soplador",  # on-planks-with-a-tag
    "stored-energy": r"drive|mando",  # bolt-of-a-drawn-spring
    "tired-and-weather": r"late|day|tarde|día",  # slept-and-rested
    "under-the-header": r"beneath|debajo",  # sensor-from-front
    "unplugging": r"when it plugs|stalk|se atasca|tallo",  # drive-belt-set
    "working-alone": r"gone|nobody|out there|fueron|nadie|allá",  # grease-in-the-yard
    "youth-and-visitors": r"look|yard|mirar|patio",  # shown-and-checked
}
AWAY = r"(another|next) (field|day|header)|elsewhere"
AWAY_ES = r"otra parcela|parcela siguiente|otro (día|lado|cabezal)|día siguiente"
# What a walk-round of named things may hold, by the word of the prompt.
COVERED = {
    "guards": {"shields", "lift_stop"},
    "joints": {"header_locks", "hoses", "couplers", "oil_dust", "wing_state"},
    "lift": {"lift_stop"},
    "wings": {"wing_state", "hoses", "flex_test"},
    "wheels": {"gauge_wheel_pins", "gauge_wheels_up", "tires"},
    "bar": {"skid_shoes", "flex_test", "bar_tilt", "reel_gap", "sections"}
    | {"hold_down_gap", "register", "guard_edges"},
    "reel": {"reel_step", "reel_tines", "reel_gap"},
    "belts": {"belt_tension", "belt_tracking", "belt_seal", "belt_face"}
    | {"belt_bearing_heat"},
    "drum": {"drum_fingers", "drum_bearing_heat"},
    "chain": {"feeder_chain"},
    "grease": {"grease_points"},
    "oil": {"hoses", "oil_dust"},
    "knife drive": {"knife_drive"},
}
INSPECTED = [
    (f"{key}-{place}", part)
    for key, family in known().items()
    for place, part in enumerate(family.parts, start=1)
    if part.kind == "inspection"
]


@pytest.mark.parametrize("pool", keys("situations"))
def test_no_prompt_of_a_pool_says_what_a_case_denies(pool):
    asked_as = situations.load(pool).asked_as
    assert asked_as
    for twin in asked_as:
        said = (twin.en.lower(), twin.es.lower())
        if pool in DENIED:
            assert not any(re.search(DENIED[pool], text) for text in said), said


def test_what_tells_of_its_own_field_is_asked_of_another():
    for key, family in known().items():
        for part in family.parts:
            if part.kind == "direction" and part.elsewhere:
                assert re.search(AWAY, part.prompt.en.lower()), key
                assert re.search(AWAY_ES, part.prompt.es.lower()), key


@pytest.mark.parametrize("key", keys("directions"))
def test_signs_that_name_a_crop_or_the_calibration_are_marked(key):
    setting = directions.load(key)
    told = r"wheat|barley|canola|\bpeas\b|\bbeans\b|cereal|thin, light crop|calibrated"
    if any(re.search(told, sign.text.en.lower()) for sign in setting.signs):
        assert setting.own_field


@pytest.mark.parametrize(
    "part", [part for _, part in INSPECTED], ids=[name for name, _ in INSPECTED]
)
def test_a_walk_round_holds_what_its_prompt_names(part):
    said = part.prompt.en
    running = {"reel_step", "belt_tracking", "knife_drive"}  # watched, heard as it runs
    if re.search(r"while it stands|stands still", said.lower()):
        assert not running & set(part.findings)
    if re.match(r"You (look|go round) (at|along)? ?[a-z, ]+ as well\.", said):
        first = said.split(".")[0].replace("the ", "")
        named = [keys for word, keys in COVERED.items() if word in first]
        assert set(part.findings) <= set().union(*named), said


@pytest.mark.parametrize("key", known())
def test_a_number_says_on_which_basis_it_stands(key):
    # wet basis: the same grain weighs (1 - M) / (1 - M0) as much at the market's
    # moisture, so a yield must say at which; capacity is theoretical or effective
    family = known()[key]
    for part in family.parts:
        said = (part.prompt.en, part.prompt.es)
        if part.computable == "dry_grain":
            name = family.givens["market_yield"].name
            assert "at the market's moisture" in name.en
            assert "a la humedad del mercado" in name.es
        if part.computable in ("field_capacity", "work_time"):
            assert "field efficiency" in said[0]
            assert "eficiencia de campo" in said[1]
        if part.computable == "counted_share":
            assert "stood" in said[0]
            assert "en pie" in said[1]
