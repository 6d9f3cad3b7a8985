"""How do we know? A page for every figure and every source."""

from flask import Blueprint, render_template, request

from academy.language import marked
from academy.service import bench_choice, engine_curves, how
from academy.service.evidence_words import EVIDENCE
from academy.web.forms.try_out import choice_form
from academy.web.visit import reader

bp = Blueprint("how", __name__, url_prefix="/how")

GROUP_NAMES = {
    "crop": marked("The crop"),
    "coefficients": marked("What the calculation rests on"),
    "machine": marked("The invented machines"),
    "state": marked("State of crop and header, as it should be or usually is"),
    "calculators": marked("Field calculators"),
    "yard": marked("Yard sign-off"),
}
SEEN = {
    "yes": marked("We read the place itself."),
    "part": marked("We read only a part of it, or a copy."),
    "no": marked("We have not read it."),
}


@bp.get("")
def index() -> str:
    """Every figure by group, and what the evidence classes mean."""
    groups = [
        (name, [one for one in how.entries().values() if one.group == key])
        for key, name in GROUP_NAMES.items()
    ]
    return render_template(
        "how_index.html",
        groups=groups,
        evidence=EVIDENCE,
        meanings=how.EVIDENCE_MEANINGS,
    )


@bp.get("/engine")
def engine() -> str:
    """Each loss against each control, and print beside the engine."""
    chosen = bench_choice.usual(request.args.to_dict())
    return render_template(
        "how_engine.html",
        choice=choice_form(chosen),
        believed=engine_curves.believed(chosen, reader()),
    )


@bp.get("/<key>")
def show(key: str) -> str:
    """One figure: value, range, evidence, source, note."""
    entry = how.entry(key)
    return render_template(
        "how.html",
        entry=entry,
        evidence=EVIDENCE[entry.figure.evidence],
        meaning=how.EVIDENCE_MEANINGS[entry.figure.evidence],
        source=entry.source,
        source_note=entry.source.noted(reader().language),
    )


@bp.get("/source/<key>")
def source(key: str) -> str:
    """One source and the figures that rest on it."""
    found = how.source(key)
    return render_template(
        "how_source.html",
        source=found,
        source_note=found.noted(reader().language),
        seen=SEEN[found.seen],
        figures=how.figures_of(key),
    )
