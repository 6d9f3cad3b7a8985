"""Answered parts explained in the reader's words: what, why, and how we know."""

from collections.abc import Mapping, Sequence
from typing import Any

from academy.catalog import directions, sources, unit_slips
from academy.catalog import topics as topics_content
from academy.catalog.families import Asked, Family
from academy.grading.explain import shares_of_regret
from academy.language import Language, Reader, gettext, marked, show, with_unit
from academy.records.queries.answers import Answer
from academy.scenarios.facts import Facts, bushel
from academy.scenarios.number import COMPUTABLES
from academy.service import (
    cutting_explained,
    find_cause,
    find_leak,
    go_stop,
    inspection,
    misconceptions,
    one_change,
    order_explained,
    read_stubble,
    setup_explained,
)
from academy.service.engine_how import engine_how
from academy.service.evidence_words import EVIDENCE
from academy.service.ground_explained import Ground, ground_picture
from academy.service.limit_words import LIMITS
from academy.service.setup_explained import Case
from academy.service.views import HowRow, PartExplained, Picture

_HEADLINES = {
    "full": marked("As good as anyone can know."),
    "partly": marked("Part of the avoidable cost was recovered."),
    "as_found": marked("No better than the machine as found."),
    "worse_than_found": marked("This costs more than leaving the machine as found."),
    "limit_broken": marked("A hard limit is broken: this setting may not be run."),
    "close": marked("Close, but not within the tolerance."),
    "unit_slip": marked("Right method, one unit mistaken: %(slip)s."),
    "far_off": marked("Not the figure that follows from the facts."),
    "wrong_way": marked("Not this one."),
    "order_partly": marked("Some steps stand in the wrong order."),
    "wrong_choice": marked("Not this one."),
    "ticks_partly": marked("Something was missed, or ticked though it is in order."),
    "critical_finding": marked("A fault that can hurt or kill was left as it was."),
    "went_on": marked("Going on here can hurt or kill: stop."),
    "critical_pair": marked("A step that keeps people alive came too late."),
}
_ADVICE = {
    "ground_speed": (
        marked(
            "Slow down: bats hit harder, stems bunch and the bar follows less well."
        ),
        marked("Go faster: at this pace the hours cost more than the grain they save."),
    ),
    "reel_rate": (
        marked("Turn the reel slower: it strikes this crop too hard."),
        marked("Turn the reel faster: it does not carry the cut crop in."),
    ),
    "reel_height": (
        marked("Lower the reel: it meets the crop above the point of support."),
        marked("Raise the reel: the bats enter too deep for this crop."),
    ),
    "reel_lead": (
        marked("Bring the reel back: it lets go before the crop lies on the belt."),
        marked("Move the reel forward: it meets the crop too near the knife."),
    ),
    "cut_height": (
        marked("Cut lower: grain stays on the stubble."),
        marked("Cut higher: the bar digs and takes in soil."),
    ),
}
_STRAW = marked("Cut higher: the machine swallows straw that could stay in the field.")

_SPLIT = marked(
    "Header loss = (kernels where the header passed − kernels not yet cut) × mass of"
    " one kernel ÷ area of the frame. Behind = (kernels behind − kernels at the header)"
    " × mass of one kernel ÷ area ÷ (cut width ÷ discharge width)."
)
_WORKINGS = {
    "counted_header_loss": _SPLIT,
    "counted_processing_loss": _SPLIT,
    "counted_share": marked("Share = lost ÷ (harvested + lost), header and behind."),
    "counted_money": marked("Worth = (header loss + loss behind) × price."),
    "reel_speed": marked(
        "Reel speed = ground speed × reel index ÷ (π × reel diameter)."
    ),
    "loss_from_count": marked(
        "Loss = kernels counted × mass of one kernel ÷ area of the frame."
    ),
    "money_of_loss": marked("Worth = loss × price."),
    "field_capacity": marked(
        "Field capacity = width × ground speed × field efficiency."
    ),
    "work_time": marked("Hours = area of the field ÷ field capacity."),
    "drawn_in": marked("Distance = belt speed × time until the hand lets go."),
    "slope": marked("Slope = rise ÷ level distance, × 100 for percent."),
    "free_height": marked("Free height = lowest wire − highest point of the load."),
    "dry_grain": marked(
        "Lacking share = 1 − (100 − market moisture) ÷ (100 − own moisture),"
        " in percent. Worth = share × yield at market moisture × price."
    ),
}


def _headline(kept: Answer, slips: Mapping[str, str], language: Any) -> str:
    reason = kept.marks["reason"]
    if reason == "full" and not {"key", "missed"}.isdisjoint(kept.marks["detail"]):
        return gettext(marked("Right."), language)
    if reason == "partly" and "reversed" in kept.marks["detail"]:
        reason = "order_partly"
    elif reason == "partly" and kept.score <= 0:
        reason = "as_found"
    slip = kept.marks["detail"].get("slip", "")
    return gettext(_HEADLINES[reason], language) % {"slip": slips.get(slip, slip)}


def _advice(case: Case, shares: Mapping[str, float], r1: float) -> tuple[str, ...]:
    said = []
    for name, share in sorted(shares.items(), key=lambda item: -item[1]):
        off = float(getattr(case.yours, name)) - float(getattr(case.best, name))
        step = next(c.step for c in case.problem.controls if c.name == name)
        if share > r1 / len(shares) and abs(off) >= step / 2:
            ground = case.problem.machine.carried == "ground"
            straw = name == "cut_height" and off < 0 and not ground
            said.append(case.say(_STRAW if straw else _ADVICE[name][int(off < 0)]))
    return tuple(said)


