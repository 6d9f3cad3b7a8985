"""The reader of the command line, whose own words are in the reader's language too."""

import argparse
from functools import partial
from typing import Any, NoReturn

from academy.language import Language, gettext, marked

_USAGE = marked("usage: ")
_PLACES = marked("what it takes")
_SWITCHES = marked("options")
_HELP = marked("show this help and stop")
_BROKEN = marked("This command cannot be read: %(problem)s. See %(command)s --help.")
_NO_FIT = marked("This command cannot be read; look at: %(problem)s.")
_SEE = marked("See %(command)s --help.")


class _Raw(argparse.RawDescriptionHelpFormatter):
    language: Language = "en"

    def add_usage(
        self, usage: Any, actions: Any, groups: Any, prefix: str | None = None
    ) -> None:
        spoken = gettext(_USAGE, self.language) if prefix is None else prefix
        super().add_usage(usage, actions, groups, spoken)


class _RawSpanish(_Raw):
    language: Language = "es"


class SpokenParser(argparse.ArgumentParser):
    """An argument parser that titles, helps and refuses in one language."""

    def __init__(self, language: Language = "en", **given: Any) -> None:
        wants_help = given.pop("add_help", True)
        shape = _RawSpanish if language == "es" else _Raw
        super().__init__(formatter_class=shape, add_help=False, **given)
        self.language: Language = language
        self._positionals.title = gettext(_PLACES, language)
        self._optionals.title = gettext(_SWITCHES, language)
        if wants_help:
            self.add_argument(
                "-h", "--help", action="help", help=gettext(_HELP, language)
            )

    def add_subparsers(self, **given: Any) -> Any:
        """Commands below this one, which speak as it does."""
        given.setdefault("parser_class", partial(SpokenParser, self.language))
        return super().add_subparsers(**given)

    def error(self, message: str) -> NoReturn:
        """One sentence on the error stream, and exit code 2.

        What argparse says is English; in Spanish only the words it names are kept.
        """
        command = {"command": self.prog}
        if self.language == "en":
            told = gettext(_BROKEN, "en") % (command | {"problem": message})
        else:
            named = message.rpartition(": ")[2].partition(" (")[0]
            told = gettext(_NO_FIT, self.language) % {"problem": named}
            told += " " + gettext(_SEE, self.language) % command
        self.exit(2, told + "\n")
