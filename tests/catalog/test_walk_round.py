"""Walk-round findings: sourced, told apart by what they say and by nothing else."""

import re

import pytest

from academy import units
from academy.catalog import sources, walk_round
from academy.catalog.walk_round import Finding

FINDINGS = walk_round.load()
MEASURED = {key: one for key, one in FINDINGS.items() if one.kind}
SEEN = {key: one for key, one in FINDINGS.items() if not one.kind}
every_finding = pytest.mark.parametrize("finding", FINDINGS.values(), ids=FINDINGS)
# Limits as printed. Hold-down: 1/32 in, Michigan State University Extension. Tines: 2
# in, Iowa State University. Bearings: 125-150 degF usual, Nebraska Extension; 180 degF
# act, extension guidance.
LIMITS = {
    "hold_down_gap": (1 / 32, 1 / 32, "in"),
    "reel_gap": (2, 2, "in"),
    "knife_bearing_heat": (150, 180, "degF"),
    "belt_bearing_heat": (150, 180, "degF"),
    "drum_bearing_heat": (150, 180, "degF"),
}


def test_there_are_enough_findings_of_both_kinds() -> None:
    assert len(FINDINGS) >= 26
    assert set(MEASURED) == set(LIMITS)
    assert any(one.critical for one in FINDINGS.values())


@every_finding
def test_a_finding_says_how_it_is_known(finding: Finding) -> None:
    source = sources.load()[finding.source]
    if finding.evidence == "published":
        assert source.seen in ("yes", "part")
    else:
        assert not finding.critical


@pytest.mark.parametrize("key", LIMITS)
def test_gauge_readings_keep_clear_of_the_printed_limit(key: str) -> None:
    finding, (low, high, unit) = FINDINGS[key], LIMITS[key]
    assert finding.good is not None
    assert finding.bad is not None
    assert finding.good.unit == finding.bad.unit == unit
    assert units.si_of(unit) == units.si_of(units.KINDS[finding.kind].metric)
    if key == "reel_gap":
        assert finding.bad.high < low <= high < finding.good.low
    else:
        assert finding.good.high <= low <= high < finding.bad.low


@pytest.mark.parametrize("key", MEASURED)
@pytest.mark.parametrize("system", ["us", "metric"])
def test_a_good_reading_never_rounds_to_a_bad_one(key: str, system: str) -> None:
    finding = MEASURED[key]
    label, decimals = units.KINDS[finding.kind].shown(system)

    def shown(grid, index: int) -> float:
        value = units.from_si(units.to_si(grid.value(index), grid.unit), label)
        return round(float(value), decimals)

    good = {shown(finding.good, n) for n in range(finding.good.size)}
    bad = {shown(finding.bad, n) for n in range(finding.bad.size)}
    assert not good & bad


@every_finding
def test_no_figure_that_only_a_machine_book_may_give(finding: Finding) -> None:
    words = f"{finding.name.en} {finding.rule.en}".lower()
    if re.search(r"tension|torque|float|pressure", words):
        assert not re.search(r"\d", words)
    assert not re.search(r"psi|lb.?ft|n·m|nm\b|kpa|bar\)", words)


# Calls that operators dispute: a matter of date, of habit, or of wear that still holds.
DISPUTED = r"out of date|not wiped|adjuster|vencid|sin limpiar|tensor\b"


@pytest.mark.parametrize("key", SEEN)
def test_a_faulty_thing_is_broken_missing_or_wrong(key: str) -> None:
    faulty = SEEN[key].faulty
    assert faulty is not None
    assert not re.search(DISPUTED, f"{faulty.en} {faulty.es}")


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_longer_words_are_as_often_fine_as_faulty(language: str) -> None:
    longer = [
        len(one.faulty.for_language(language)) > len(one.fine.for_language(language))
        for one in SEEN.values()
    ]
    assert 0.35 <= sum(longer) / len(longer) <= 0.65


@pytest.mark.parametrize("key", SEEN)
def test_fine_and_faulty_are_told_apart_in_both_languages(key: str) -> None:
    finding = SEEN[key]
    for language in ("en", "es"):
        fine, faulty = (
            twin.for_language(language) for twin in (finding.fine, finding.faulty)
        )
        assert fine != faulty
        assert max(len(fine), len(faulty)) <= 55
        assert abs(len(fine) - len(faulty)) <= 14