def _setup(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    case = setup_explained.case_of(part, facts, kept.answer, reader)
    shares = shares_of_regret(case.problem, case.yours, case.best)
    money = {
        name: show(float(case.readings(s).cost), "money_per_area", reader)
        for name, s in (("yours", case.yours), ("best", case.best))
    }
    broken = kept.marks["detail"].get("violations", [])
    advice = tuple(case.say(LIMITS[name]) for name in broken)
    curve_of = (
        "ground_speed" if "ground_speed" in part["controls"] else part["controls"][0]
    )
    return {
        "yours": money["yours"],
        "best": money["best"],
        "advice": advice + _advice(case, shares, part["r1"]),
        "pictures": (
            setup_explained.loss_picture(case, ids),
            setup_explained.side_picture(case, ids),
            *cutting_explained.pictures(case, part["controls"], ids),
            *_front(case, part, reader, ids),
            setup_explained.curve_picture(case, curve_of, ids),
            setup_explained.share_picture(case, shares, ids),
        ),
        "tables": (
            setup_explained.settings_table(case),
            setup_explained.money_table(case),
        ),
        "how": engine_how(facts["crop"], reader),
    }


def _front(
    case: Case, part: Mapping[str, Any], reader: Reader, ids: str
) -> tuple[Picture, ...]:
    """How the bar follows the ground, where that is the topic."""
    if part["topic"] != "ground-following" or "ground" not in case.facts:
        return ()
    return (ground_picture(case.facts, Ground(case.yours, yours=True), reader, ids),)


def _direction(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    del facts, ids
    language = reader.language
    setting = directions.load(part["setting"])
    sign = setting.sign(part["sign"])
    source = sources.load()[sign.source].called(language)
    evidence = gettext(EVIDENCE[sign.evidence], language)
    name = setting.name.for_language(language)
    best = getattr(setting, part["key"]).for_language(language)
    yours = getattr(setting, kept.answer["way"]).for_language(language)
    return {
        "yours": yours,
        "best": best,
        "advice": (sign.text.for_language(language), sign.why.for_language(language)),
        "how": (HowRow(name, best, evidence, source, f"/how/source/{sign.source}"),),
    }


def _number(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    del ids
    value, label = kept.answer["value"]
    own, language = bushel(facts), reader.language
    key = show(part["key"], part["kind_of"], reader, own)
    source = COMPUTABLES[part["computable"]].source
    return {
        "yours": with_unit(f"{value:g}", label, language),
        "best": key,
        "advice": (gettext(_WORKINGS[part["computable"]], language),),
        "how": (
            HowRow(
                gettext(marked("The figure"), language),
                key,
                gettext(EVIDENCE["derived"], language),
                sources.load()[source].called(language),
                f"/how/source/{source}",
            ),
        ),
    }


_TELLS_ITS_OWN = {"one-change", "number"}
_EXPLAIN = {
    "set-up": _setup,
    "direction": _direction,
    "number": _number,
    "order": order_explained.explained,
    "one-change": one_change.explained,
    "find-the-leak": find_leak.explained,
    "inspection": inspection.explained,
    "read-the-stubble": read_stubble.explained,
    "go-or-stop": go_stop.explained,
    "find-the-cause": find_cause.explained,
}


def _slip_names(part: Mapping[str, Any], language: str) -> dict[str, str]:
    slips = unit_slips.load().get(part.get("kind_of", ""), ())
    names = {str(i): slip.name.for_language(language) for i, slip in enumerate(slips)}
    return names | {
        "ten": "× 10",
        "hundred": "× 100",
        "thousand": "× 1000",
        "sign": "±",
    }


def _thoughts(
    part: Mapping[str, Any], facts: Facts, kept: Answer, language: Language
) -> tuple[str, ...]:
    """The mistaken thoughts behind the answer, where the part does not tell its own."""
    if part["kind"] in _TELLS_ITS_OWN:
        return ()
    met = misconceptions.met(part, facts, kept.answer, kept.marks)
    found = [misconceptions.thought(key) for key in met]
    return tuple(text.for_language(language) for text in found if text)


def part_explained(
    index: int,
    asked: Asked,
    part: Mapping[str, Any],
    facts: Facts,
    kept: Answer,
    reader: Reader,
) -> PartExplained:
    """One answered part explained, in its place from 1."""
    language = reader.language
    told = _EXPLAIN[part["kind"]](part, facts, kept, reader, f"part{index}")
    thoughts = _thoughts(part, facts, kept, language)
    return PartExplained(
        index=index,
        kind=part["kind"],
        topic_name=topics_content.load()[part["topic"]].name.for_language(language),
        prompt=asked.prompt.for_language(language),
        score=kept.score,
        critical_miss=bool(kept.marks["critical_miss"]),
        headline=_headline(kept, _slip_names(part, language), language),
        thoughts=thoughts[: misconceptions.TOLD],
        more_thoughts=thoughts[misconceptions.TOLD :],
        **told,
    )


def parts(
    family: Family,
    payload: Mapping[str, Any],
    answered: Sequence[Answer],
    reader: Reader,
) -> tuple[PartExplained, ...]:
    """Every answered part of a scenario explained, in order."""
    return tuple(
        part_explained(index, asked, part, payload["facts"], kept, reader)
        for index, (asked, part, kept) in enumerate(
            zip(family.parts, payload["parts"], answered, strict=True), start=1
        )
    )
