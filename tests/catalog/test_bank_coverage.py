"""What the bank covers: every topic often enough, and in several ways."""

import re
from collections import defaultdict
from collections.abc import Iterator

import pytest

from academy.catalog import directions, families, lessons, situations, topics
from academy.catalog.families import Asked
from academy.catalog.procedures import known as procedures

LEAST_FAMILIES, LEAST_KINDS, LEAST_IN_ALL = 4, 3, 70  # as the bank is meant to be


def test_every_topic_is_asked_by_several_families_in_several_ways() -> None:
    asked, kinds = defaultdict(set), defaultdict(set)
    for key, family in families.known().items():
        for part in family.parts:
            asked[part.topic].add(key)
            kinds[part.topic].add(part.kind)
    assert len(families.known()) >= LEAST_IN_ALL
    for topic in topics.load():
        assert len(asked[topic]) >= LEAST_FAMILIES, topic
        assert len(kinds[topic]) >= LEAST_KINDS, (topic, kinds[topic])


def test_every_procedure_is_asked() -> None:
    parts = [part for family in families.known().values() for part in family.parts]
    asked = {part.procedure for part in parts if part.kind == "order"}
    assert asked == set(procedures())


# The header's own subjects. Each: what asks it (a setting of content/directions, after
# "/" the signs that mean it where the setting holds others too; findings; procedures;
# pools, with their cases; computables; faults; graded controls), and the lesson that
# teaches it, with a word of it in both languages.
SUBJECTS = {
    "coarse and fine sections": (
        {"setting:section_edges"},
        ("knife", "[Cc]oarse edges suit", "dentado grueso"),
    ),
    "long and short sections in turn": (
        {"setting:section_lengths", "faults:old_stalks"},
        ("knife", "[Ll]ong and short sections", "largas y cortas alternadas"),
    ),
    "clearance of hold-downs and guards": (
        {"findings:hold_down_gap", "faults:hold_down_wide", "faults:hold_down_tight"},
        ("knife-fit", "gap under a hold-down", "juego bajo un prensacuchilla"),
    ),
    "register": (
        {"findings:register"},
        ("knife-fit", "In register", "En registro"),
    ),
    "running in and heat": (
        {"procedure:run-in", "findings:hold_down_heat"},
        ("knife-fit", "Running in", "El rodaje"),
    ),
    "changing a section or the knife": (
        {"procedure:knife-change"},
        ("knife-fit", "Changing a section", "Cambiar una sección"),
    ),
    "a spare knife that matches": (
        {"findings:spare_knife"},
        ("knife-fit", "It must match in length", "Deben ser iguales el largo"),
    ),
    "drive power when crossing the rows": (
        {"setting:row_angle/whole-knife-at-once,load-jumps-at-each-row"},
        ("knife", "the load on the drive jumps", "la carga del mando salta"),
    ),
    "reel speed": (
        {"controls:reel_rate", "computable:reel_speed"},
        ("reel", "reel index", "índice de molinete"),
    ),
    "reel height": ({"controls:reel_height"}, ("reel", "Height", "Altura")),
    "reel fore-and-aft": (
        {"controls:reel_lead", "faults:reel_far"},
        ("reel", "Fore and aft", "Adelante y atrás"),
    ),
    "tine pitch": (
        {"setting:tine_pitch"},
        ("reel", "tilt the tines back", "incline los dientes"),
    ),
    "clearance to the raised bar": (
        {"findings:reel_gap"},
        ("reel", "from the bar when it is all the way up", "arriba del todo"),
    ),
    "reel sections out of step": (
        {"findings:reel_step", "procedure:rephase-series", "procedure:rephase-valves"},
        ("reel-in-step", "out of step", "fuera de fase"),
    ),
    "header angle": (
        {"setting:header_angle", "findings:bar_tilt"},
        ("ground-following", "Too steep", "Muy inclinado"),
    ),
    "skid shoes": (
        {"findings:skid_shoes"},
        ("ground-following", "Shoes", "Patines"),
    ),
    "bar free, half-free or locked": (
        {"setting:bar_freedom", "procedure:bar-release"},
        ("ground-following", "half-free", "medio recorrido"),
    ),
    "wing and frame weight, soil pushed": (
        {"setting:float_force", "faults:wing_heavy", "faults:frame_heavy"},
        ("wings", "weight of that wing first", "primero el peso de esa ala"),
    ),
    "response of the height control": (
        {"setting:height_response"},
        ("ground-following", "change its response", "cambie la respuesta"),
    ),
    "calibration after attaching": (
        {"findings:height_calibration", "setting:height_response/not-calibrated"},
        ("off-ground", "Teach the sensors anew", "Enseñar de nuevo a los sensores"),
    ),
    "gauge wheels, cutting off the ground": (
        {"findings:gauge_wheel_pins", "changes:fit_wheels"},
        ("off-ground", "gauge wheels", "ruedas de control de altura"),
    ),
    "level and tires": (
        {"findings:tires", "faults:one_end_high"},
        ("off-ground", "Level from the start", "Parejo desde el comienzo"),
    ),
    "side-belt speed": (
        {"setting:belt_speed", "faults:belts_slow"},
        ("crop-flow", "Belt speed", "Velocidad de la lona"),
    ),
    "side-belt tension": (
        {"setting:belt_tension", "findings:belt_tension"},
        ("belts", "Between the marks", "Entre las marcas"),
    ),
    "belt tracking and seal": (
        {"findings:belt_tracking", "findings:belt_seal", "faults:seal_open"},
        ("belts", "The gap to the bar", "El espacio hasta la barra"),
    ),
    "feed-drum speed": (
        {"setting:drum_speed", "faults:drum_fast"},
        ("crop-flow", "Start with a slow drum", "Empiece con el tambor lento"),
    ),
    "drum finger timing": (
        {"setting:finger_timing", "faults:fingers_late"},
        ("crop-flow", "let go too late", "sueltan tarde"),
    ),
    "centre deflectors": (
        {"setting:centre_deflector"},
        ("crop-flow", "centre deflector", "deflector central"),
    ),
    "crop lifters and other options": (
        {"setting:crop_lifters", "setting:cross_auger"},
        ("crop-flow", "Crop lifters", "levantamieses"),
    ),
    "short or long dividers": (
        {"setting:divider"},
        ("ends", "Long or short", "Largo o corto"),
    ),
    "finding the ends at night": (
        {"situation:ends-at-night"},
        ("ends", "After dark", "De noche"),
    ),
    "states of the wing hydraulics": (
        {"findings:wing_state", "procedure:wing-state"},
        ("wings", "there are three states", "hay tres estados"),
    ),
    "a service state is no prop": (
        {"situation:raised-on-oil/wing-in-service", "procedure:wing-state"},
        ("wings", "service state is not a prop", "no es un puntal"),
    ),
    "what is left behind": (
        {"procedure:loss-check", "computable:loss_from_count"},
        ("measuring-losses", "Use a frame of known size", "Use un marco"),
    ),
    "where it was lost": (
        {"computable:counted_header_loss", "computable:counted_processing_loss"},
        ("measuring-losses", "Three places", "Tres lugares"),
    ),
    "what it costs": (
        {"computable:money_of_loss", "computable:counted_money"},
        ("measuring-losses", "turns loss into money", "pasa la pérdida a dinero"),
    ),
}


