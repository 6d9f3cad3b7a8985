"""A slip in a content file is told in plain words, in both languages."""

import ast
import re
import tomllib
from pathlib import Path

import pytest
from pydantic import Field

import academy
from academy import paths
from academy.catalog import plain_problems
from academy.catalog.directions import Direction
from academy.catalog.families import Family
from academy.catalog.lessons import body_of
from academy.catalog.toml_files import Record, parse
from academy.errors import ContentError
from academy.language import Reader, sentence_for

CATALOG = Path(academy.__file__).parent / "catalog"
KNOWN = {
    re.sub(r"\{\w*\}", "{}", one["en"]): one["es"]
    for one in tomllib.loads(
        (paths.content() / "locale" / "problems.toml").read_text("utf-8")
    )["problems"]
}


def _template(said: ast.expr) -> str:
    """A text with ``{}`` for what is put into it."""
    if isinstance(said, ast.Constant):
        return str(said.value)
    assert isinstance(said, ast.JoinedStr)
    return "".join(
        str(one.value) if isinstance(one, ast.Constant) else "{}" for one in said.values
    )


def _own_rules() -> set[str]:
    """Every sentence that a rule of the catalog refuses content with."""
    found = set()
    for path in CATALOG.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == (
                "ValueError"
            ):
                found.add(_template(node.args[0]))
    return found


def test_every_rule_and_every_finding_has_its_spanish() -> None:
    rules = _own_rules()
    assert len(rules) > 20
    plain = {re.sub(r"\{\w*\}", "{}", one) for one in plain_problems.PLAIN.values()}
    assert rules | plain <= set(KNOWN)
    for english, spanish in KNOWN.items():
        slots = re.sub(r"\{\w*\}", "{}", spanish).count("{}")
        assert english.count("{}") == slots, english
        assert spanish != english


class _Tried(Record):
    name: str
    order: int = 1
    size: float = 1.0
    shown: bool = True
    listed: tuple[str, ...] = ()
    named: dict[str, float] = Field(default_factory=dict)


@pytest.mark.parametrize(
    ("text", "english", "spanish"),
    [  # worked by hand from the sentence that each kind of slip must give
        ("", "at name: it is missing", "en name: falta; escríbalo."),
        ("name = 3", 'such as "reel"; this came: 3', "texto entre comillas"),
        ("name = 'a'\norder = 1.5", "a whole number is needed", "número entero"),
        ("name = 'a'\nsize = '2 in'", 'without a unit; this came: "2 in"', "sin uni"),
        ("name = 'a'\nshown = 'yes'", "true or false is needed", "hace falta true"),
        ("name = 'a'\nlisted = 'x'", "a list is needed", "hace falta una lista"),
        ("name = 'a'\nlisted = ['x', 2]", "at listed #2: a text", "en listed #2: hace"),
        ("name = 'a'\nnamed = 3", "a table of names and", "una tabla de nombres"),
        ("name = 'a'\nnaem = 'b'", "look for a slip of the pen", "mal escrito"),
        ("name = 'a'\nname = 'b'\n", "(at line 2, column", "en la línea 2, columna"),
    ],
)
def test_a_slip_is_told_in_plain_words_in_both_languages(
    text: str, english: str, spanish: str
) -> None:
    with pytest.raises(ContentError) as refused:
        parse(_Tried, text, "questions/tried.toml")
    assert english in sentence_for(refused.value, Reader("en", "us"))
    told = sentence_for(refused.value, Reader("es", "us"))
    assert spanish in told
    assert "questions/tried.toml" in told


def test_the_second_part_of_a_family_is_called_the_second() -> None:
    text = (paths.content() / "questions" / "free-the-bar.toml").read_text("utf-8")
    first, kind, rest = text.partition('kind = "direction"')
    with pytest.raises(ContentError) as refused:
        parse(Family, first + 'kind = "directoin"' + rest, "questions/tried.toml")
    assert kind
    assert refused.value.values["field"] == "parts #2.kind"
    said = str(refused.value.values["problem"])
    assert said.startswith("one of these is needed: set-up, direction, number")
    assert said.endswith('this came: "directoin"')


def test_a_rule_of_ours_is_told_in_spanish_with_what_came() -> None:
    path = paths.content() / "directions" / "divider.toml"
    text = path.read_text("utf-8").replace('direction = "keep"', 'direction = "down"')
    with pytest.raises(ContentError) as refused:
        parse(Direction, text, "directions/divider.toml")
    told = sentence_for(refused.value, Reader("es", "us"))
    assert 'hace falta uno de estos: lower, keep, higher; llegó: "down"' in told


@pytest.mark.parametrize(
    ("text", "strange"),
    [
        ("{{picure:side}}", ("{{picure:side}}",)),
        ("See {{picture:side}} here.", ("{{picture:side}}",)),
        ("About {{figure:reel_index}} or {{ figure:x }}.", ("{{ figure:x }}",)),
        ("{{picture:side}}", ()),
    ],
)
def test_a_slot_that_is_none_is_found_where_it_stands(
    text: str, strange: tuple[str, ...]
) -> None:
    assert body_of(text).strange == strange
