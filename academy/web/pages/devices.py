"""A person's devices: when each was opened, last used, and how to close it."""

from flask import Blueprint, render_template
from werkzeug.wrappers import Response

from academy.language import show_moment
from academy.service import devices
from academy.web.device_kind import KIND_NAMES
from academy.web.visit import go, house, now, person, reader

bp = Blueprint("devices", __name__, url_prefix="/people/<person_id>/devices")


@bp.get("")
def show(person_id: str) -> str:
    """The devices of the viewer or of somebody whose slips they hand."""
    shown = devices.devices_of(house(), person(), person_id, now())
    language = reader().language
    return render_template(
        "devices.html",
        devices=shown,
        kind_names=KIND_NAMES,
        moment=lambda at: show_moment(at, shown.zone, language),
    )


@bp.post("/<device_id>/close")
def close(person_id: str, device_id: str) -> Response:
    """Close one."""
    devices.close_one(house(), person(), person_id, device_id, now())
    return go("devices.show", person_id=person_id)


@bp.post("/close")
def close_all(person_id: str) -> Response:
    """Close all but the one in the viewer's hand."""
    devices.close_all(house(), person(), person_id, now())
    return go("devices.show", person_id=person_id)
