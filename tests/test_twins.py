"""English and Spanish are equals: every text that a person sees has its twin."""

import ast
import string
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from babel.messages.catalog import Message
from babel.messages.pofile import read_po
from together import together

from academy import errors, paths
from academy.engine import guard

PACKAGE = Path(errors.__file__).parent
LOCALE = paths.content() / "locale"
ERRORS = {
    name
    for name, thing in vars(errors).items()
    if isinstance(thing, type) and issubclass(thing, errors.AcademyError)
}


@cache
def _catalogs() -> dict[str, list[Message]]:
    found = {}
    for path in sorted((LOCALE / "es").glob("*.po")):
        with path.open("rb") as file:
            found[path.name] = [m for m in read_po(file, locale="es") if m.id]
    return found


def _singular(message: Message) -> str:
    return message.id if isinstance(message.id, str) else message.id[0]


def _spanish(message: Message) -> str:
    said = message.string
    return said if isinstance(said, str) else "\n".join(said)


@cache
def _trees() -> dict[Path, ast.Module]:
    return {
        path: ast.parse(path.read_text("utf-8"))
        for path in PACKAGE.rglob("*.py")
        if "migrations/versions" not in path.as_posix()
    }


def _calls() -> Iterator[tuple[Path, ast.Call, str]]:
    for path, tree in _trees().items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                function = node.func
                name = getattr(function, "attr", getattr(function, "id", ""))
                yield path, node, name


def _first_text(call: ast.Call) -> str | None:
    first = call.args[0] if call.args else None
    if isinstance(first, ast.Constant) and isinstance(first.value, str):
        return first.value
    return None


def _raised() -> dict[str, list[set[str]]]:
    """Error key -> names of the values it carries, for each place that raises it."""
    found: dict[str, list[set[str]]] = {}
    for _path, call, name in _calls():
        key = _first_text(call)
        if name in ERRORS and key is not None:
            values = {word.arg for word in call.keywords if word.arg}
            open_ended = any(word.arg is None for word in call.keywords)
            found.setdefault(key, []).append(values | ({"*"} if open_ended else set()))
    return found


def _error_sentences() -> dict[str, dict[str, str]]:
    return tomllib.loads((LOCALE / "errors.toml").read_text("utf-8"))


def _placeholders(sentence: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}


def test_every_text_of_the_interface_has_a_spanish_twin() -> None:
    known = {
        _singular(message)
        for messages in _catalogs().values()
        for message in messages
        if _spanish(message).strip() and not message.fuzzy
    }
    from academy.web import words

    asked = set(words.messages())
    asked |= {t for _, call, name in _calls() if name == "marked"
              for t in [_first_text(call)] if t}  # fmt: skip
    assert len(asked) > 20
    assert sorted(asked - known) == []


def test_no_two_catalogs_disagree() -> None:
    said: dict[str, set[str]] = {}
    for messages in _catalogs().values():
        for message in messages:
            said.setdefault(_singular(message), set()).add(_spanish(message))
    assert {text: es for text, es in said.items() if len(es) > 1} == {}


def test_a_translation_keeps_the_places_for_values() -> None:
    for name, messages in _catalogs().items():
        for message in messages:
            assert _percent_names(_spanish(message)) >= _percent_names(
                _singular(message)
            ), f"{name}: {_singular(message)}"


def _percent_names(text: str) -> set[str]:
    return {part.partition(")")[0] for part in text.split("%(")[1:]}


def _tables(value: Any, where: str) -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(value, dict):
        yield where, value
        for key, inside in value.items():
            yield from _tables(inside, f"{where}.{key}")
    if isinstance(value, list):
        for place, inside in enumerate(value):
            yield from _tables(inside, f"{where}[{place}]")


@together(
    "path",
    sorted(paths.content().rglob("*.toml")),
    ids=lambda path: path.relative_to(paths.content()).as_posix(),
)
def test_every_text_of_content_has_its_twin(path: Path) -> None:
    lacking = [
        where
        for where, table in _tables(tomllib.loads(path.read_text("utf-8")), path.stem)
        for one, other in (("en", "es"), ("es", "en"))
        if one in table and not table.get(other)
    ]
    assert lacking == []


def test_every_lesson_has_its_twin() -> None:
    folder = paths.content() / "lessons"
    english = {path.name.removesuffix(".en.md") for path in folder.glob("*.en.md")}
    spanish = {path.name.removesuffix(".es.md") for path in folder.glob("*.es.md")}
    assert english ^ spanish == set()
    assert all(path.read_text("utf-8").strip() for path in folder.glob("*.md"))


def test_every_error_has_a_sentence_in_both_languages() -> None:
    sentences = _error_sentences()
    raised = _raised()
    assert len(raised) > 20
    assert sorted(set(raised) - set(sentences)) == []
    for key, sentence in sentences.items():
        assert set(sentence) == {"en", "es"}, key
        assert all(text.strip() for text in sentence.values()), key


def test_no_error_sentence_asks_for_a_value_that_is_not_carried() -> None:
    sentences, missing = _error_sentences(), []
    for key, places in _raised().items():
        for carried in places:
            asked = {
                p for t in sentences.get(key, {}).values() for p in _placeholders(t)
            }
            if "*" not in carried and not asked <= carried:
                missing.append((key, sorted(asked - carried)))
    assert missing == []


def test_both_languages_of_a_sentence_say_the_same_values() -> None:
    for key, sentence in _error_sentences().items():
        assert _placeholders(sentence["en"]) == _placeholders(sentence["es"]), key


def _named_quantities() -> set[str]:
    """Quantities that engine, grading and judging hand to an error by name."""
    checks = {name for name in vars(guard) if name.islower() and name[0] != "_"}
    rooms = ("engine", "grading", "competence", "drawing")
    named = set()
    for path, call, name in _calls():
        if path.relative_to(PACKAGE).parts[0] not in rooms:
            continue
        if name in checks and (text := _first_text(call)):
            named.add(text)
        if name in ERRORS:
            values = (word.value for word in call.keywords if word.arg == "name")
            named |= {v.value for v in values if isinstance(v, ast.Constant)}
    return {text.replace("_", " ") for text in named if text.isidentifier()}


def test_every_quantity_an_error_can_name_has_a_spanish_word() -> None:
    known = {_singular(m) for ms in _catalogs().values() for m in ms}
    named = _named_quantities()
    assert len(named) > 100
    assert sorted(named - known) == []
