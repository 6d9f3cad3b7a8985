"""The result of an assessment as a picture and a table, in the reader's words."""

from collections.abc import Sequence

from academy.drawing.axis import ticks
from academy.drawing.points_line import PointsView, points_line
from academy.language import Language, gettext, marked
from academy.service.assessment_result import Points, TopicResult
from academy.service.views import Picture, Table

WORDS = {
    "title": marked("Points above par, scenario by scenario"),
    "description": marked(
        "Par is what a just-qualified person scores on the very same question. The "
        "line rises with what is better than that and falls with what is below."
    ),
    "y": marked("Points above par"),
    "x": marked("scenarios answered"),
    "passes": marked("enough to pass"),
    "fails": marked("enough not to pass"),
    "scenario": marked("Scenario"),
    "points": marked("Points above par"),
}
LEVELS = {
    "above": marked("above the line"),
    "below": marked("below the line"),
    "both": marked("not settled"),
}
FIGURES = marked(
    "answers: %(parts)s, score %(score)s %%, level %(level)s (%(low)s to %(high)s)"
)


def signed(value: float) -> str:
    """A figure with its sign and two decimals."""
    return f"{value:+.2f}".replace("-", "\N{MINUS SIGN}")


def points_picture(found: Points | None, language: Language) -> Picture | None:
    """The running points; None when no scenario was answered."""
    if found is None:
        return None
    words = {key: gettext(text, language) for key, text in WORDS.items()}
    heights = [found.start, *found.running, found.passes, found.fails]
    view = PointsView(
        start=found.start,
        points=found.running,
        told=[signed(value) for value in found.running],
        passes=found.passes,
        fails=found.fails,
        least=found.least,
        marks=[
            (value, f"{value:+g}".replace("-", "\N{MINUS SIGN}") if value else "0")
            for value in ticks(min(heights) - 0.2, max(heights) + 0.2, 6)
        ],
    )
    drawn = points_line(view, words)
    table = Table(words["title"], drawn.head, drawn.rows)
    return Picture(drawn.svg, drawn.title, drawn.description, table)


def topic_rows(
    found: Sequence[TopicResult], language: Language
) -> list[tuple[str, str, str]]:
    """Each topic's name, what its answers say, and the figures behind that."""
    return [
        (
            one.name,
            gettext(LEVELS[_side(one)], language),
            gettext(FIGURES, language)
            % {
                "parts": one.parts,
                "score": f"{100 * one.score:.0f}",
                "level": _level(one.level),
                "low": _level(one.low),
                "high": _level(one.high),
            },
        )
        for one in found
    ]


def _side(one: TopicResult) -> str:
    if one.low > 0:
        return "above"
    return "below" if one.high < 0 else "both"


def _level(value: float) -> str:
    return f"{value:+.1f}".replace("-", "\N{MINUS SIGN}")
