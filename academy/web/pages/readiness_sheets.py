"""The readiness board as sheets of a workbook, in the reader's words."""

from datetime import datetime

from academy.catalog.competence import CompetenceModel
from academy.exchange import workbook
from academy.exchange.workbook import Cell, Share, Sheet
from academy.language import marked, show_date
from academy.service.certified import Certified
from academy.service.readiness import Board, BoardJob, Chance
from academy.web.forms.fields import say
from academy.web.navigation import per_cent
from academy.web.pages.card import WORD_NAMES
from academy.web.visit import reader

LEGEND = (
    marked("ready: the chance of being ready for the work today is %(ready)s or more"),
    marked("refresh: it is %(refresh)s or more; an hour of practice is worth while"),
    marked("not yet: it is below %(refresh)s"),
    marked("untested: nothing answered yet, so there is no figure of one's own"),
    marked(
        "talk first: it would be ready, but a mistake that can hurt or kill has not "
        "been put right; talk face to face before any machine"
    ),
    marked(
        "Cover: the chance that at least as many people as needed are ready for a job."
    ),
    marked(
        "Missed most: the person whose absence would lower the cover most, and by how "
        "much."
    ),
    marked(
        "Forecast: chances from all answers, practice too, fading with time. "
        "Certified: facts, decided from one assessment and the yard. They can "
        "disagree: look at both."
    ),
    marked(
        "At harvest: the same on the first day of harvest, if nobody practises until "
        "then."
    ),
)
CAUTIONS = (
    marked(
        "A model reads the answers; no person has rated anyone here. Ready means ready "
        "to work under supervision; it is no licence."
    ),
    marked(
        "The machine's own book, local law and licensed trainers come first. What is "
        "practised here is no licence and no substitute for supervision."
    ),
    marked(
        "Before anyone goes near the header: lower it to the ground, shut off the "
        "engine, take the key with you and wait until everything stands still."
    ),
)


def as_workbook(
    board: Board, facts: Certified, model: CompetenceModel, now: datetime
) -> bytes:
    """The board's own figures: jobs, people, certificates, and how to read them."""
    sheets = (
        _jobs(board),
        _people(board),
        _certified(board, facts),
        _reading(board, model),
    )
    return workbook.workbook(sheets, now)


def legend(model: CompetenceModel) -> tuple[str, ...]:
    """What the words and figures mean, line by line."""
    values = {
        "ready": f"{per_cent(model.ready_chance)} %",
        "refresh": f"{per_cent(model.refresh_chance)} %",
    }
    return tuple(say(line) % values for line in LEGEND)


def _dated(board: Board) -> str:
    days = f"{board.crew_name} · {show_date(board.today, reader().language)}"
    if board.harvest is None:
        return days
    harvest = show_date(board.harvest, reader().language)
    return f"{days} · {say(marked('first day of harvest'))}: {harvest}"


def _share(chance: float | None) -> Cell:
    return None if chance is None else Share(per_cent(chance))


def _jobs(board: Board) -> Sheet:
    head = [
        marked("Job"),
        marked("People needed"),
        marked("Cover today"),
        marked("Cover at harvest"),
        marked("Missed most"),
        marked("Cover lost without them"),
        marked("Topics that no question asks yet"),
    ]
    return Sheet(
        title=say(marked("Jobs")),
        lines=(say(marked("Readiness board")), _dated(board)),
        widths=(28, 10, 10, 12, 24, 14, 48),
        head=tuple(say(word) for word in head),
        rows=tuple(_job(job) for job in board.jobs),
    )


def _job(job: BoardJob) -> tuple[Cell, ...]:
    missed = job.missed if job.missed and job.missed.drop >= 0.01 else None
    return (
        job.name,
        job.needed,
        _share(job.today),
        _share(job.harvest),
        missed.name if missed else None,
        _share(missed.drop) if missed else None,
        ", ".join(job.unasked),
    )


def _people(board: Board) -> Sheet:
    head = [
        marked("Person"),
        marked("Topic"),
        marked("State today"),
        marked("Chance today"),
        marked("Chance at harvest"),
    ]
    return Sheet(
        title=say(marked("People and topics")),
        lines=(say(marked("People and topics")), _dated(board)),
        widths=(28, 44, 14, 10, 12),
        head=tuple(say(word) for word in head),
        rows=tuple(
            (person.name, topic.name, *_chance(person.topics[topic.key]))
            for person in board.people
            for topic in board.topics
        ),
    )


def _certified(board: Board, facts: Certified) -> Sheet:
    """Valid certificates, one row for each job it is for."""
    head = [
        marked("Job"),
        marked("Person"),
        marked("Certificate"),
        marked("Valid until"),
    ]
    return Sheet(
        title=say(marked("Certified")),
        lines=(say(marked("Certified: facts")), _dated(board)),
        widths=(28, 28, 44, 16),
        head=tuple(say(word) for word in head),
        rows=tuple(
            (job.name, one.name, one.title, show_date(one.until, reader().language))
            for job in facts.jobs
            for one in job.holders
        ),
    )


def _chance(chance: Chance) -> tuple[Cell, ...]:
    word = say(WORD_NAMES[chance.word])
    if chance.word == "untested":
        return word, None, None
    return word, _share(chance.today), _share(chance.harvest)


def _reading(board: Board, model: CompetenceModel) -> Sheet:
    return Sheet(
        title=say(marked("How to read it")),
        lines=(
            say(marked("How to read it")),
            _dated(board),
            *legend(model),
            *(say(line) for line in CAUTIONS),
        ),
        widths=(100,),
    )
