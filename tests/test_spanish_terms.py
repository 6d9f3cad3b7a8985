"""One Spanish name for one thing; other regions' words stand in the glossary alone."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from academy import paths
from academy.catalog import glossary

# The word used here, first as in the United States and Mexico, and the words of other
# regions, or of another gender, that must not stand beside it.
ONE_NAME = {
    "field": ("parcela", r"lotes?"),
    "bearing": ("rodamiento", r"cojinetes?|baleros?|rulem[aá]n(?:es)?"),
    "canola": ("canola", r"colzas?"),
    "hold-down": (
        "prensacuchilla",
        r"(?:la|las|una|unas|esa|esas|esta|estas|otra|otras|ninguna) prensacuchillas?"
        r"|(?:el|un|ese|este|otro|ningún|cada) prensacuchillas",
    ),
}


def _spanish() -> Iterator[tuple[Path, str]]:
    """Every Spanish text of the content, file by file; the glossary aside."""
    for path in sorted(paths.content().rglob("*")):
        if path.name.endswith(".es.md"):
            yield path, path.read_text("utf-8")
        elif path.suffix == ".toml" and path.name != "glossary.toml":
            text = path.read_text("utf-8")
            yield path, "\n".join(re.findall(r'\bes = "((?:[^"\\]|\\.)*)"', text))
        elif path.suffix == ".po":
            yield (
                path,
                "\n".join(
                    re.findall(
                        r'^(?:msgstr.*)?"(.*)"$', path.read_text("utf-8"), re.MULTILINE
                    )
                ),
            )


@pytest.mark.parametrize("key", ONE_NAME)
def test_a_thing_has_one_spanish_name_everywhere(key: str) -> None:
    used, others = ONE_NAME[key]
    told = {term.key: term for term in glossary.load()}
    assert told[key].es == used
    pattern = re.compile(rf"\b(?:{others})\b", re.IGNORECASE)
    found = [
        f"{path.relative_to(paths.content())}: {word[0]}"
        for path, text in _spanish()
        for word in pattern.finditer(text)
    ]
    assert found == []
    assert any(used in text for _path, text in _spanish())
