"""How hard a text is to read: a school grade for English, an ease for Spanish.

A line of its own (a heading, an item of a list) counts as a sentence. A numeral counts
as one word with a syllable for each digit.
"""

import re

_WORD = re.compile(r"[^\W_]+(?:['’.,-][^\W_]+)*")
_ENDS = re.compile(r"[.!?…]+(?=\s|$)|\n+")
_ENGLISH_VOWELS = re.compile(r"[aeiouy]+")
# A written e that is not spoken: at the end but not after l and a consonant, in -es but
# after a hiss, in -ed but after t and d.
_SILENT = re.compile(
    r"(?<![^aeiouy]l)e$|(?<![scxzg])(?<!sh)(?<!ch)es$|(?<![td])ed$|e(?=(?:ly|ment)$)"
)
_HUSHED_U = re.compile(r"(?<=q)u|(?<=g)u(?=[eiéí])")
# Weak vowels lean on a strong one; an accent on i or u, or two strong ones, part them.
_SPANISH_NUCLEUS = re.compile(r"[iuüy]*[aeoáéó][iuüy]*|[iuü]?[íú]|[iuüy]+")
_FINAL_Y = re.compile(r"(?<![aeiouáéíóú])y(?=[aeiouáéíóú])")


def words(text: str) -> list[str]:
    """The words of a text, in order; numerals are words."""
    return _WORD.findall(text)


def sentences(text: str) -> int:
    """How many sentences a text has: up to a full stop, or the end of a line."""
    return sum(bool(_WORD.search(part)) for part in _ENDS.split(text))


def english_syllables(word: str) -> int:
    """Syllables of an English word: runs of vowels, silent e left out, one at least.

    >>> [english_syllables(word) for word in ("knife", "moved", "table", "header")]
    [1, 1, 2, 2]
    """
    if word[0].isdigit():
        return sum(letter.isdigit() for letter in word)
    spoken = _SILENT.sub("", word.lower())
    return max(len(_ENGLISH_VOWELS.findall(spoken)), 1)


def spanish_syllables(word: str) -> int:
    """Syllables of a Spanish word: one for each strong vowel and each diphthong.

    >>> [spanish_syllables(word) for word in ("cuchilla", "vaina", "guía", "aire")]
    [3, 2, 2, 2]
    """
    if word[0].isdigit():
        return sum(letter.isdigit() for letter in word)
    spoken = _FINAL_Y.sub("", _HUSHED_U.sub("", word.lower()))
    return max(len(_SPANISH_NUCLEUS.findall(spoken)), 1)


def flesch_kincaid(text: str) -> float:
    """School grade of an English text [kincaid-1975]; 8 is that of a 13-year-old.

    0.39 times the words of a sentence, and 11.8 times the syllables of a word, less
    15.59.
    """
    found = words(text)
    syllables = sum(map(english_syllables, found))
    return 0.39 * len(found) / sentences(text) + 11.8 * syllables / len(found) - 15.59


def inflesz(text: str) -> float:
    """Reading ease of a Spanish text [szigriszt-1993]; 55 and up reads normally.

    206.835, less 62.3 times the syllables of a word, less the words of a sentence. What
    the values mean to readers of Spanish is the scale of [inflesz-2008].
    """
    found = words(text)
    syllables = sum(map(spanish_syllables, found))
    return 206.835 - 62.3 * syllables / len(found) - len(found) / sentences(text)
