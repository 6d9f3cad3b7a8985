"""Reading grades: printed and hand-worked values, and how they move."""

import pytest

from academy.catalog.reading_grade import (
    english_syllables,
    flesch_kincaid,
    inflesz,
    sentences,
    spanish_syllables,
    words,
)

PLATYPUS = (
    "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
)


def test_the_sentence_that_is_printed_with_the_formula() -> None:
    # 24 syllables in 13 words read at grade 11.3 [kincaid-1975, as an encyclopedia
    # prints it]: 0.39 x 13 + 11.8 x 24/13 - 15.59 = 5.07 + 21.78 - 15.59 = 11.26
    assert sum(map(english_syllables, words(PLATYPUS))) == 24
    assert flesch_kincaid(PLATYPUS) == pytest.approx(11.3, abs=0.05)


def test_reading_ease_of_two_short_sentences_by_hand() -> None:
    # El mo-li-ne-te gi-ra. La cu-chi-lla cor-ta el ta-llo.
    # syllables 1+4+2 and 1+3+2+1+2: 16 in 8 words and 2 sentences;
    # 206.835 - 62.3 x 16/8 - 8/2 = 206.835 - 124.6 - 4 = 78.235 [szigriszt-1993]
    text = "El molinete gira. La cuchilla corta el tallo."
    assert inflesz(text) == pytest.approx(78.235)


@pytest.mark.parametrize(
    ("word", "count"),
    [  # parted by hand: strong vowels part, weak ones lean on them
        ("guía", 2), ("aire", 2), ("país", 2), ("baúl", 2), ("leer", 2), ("rey", 1),
        ("mayo", 2), ("quieto", 2), ("pingüino", 3), ("huida", 2), ("caían", 3),
        ("inspección", 3), ("embocador", 4), ("y", 1), ("42", 2),
    ],
)  # fmt: skip
def test_spanish_syllables_are_parted_as_by_hand(word: str, count: int) -> None:
    assert spanish_syllables(word) == count


@pytest.mark.parametrize(
    ("word", "count"),
    [  # runs of vowels, a silent e left out
        ("knife", 1), ("stubble", 2), ("moved", 1), ("lifted", 2), ("ledges", 2),
        ("places", 2), ("guards", 1), ("movement", 2), ("header", 2), ("540", 3),
    ],
)  # fmt: skip
def test_english_syllables_are_runs_of_vowels(word: str, count: int) -> None:
    assert english_syllables(word) == count


def test_longer_words_and_longer_sentences_read_harder() -> None:
    short, joined = "The reel is fast. Go slow.", "The reel is fast go slow."
    assert flesch_kincaid(joined) > flesch_kincaid(short)
    assert flesch_kincaid("The apparatus is fast. Go slow.") > flesch_kincaid(short)
    assert inflesz("El aparato va rápido y corta.") < inflesz("El rey va. Y corta.")


def test_a_heading_and_an_item_are_sentences_of_their_own() -> None:
    assert sentences("Height\nSet it low. Then look.\nSlow\n") == 4
