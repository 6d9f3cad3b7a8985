"""Opening a slip on a device: language, units, and a PIN to keep."""

from flask import Blueprint, request
from werkzeug.wrappers import Response

from academy.service import signing
from academy.web import form_page
from academy.web.device_kind import kind_of
from academy.web.form_page import FormPage
from academy.web.forms.people import ReaderForm
from academy.web.visit import (
    DEVICE,
    SIGN_IN,
    address,
    go,
    house,
    leave_reader,
    now,
    read_as,
    visit,
)

bp = Blueprint("slip", __name__)


def _page(token: str) -> FormPage:
    slip = signing.open_slip(house(), token, now())
    sent = request.form if request.method == "POST" else None
    read_as(slip.language, slip.units)
    form = ReaderForm(sent, data={"language": slip.language, "units": slip.units})
    return form_page.keep("slip.html", form, slip=slip)


@bp.get("/slip/<token>")
def show(token: str) -> tuple[str, int]:
    """What the slip opens, before it is opened for good."""
    return _page(token).show()


@bp.post("/slip/<token>")
def enrol(token: str) -> Response | tuple[str, int]:
    """Open it: this device is known from now on, the person is signed in."""
    page = _page(token)
    if not page.valid():
        return page.again()
    enrolled = signing.enrol(
        house(),
        token,
        page.form["language"].data,
        page.form["units"].data,
        request.cookies.get(DEVICE),
        address(),
        now(),
        kind_of(request.user_agent.string),
    )
    leave_reader(page.form["language"].data, page.form["units"].data)
    visit().remember(DEVICE, enrolled.device_token)
    visit().remember(SIGN_IN, enrolled.sign_in_token)
    return go("today.show")
