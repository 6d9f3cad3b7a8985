"""The interface's words: how templates say them and how all of them are listed.

Templates write ``{% trans %}`` or ``_("...")``, Python writes ``marked("...")`` and
hands the text to a template, which translates it. The English text is its own key.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

from flask import Flask
from jinja2.ext import babel_extract

from academy.language import gettext
from academy.web.visit import reader

FUNCTIONS = ("_", "gettext", "ngettext", "say_in")
OPTIONS = {"newstyle_gettext": "true", "trimmed": "true", "silent": "false"}


def _translate(text: str) -> str:
    return gettext(text, reader().language)


def _translate_many(one: str, many: str, count: int) -> str:
    return _translate(one if count == 1 else many)


def init_app(app: Flask) -> None:
    """Teach the templates to translate for whoever reads the page."""
    app.jinja_env.policies["ext.i18n.trimmed"] = True
    app.jinja_env.add_extension("jinja2.ext.i18n")
    install = getattr(app.jinja_env, "install_gettext_callables")  # noqa: B009
    app.jinja_env.globals["say_in"] = gettext
    install(_translate, _translate_many, newstyle=True)


def _from_template(path: Path) -> Iterator[str]:
    with path.open("rb") as file:
        for _line, _function, message, _comments in babel_extract(
            file, FUNCTIONS, (), OPTIONS
        ):
            said = (message,) if isinstance(message, str) else message or ()
            yield from (text for text in said if text)


def _from_python(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "marked":
            yield str(ast.literal_eval(node.args[0]))


def messages() -> list[str]:
    """Every English text of the interface, sorted, each once."""
    here = Path(__file__).parent
    found = {
        text for path in here.rglob("*.html") for text in _from_template(path) if text
    }
    found |= {text for path in here.rglob("*.py") for text in _from_python(path)}
    return sorted(found)
