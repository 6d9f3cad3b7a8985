"""What the command line prints: sentences in the reader's language, or JSON."""

import json
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable

from academy.language import gettext

Say = Callable[[str], str]


def say(asked: Namespace, text: str, **values: object) -> None:
    """Print an interface text in the language asked for.

    Where JSON was asked for, the text goes beside it, to the error stream.
    """
    translated = gettext(text, asked.reader.language)
    stream = sys.stderr if getattr(asked, "json", False) else sys.stdout
    print(translated % values if values else translated, file=stream, flush=True)


def put_json(data: object) -> None:
    """Print data as JSON, one document."""
    print(json.dumps(data, ensure_ascii=False, indent=2), flush=True)


def json_flag(one: ArgumentParser, text: str) -> None:
    """The switch to JSON."""
    one.add_argument("--json", action="store_true", help=text)
