"""The course of a belief as a picture, in the reader's words."""

from academy.drawing.belief_line import BeliefPoint, BeliefView, belief_line
from academy.language import Language, gettext, marked, show_date
from academy.service.card import CardTopic, Point
from academy.service.views import Picture, Table

LOWEST, HIGHEST = -4.0, 4.0
MARKS = (
    (-2.0, marked("well below")),
    (0.0, marked("the line")),
    (2.0, marked("well above")),
)
WORDS = {
    "title": marked("What the answers say, day by day"),
    "y": marked("Level"),
    "band": marked("where the level probably lies"),
    "day": marked("Day"),
    "level": marked("Level"),
    "range": marked("Likely range"),
    "wanted": marked("enough for the work"),
}


def _level(value: float) -> str:
    return f"{value:+.1f}".replace("-", "\N{MINUS SIGN}")


def _point(point: Point, language: Language) -> BeliefPoint:
    low, high = max(point.low, LOWEST), min(point.high, HIGHEST)
    return BeliefPoint(
        day=float(point.day.toordinal()),
        level=min(max(point.eap, LOWEST), HIGHEST),
        low=low,
        high=high,
        day_text=show_date(point.day, language),
        level_text=_level(point.eap),
        band_text=f"{_level(point.low)} … {_level(point.high)}",
    )


def belief_picture(topic: CardTopic, language: Language) -> Picture | None:
    """The picture of a topic's history; None before the first answer."""
    if not topic.history:
        return None
    view = BeliefView(
        points=[_point(point, language) for point in topic.history],
        bottom=LOWEST,
        top=HIGHEST,
        marks=[(level, gettext(name, language)) for level, name in MARKS],
        wanted=0.0,
    )
    words = {key: gettext(text, language) for key, text in WORDS.items()}
    words["description"] = f"{topic.name}. {words['title']}."
    drawn = belief_line(view, words, ids=f"belief-{topic.key}")
    table = Table(words["title"], drawn.head, drawn.rows)
    return Picture(drawn.svg, drawn.title, drawn.description, table)
