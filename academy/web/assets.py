"""The one style sheet and the one script of every page, named by their content.

The files of ``static/css`` are joined in a fixed order into one sheet, the small
modules of ``static/js``, each inside its own block, into one script. A phone on a weak
signal asks twice and keeps both for a year. The service worker keeps them for places
without signal, together with the page that says so; its name never changes, so its
version is the content of all it keeps.
"""

import hashlib
import json
import re
from dataclasses import dataclass
from pathlib import Path

from flask import Blueprint, Flask, Response, abort, current_app

from academy import paths

STYLE_ORDER = (
    "site.css",
    "drawing.css",
    "print.css",
    "lab.css",
    "yard.css",
    "record.css",
    "certificates.css",
)
ONE_YEAR = 365 * 24 * 3600

bp = Blueprint("assets", __name__)


@dataclass(frozen=True)
class Asset:
    """One joined file: its name with the hash in it, its type and its bytes."""

    name: str
    media_type: str
    body: bytes


def _joined(files: list[Path]) -> str:
    return "\n".join(file.read_text(encoding="utf-8") for file in files)


def _squeezed_style(text: str) -> str:
    without_comments = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    lines = (line.strip() for line in without_comments.splitlines())
    return "\n".join(line for line in lines if line)


def _named(stem: str, ending: str, media_type: str, text: str) -> Asset:
    body = text.encode()
    digest = hashlib.sha256(body).hexdigest()[:12]
    return Asset(f"{stem}.{digest}.{ending}", media_type, body)


def _style(static: Path) -> Asset:
    files = [static / "css" / name for name in STYLE_ORDER]
    text = _squeezed_style(_joined([file for file in files if file.is_file()]))
    return _named("site", "css", "text/css", text)


def _offline(app: Flask, style: Asset) -> Asset:
    """The page for no signal, in both languages, the same for everybody."""
    page = app.jinja_env.get_template("offline.html")
    text = page.render(style=f"/static/{style.name}")
    return Asset("offline", "text/html", text.encode())


def _service_worker(static: Path, *kept: Asset) -> Asset:
    """The worker, told which files to keep and under which version."""
    text = (static / "service_worker.js").read_text(encoding="utf-8")
    digest = hashlib.sha256(b"".join([*(one.body for one in kept), text.encode()]))
    shell = ["/offline", *(f"/static/{one.name}" for one in kept[:-1])]
    told = f"const VERSION = {json.dumps(digest.hexdigest()[:12])};\n"
    told += f"const SHELL = {json.dumps(shell)};\n"
    return Asset("service-worker.js", "text/javascript", (told + text).encode())


def _script(static: Path) -> Asset:
    files = sorted((static / "js").glob("*.js"))
    return _named("site", "js", "text/javascript", _joined(files))


def init_app(app: Flask) -> None:
    """Join the files once and make their addresses known to the templates."""
    style, script = _style(paths.static()), _script(paths.static())
    app.extensions["assets"] = {asset.name: asset for asset in (style, script)}
    offline = _offline(app, style)
    worker = _service_worker(paths.static(), style, script, offline)
    app.extensions["shell"] = {asset.name: asset for asset in (offline, worker)}
    app.jinja_env.globals.update(style_file=style.name, script_file=script.name)
    app.register_blueprint(bp)


@bp.get("/static/<name>")
def show(name: str) -> Response:
    """One joined file, cacheable for a year because its name changes with it."""
    asset = current_app.extensions["assets"].get(name)
    if asset is None:
        abort(404)
    response = Response(asset.body, mimetype=asset.media_type)
    response.cache_control.public = True
    response.cache_control.max_age = ONE_YEAR
    response.cache_control.immutable = True
    return response


@bp.get("/offline", defaults={"name": "offline"})
@bp.get("/service-worker.js", defaults={"name": "service-worker.js"})
def show_shell(name: str) -> Response:
    """The page for no signal and the worker that keeps it, asked anew every time."""
    asset = current_app.extensions["shell"][name]
    response = Response(asset.body, mimetype=asset.media_type)
    response.cache_control.no_cache = True
    return response
