"""The program's log: what happened, never who, what was typed, or what opens a door.

One rotating file in the instance folder. A request is written as method, route template
(``/slip/<token>``, not the token), status and milliseconds; a refusal by its key; an
error by its kind and the places it went through, without its message, which may quote
what was typed. The same goes for lines of other packages: their text stays, the values
they wanted filled in do not.
"""

import logging
import sys
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from logging.handlers import RotatingFileHandler
from pathlib import Path
from secrets import token_hex
from time import gmtime, perf_counter, strftime

from flask import Flask, Response, g, request

from academy.engine.version import VERSION
from academy.service.house import House

FILE_NAME = "academy.log"
LOG = logging.getLogger("academy")
OTHERS = ("waitress", "sqlalchemy", "alembic")
_OLD_FILES = 4
_MEGABYTE = 1024 * 1024


class Bare(logging.Formatter):
    """A line without values: others' are left out, errors lose their text."""

    def formatTime(self, record: logging.LogRecord, datefmt: str | None = None) -> str:  # noqa: ARG002, N802
        """Seconds in UTC."""
        return strftime("%Y-%m-%dT%H:%M:%SZ", gmtime(record.created))

    def format(self, record: logging.LogRecord) -> str:
        """Time, level, logger, text, and where an error came through."""
        ours = record.name.split(".")[0] == LOG.name
        text = record.getMessage() if ours else str(record.msg)
        line = f"{self.formatTime(record)} {record.levelname.lower()} {text}"
        if not record.exc_info or record.exc_info[1] is None:
            return line
        return f"{line}\n{places_of(record.exc_info[1])}"


def places_of(error: BaseException) -> str:
    """Kind of an error and of those behind it, and the places, the innermost last."""
    behind = error.__cause__ or error.__context__
    lines = [places_of(behind)] if behind else []
    lines.append(f"  {type(error).__module__}.{type(error).__qualname__}")
    for frame in traceback.extract_tb(error.__traceback__):
        file = "/".join(Path(frame.filename).parts[-3:])
        lines.append(f"    {file}:{frame.lineno} {frame.name}")
    return "\n".join(lines)


@contextmanager
def kept(house: House) -> Iterator[None]:
    """Write the log of this house for as long as it is served; warnings also here."""
    file = RotatingFileHandler(
        house.instance / FILE_NAME,
        maxBytes=house.settings.log_megabytes * _MEGABYTE // (_OLD_FILES + 1),
        backupCount=_OLD_FILES,
        encoding="utf-8",
        delay=True,
    )
    console = logging.StreamHandler(sys.stderr)
    console.setLevel(logging.WARNING)
    handlers: tuple[logging.Handler, ...] = (file, console)
    for handler in handlers:
        handler.setFormatter(Bare())
    with _attached(handlers, house.settings.log_level.upper()):
        yield


@contextmanager
def _attached(handlers: tuple[logging.Handler, ...], level: str) -> Iterator[None]:
    loggers = [LOG, *(logging.getLogger(name) for name in OTHERS)]
    LOG.setLevel(level)
    for logger in loggers:
        logger.propagate = False
        for handler in handlers:
            logger.addHandler(handler)
    try:
        yield
    finally:
        LOG.setLevel(logging.NOTSET)
        for logger in loggers:
            logger.propagate = True
            for handler in handlers:
                logger.removeHandler(handler)
        for handler in handlers:
            handler.close()


def started(house: House, lan: bool) -> None:
    """Note a start: the engine's version, the database's kind, the port, who may come.

    A URL is not written: it may hold a password.
    """
    LOG.info(
        "start: engine %d, %s, port %d, %s",
        VERSION,
        house.db.engine.dialect.name,
        house.settings.listen_port,
        "network" if lan else "this computer",
    )


def stopped() -> None:
    """Note a stop that was asked for; after a crash there is none."""
    LOG.info("stop")


class Site(Flask):
    """A Flask whose own line about an error does not name the address asked for."""

    def log_exception(self, exc_info: object) -> None:
        """Write the error under the request's number."""
        LOG.error("%s broke", _number(), exc_info=exc_info)  # type: ignore[arg-type]


def _begin() -> None:
    g.request_number, g.begun = token_hex(4), perf_counter()


def _number() -> str:
    return str(g.get("request_number", "-"))


def _end(response: Response) -> Response:
    rule = request.url_rule
    took = 1e3 * (perf_counter() - g.get("begun", perf_counter()))
    LOG.info(
        "%s %s %s %d %.1f ms",
        _number(),
        _method(),
        rule.rule if rule else "(no such page)",
        response.status_code,
        took,
    )
    return response


def _method() -> str:
    """The method; one that somebody made up is not repeated."""
    known = ("GET", "HEAD", "POST", "OPTIONS", "PUT", "PATCH", "DELETE")
    return request.method if request.method in known else "(other)"


def refused(key: str) -> None:
    """Note why this request is refused, by the key of its sentence."""
    LOG.info("%s refused: %s", _number(), key)


def init_app(app: Flask) -> None:
    """Number every request first, and write its line last."""
    app.before_request_funcs.setdefault(None, []).insert(0, _begin)
    app.after_request_funcs.setdefault(None, []).insert(0, _end)
