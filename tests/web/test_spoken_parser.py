"""The command line helps and refuses in the reader's own language."""

import pytest

from academy.service.compute import QUANTITIES
from academy.web.cli import main

ENGLISH = ("usage", "options", "positional", "show this", "required", "invalid")


def helped(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    with pytest.raises(SystemExit) as left:
        main([*words, "--help"])
    assert left.value.code == 0
    return capsys.readouterr().out


def refused(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    with pytest.raises(SystemExit) as left:
        main(words)
    assert left.value.code == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.splitlines()) == 1
    return said.err


@pytest.mark.parametrize("command", [(), ("compute",), ("check",), ("db",),
                                     ("db", "copy")])  # fmt: skip
def test_spanish_help_has_no_english_of_the_parser(
    capsys: pytest.CaptureFixture[str], command: tuple[str, ...]
) -> None:
    told = helped(capsys, "--lang", "es", *command)
    assert told.startswith("uso: academy")
    assert not [word for word in ENGLISH if word in told]
    assert helped(capsys, "--lang", "en", *command).startswith("usage: academy")


@pytest.mark.parametrize("language", ["en", "es"])
def test_help_lists_every_figure_with_what_it_asks(
    capsys: pytest.CaptureFixture[str], language: str
) -> None:
    told = helped(capsys, "compute", "--lang", language)
    for name, quantity in QUANTITIES.items():
        assert f"\n{name}: " in told
        assert all(asked in told for asked in quantity.asks)
    assert "[market-moisture]" in told


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("compute",), "QUANTITY"),
        (("dance",), "dance"),
        (("check", "--nonsense"), "--nonsense"),
        (("serve", "--port", "x"), "x"),
    ],
)
def test_a_broken_command_is_one_sentence_in_either_language(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], named: str
) -> None:
    english = refused(capsys, "--lang", "en", *words)
    spanish = refused(capsys, "--lang", "es", *words)
    assert named in english
    assert named in spanish
    assert not [word for word in ENGLISH if word in spanish]
    assert "--help" in english
    assert "--help" in spanish
