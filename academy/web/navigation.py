"""Which pages the head of a page leads to, and where a page can send one back."""

import re
from collections.abc import Sequence
from datetime import date

from flask import Flask, request

from academy.language import marked, show_date
from academy.service import lessons
from academy.web.forms.fields import attributes
from academy.web.visit import house, reader, visit

Link = tuple[str, str]

FOR_VISITORS: tuple[Link, ...] = (
    ("lessons.index", marked("Lessons")),
    ("field.index", marked("Calculators")),
    ("sign_in.show", marked("Sign in")),
)
FOR_PEOPLE: tuple[Link, ...] = (
    ("practice.index", marked("Practice")),
    ("lessons.index", marked("Lessons")),
    ("card.own", marked("My card")),
)
FOR_TEACHERS: tuple[Link, ...] = (
    ("labs.index", marked("Labs")),
    ("assessments.index", marked("Assessments")),
    ("certificates.crew", marked("Certificates")),
    ("yard.index", marked("Yard")),
)
FOR_LEADS: tuple[Link, ...] = (
    ("readiness.show", marked("Readiness")),
    ("crew.show", marked("Crew")),
)
FOR_OWNERS: tuple[Link, ...] = (("season.show", marked("Season")),)


def site_links() -> tuple[Link, ...]:
    """Address and English name of each link in the page's head."""
    viewer = visit().viewer
    if viewer is None:
        return FOR_VISITORS
    found = FOR_PEOPLE
    if viewer.teaches:
        found += FOR_TEACHERS
    if viewer.leads:
        found += FOR_LEADS
    return found + FOR_OWNERS if viewer.owns else found


def here() -> str:
    """The address of this page, to come back to; the first page after a POST."""
    if request.method != "GET":
        return "/"
    return request.full_path.rstrip("?")


def show_day(day: date) -> str:
    """A day in the reader's words."""
    return show_date(day, reader().language)


def per_cent(chance: float) -> int:
    """A chance in whole per cent, never rounded up to certainty."""
    if 0 < chance < 1:
        chance = min(max(chance, 0.01), 0.99)
    return int(f"{chance * 100:.0f}")


def percent(chance: float) -> str:
    """``per_cent`` as it is written."""
    return f"{per_cent(chance)} %"


def is_figure(text: str) -> bool:
    """Whether a table's cell is a number with or without its unit."""
    return bool(re.match(r"[-+±$\N{MINUS SIGN}]*\d", text)) or text in ("", "–")


def of_figures(rows: Sequence[Sequence[str]], column: int) -> bool:
    """Whether most of what stands in a column of a table is a number."""
    told = [row[column] for row in rows if row[column] not in ("", "–")]
    return 2 * sum(map(is_figure, told)) >= max(len(told), 1)


def _context() -> dict[str, object]:
    return {
        "reader": reader(),
        "viewer": visit().viewer,
        "lesson_of": lessons.of_topics(),
        "idle_minutes": house().settings.shared_idle_minutes,
    }


def init_app(app: Flask) -> None:
    """Make them known to the templates."""
    app.context_processor(_context)
    app.jinja_env.globals.update(site_links=site_links, here=here, tied=attributes)
    app.jinja_env.tests["figure"] = is_figure
    app.jinja_env.tests["of_figures"] = of_figures
    app.jinja_env.filters.update(day=show_day, percent=percent, per_cent=per_cent)
