"""Whether this process can serve: its database answers and there is room to write."""

import shutil

from flask import Blueprint, Response, jsonify

from academy.service import farm
from academy.web.visit import house

bp = Blueprint("health", __name__)

LEAST_FREE = 50 * 1024 * 1024


@bp.get("/health")
def show() -> tuple[Response, int]:
    """``ok`` with 200, else 503 and what is wrong."""
    farm.farm(house())
    free = shutil.disk_usage(house().instance).free
    fine = free >= LEAST_FREE
    answer = jsonify(status="ok" if fine else "disk_almost_full", free_bytes=free)
    return answer, 200 if fine else 503
