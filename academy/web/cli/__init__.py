"""The command line: ``academy serve``, ``demo``, ``compute``, ``draw``, ``check`` …

Answers go to standard output; a refusal is one sentence on standard error and exit
code 2. ``--lang es`` or a Spanish ``LANG`` makes it speak Spanish.
"""

import argparse
import os
import sys
from collections.abc import Sequence
from typing import cast

from academy.errors import AcademyError
from academy.language import Language, Reader, gettext, marked, sentence_for
from academy.web.cli import (
    backup,
    bench,
    certificate,
    check,
    compute,
    db,
    demo,
    draw,
    log,
    rebuild,
    regrade,
    restore,
    serve,
    simulate,
    stock,
)
from academy.web.cli.spoken_parser import SpokenParser

COMMANDS = (
    *(serve, demo, compute, draw, check),
    *(backup, restore, db, rebuild, regrade, log, bench, stock, simulate),
    certificate,
)
REFUSED = 2
ABOUT = marked("Trains and tests the people who set and run a cutting header.")
WHICH_LANGUAGE = marked("language of the sentences: en or es")


def _language(words: Sequence[str]) -> Language:
    """The language to speak, found before anything else is read."""
    early = argparse.ArgumentParser(add_help=False, allow_abbrev=False)
    early.add_argument("--lang", default="")
    known, _rest = early.parse_known_args(words)
    named = known.lang or os.environ.get("LC_ALL") or os.environ.get("LANG") or ""
    return "es" if named.lower().startswith("es") else "en"


def parser(language: Language) -> argparse.ArgumentParser:
    """The parser of all commands, its help in ``language``."""

    def say(text: str) -> str:
        return gettext(text, language)

    shared = SpokenParser(language, add_help=False)
    shared.add_argument(
        "--lang", choices=["en", "es"], default=language, help=say(WHICH_LANGUAGE)
    )
    made = SpokenParser(language, prog="academy", description=say(ABOUT))
    made.add_argument(
        "--lang", choices=["en", "es"], default=language, help=say(WHICH_LANGUAGE)
    )
    commands = made.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for command in COMMANDS:
        name = command.__name__.rpartition(".")[2]
        about = say(command.ABOUT)
        one = commands.add_parser(name, parents=[shared], help=about, description=about)
        command.arguments(one, say)
        one.set_defaults(run=command.run)
    return made


def main(words: Sequence[str] | None = None) -> int:
    """Run one command; its exit code."""
    typed = list(sys.argv[1:] if words is None else words)
    asked = parser(_language(typed)).parse_args(typed)
    asked.reader = Reader(asked.lang)
    try:
        return cast(int, asked.run(asked))
    except AcademyError as error:
        print(sentence_for(error, asked.reader), file=sys.stderr)
        return REFUSED
    except BrokenPipeError:
        sys.stderr.close()
        return 0
