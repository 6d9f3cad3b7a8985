"""Go or stop: fair pools in plain words, and nothing but the facts tells the call."""

import re
from collections import Counter

import pytest
from together import together

from academy.catalog import situations, sources, topics
from academy.catalog.situations import Situation
from academy.catalog.toml_files import keys

POOLS = keys("situations")
LANGUAGES = ("en", "es")
CASES = [(pool, case) for pool in POOLS for case in situations.load(pool).cases]
every_pool = together("pool", POOLS)
every_case = together(
    "pool, case", CASES, ids=[f"{pool}/{case.key}" for pool, case in CASES]
)
_WORD = re.compile(r"[A-Za-zÀ-ÿ']+")
_UNITS = (
    (r"\d °F", "°C"),
    (r"\d ft", " m)"),
    (r"\d pies", " m)"),
    (r"\d mph", "km/h"),
)


def _syllables(word: str) -> int:
    """Groups of vowels, less a silent ending; good to a few in a hundred."""
    word = word.lower()
    groups = len(re.findall(r"[aeiouy]+", word))
    silent_e = word.endswith("e") and not word.endswith(("le", "ee", "ye"))
    silent_ed = word.endswith("ed") and not word.endswith(("ted", "ded"))
    return max(groups - (silent_e or silent_ed), 1)


def _grade(text: str) -> float:
    """Reading grade of Kincaid and others, 1975."""
    sentences = [s for s in re.split(r"[.!?:;]+", text) if _WORD.search(s)]
    words = _WORD.findall(text)
    per_word = sum(map(_syllables, words)) / len(words)
    return 0.39 * len(words) / len(sentences) + 11.8 * per_word - 15.59


@pytest.mark.parametrize(
    ("word", "count"),
    [("stubble", 2), ("engine", 2), ("raised", 1), ("wanted", 2), ("machine", 2)],
)
def test_syllables_counted_by_ear(word: str, count: int) -> None:
    assert _syllables(word) == count


def test_a_reading_grade_worked_by_hand() -> None:
    # 2 sentences, 8 words, 10 syllables: 0.39 * 4 + 11.8 * 1.25 - 15.59 = 0.72
    assert _grade("The engine is off. You climb down slowly.") == pytest.approx(0.72)


def test_there_is_a_pool_for_every_kind_of_danger() -> None:
    assert len(POOLS) >= 10


@every_pool
def test_a_pool_has_its_topic_and_cases_of_its_own(pool: str) -> None:
    content = situations.load(pool)
    assert content.topic in topics.load()
    assert 6 <= len(content.cases) <= 8
    assert len({case.key for case in content.cases}) == len(content.cases)
    texts = {case.text.for_language(x) for case in content.cases for x in LANGUAGES}
    assert len(texts) == 2 * len(content.cases)


@every_pool
def test_who_always_stops_or_always_goes_gets_half_of_a_pool(pool: str) -> None:
    cases = situations.load(pool).cases
    stops = sum(case.call == "stop" for case in cases) / len(cases)
    assert 0.4 <= stops <= 0.6


@every_case
def test_a_case_says_how_it_is_known(pool: str, case: Situation) -> None:
    del pool
    source = sources.load()[case.source]
    if case.evidence == "published":
        assert source.seen in ("yes", "part")
    else:
        assert not case.critical


@every_case
def test_a_case_is_short_and_plain(pool: str, case: Situation) -> None:
    del pool
    for language in LANGUAGES:
        assert len(case.text.for_language(language).split()) <= 45
        assert len(case.why.for_language(language).split()) <= 35
    assert _grade(case.text.en) <= 8
    assert _grade(case.why.en) <= 8


@every_case
def test_figures_stand_in_both_systems(pool: str, case: Situation) -> None:
    del pool
    for twin in (case.text, case.why):
        for language in LANGUAGES:
            text = twin.for_language(language)
            for one, other in _UNITS:
                assert not re.search(one, text) or other in text, text
        figures = [sorted(re.findall(r"\d+", t)) for t in (twin.en, twin.es)]
        assert figures[0] == figures[1]


def _shares(guess: dict[str, str], language: str) -> list[float]:
    """Right answers, pool by pool, of one who only looks how long a text is."""
    shares = []
    for pool in POOLS:
        cases = sorted(
            situations.load(pool).cases,
            key=lambda case: len(case.text.for_language(language)),
        )
        half = len(cases) // 2
        said = [guess["short"]] * half + [guess["long"]] * (len(cases) - half)
        right = [c.call == s for c, s in zip(cases, said, strict=True)]
        shares.append(sum(right) / len(cases))
    return shares


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("short", "long"), [("go", "stop"), ("stop", "go")])
def test_length_does_not_tell_the_call(language: str, short: str, long: str) -> None:
    shares = _shares({"short": short, "long": long}, language)
    assert max(shares) <= 0.75
    assert sum(shares) / len(shares) <= 0.6


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_common_word_tells_the_call(language: str) -> None:
    seen: Counter[str] = Counter()
    stops: Counter[str] = Counter()
    for _pool, case in CASES:
        words = set(_WORD.findall(case.text.for_language(language).lower()))
        seen.update(words)
        stops.update(words if case.call == "stop" else ())
    common = {word: stops[word] / count for word, count in seen.items() if count >= 15}
    assert len(common) > 15
    assert {w: share for w, share in common.items() if not 0.2 <= share <= 0.8} == {}


def test_a_distance_to_a_line_shows_the_strictest_and_that_sources_differ() -> None:
    # printed: 10 ft (co-operatives), 15 ft (a co-operative), 20 ft (a public utility)
    told = [c for c in situations.load("power-lines").cases if " ft" in c.text.en]
    assert len(told) >= 3
    for case in told:
        free = int(re.search(r"(\d+) ft", case.text.en)[1])
        assert case.call == ("go" if free > 20 else "stop")
        assert {"10", "15", "20"} <= set(re.findall(r"\d+", case.why.en))
        assert "ource" in case.why.en
        assert "fuente" in case.why.es