def _asks(part: Asked) -> Iterator[str]:
    for field in ("setting", "procedure", "computable", "situation"):
        if key := getattr(part, field):
            yield f"{field}:{key}"
    for field in ("findings", "faults", "controls", "changes"):
        yield from (f"{field}:{key}" for key in getattr(part, field))


@pytest.mark.parametrize("subject", SUBJECTS)
def test_every_subject_of_the_header_is_asked_twice_and_taught(subject: str) -> None:
    wanted, (lesson, english, spanish) = SUBJECTS[subject]
    plain = {one.partition("/")[0] for one in wanted}
    asking = [
        key
        for key, family in families.practised().items()
        if plain & {one for part in family.parts for one in _asks(part)}
    ]
    assert len(asking) >= 2, (subject, asking)
    for language, word in (("en", english), ("es", spanish)):
        assert re.search(word, lessons.load(lesson).bodies[language].plain), subject


def test_the_signs_and_cases_that_mean_a_subject_are_there() -> None:
    for wanted, _lesson in SUBJECTS.values():
        for one in wanted:
            named, _, keys = one.partition("/")
            kind, _, name = named.partition(":")
            if keys and kind == "setting":
                assert set(keys.split(",")) <= {
                    s.key for s in directions.load(name).signs
                }
            elif keys:
                assert keys in {case.key for case in situations.load(name).cases}
