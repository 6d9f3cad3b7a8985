"""The cutting pattern of an answered set-up: what your pace does to the stems."""

from collections.abc import Sequence

from academy.catalog import headers, knives
from academy.catalog.headers import Header
from academy.drawing.cutting_pattern import CuttingView, cutting_pattern
from academy.engine.cutting_diagram import Diagram, Knife, diagram
from academy.engine.header import Settings
from academy.language import Reader, gettext, marked, show
from academy.service.setup_explained import Case
from academy.service.views import Picture, Table


def knife_of(header: Header) -> Knife:
    """The engine's record of a header's knife, in SI."""
    m = header.measures
    return Knife(
        pitch=m.knife_pitch.si()[1],
        stroke=m.knife_stroke.si()[1],
        tip=m.knife_tip.si()[1],
        edges=(m.knife_edge.si()[1],),
        ledger=m.ledger_width.si()[1],
    )


def pattern_words(reader: Reader) -> dict[str, str]:
    """Words of every picture of a cutting pattern, without title and description."""
    texts = {
        "travel": marked("direction of travel"),
        "measure": marked("Measure"),
        "value": marked("Value"),
        "once": marked("cut once"),
        "bunched": marked("bunched: bent forward before an edge reaches them"),
        "recut": marked("stubble cut again"),
        "advance": marked("ground covered in one stroke"),
        "forward": marked("how far bunched stems are bent forward, on average"),
        "swept": marked("ground that an edge sweeps in one stroke"),
        "ledger": marked("guards with their ledgers, where stems are cut"),
        "section": marked("half a section as its stroke begins"),
    }
    return {kind: gettext(text, reader.language) for kind, text in texts.items()}


def _words(case: Case) -> dict[str, str]:
    texts = {
        "title": marked("What your knife does to the stems, from above"),
        "description": marked(
            "One section's width of ground over two strokes, to scale. Stems on bare "
            "ground are bent forward by the knife back; where bands cross, stubble is "
            "cut again."
        ),
        "best": marked("bunched with the best settings"),
        "half": marked("bunched at your pace with half-pitch sections"),
    }
    said = {kind: case.say(text) for kind, text in texts.items()}
    return pattern_words(case.reader) | said


def _pattern(case: Case, knife: Knife, settings: Settings) -> Diagram:
    return diagram(knife, float(case.readings(settings).advance_per_stroke))


def pattern_values(made: Diagram, reader: Reader) -> dict[str, str]:
    """What the key of a picture says of one pattern, in the reader's words."""
    values = {
        "once": show(made.once, "share", reader),
        "bunched": show(made.bunched, "share", reader),
        "recut": show(made.recut, "share", reader),
        "advance": show(made.advance, "small_length", reader),
    }
    bunched = made.passes == 0
    if bunched.any():
        forward = float(made.forward[bunched].mean())
        values["forward"] = show(forward, "small_length", reader)
    return values


def _values(case: Case, yours: Diagram, best: Diagram) -> dict[str, str]:
    values = pattern_values(yours, case.reader)
    values["best"] = show(best.bunched, "share", case.reader)
    half = diagram(knives.knife(knives.of("half-pitch")), yours.advance)
    values["half"] = show(half.bunched, "share", case.reader)
    return values


def cutting_picture(case: Case, ids: str) -> Picture:
    """The cutting pattern at your ground speed, beside what the best would bunch."""
    knife = knife_of(headers.load(case.facts["header"]))
    yours, best = (_pattern(case, knife, s) for s in (case.yours, case.best))
    drawn = cutting_pattern(
        CuttingView(knife, yours.advance, yours=True),
        _words(case),
        _values(case, yours, best),
        f"{ids}-knife",
    )
    table = Table(drawn.title, drawn.head, drawn.rows)
    return Picture(drawn.svg, drawn.title, drawn.description, table)


def pictures(case: Case, controls: Sequence[str], ids: str) -> tuple[Picture, ...]:
    """The pattern where the pace was asked for; nothing where it stood fixed."""
    return (cutting_picture(case, ids),) if "ground_speed" in controls else ()
