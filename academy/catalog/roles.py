"""The jobs of a harvest crew and the topics each one needs (``content/roles``)."""

from academy.catalog.toml_files import Record, Twin, read_folder
from academy.catalog.topics import Topic
from academy.errors import ContentError


class Job(Record):
    """One job: its name, how many people it usually takes, the topics it needs."""

    order: int
    needed: int
    topics: tuple[str, ...]
    name: Twin


def load(topics: dict[str, Topic]) -> dict[str, Job]:
    """Jobs by key, in the order of the lists; every topic must be known."""
    found = read_folder("roles", Job)
    for key, job in found.items():
        for topic in job.topics:
            if topic not in topics:
                raise ContentError("unknown_topic", file=f"roles/{key}", topic=topic)
    return dict(sorted(found.items(), key=lambda item: item[1].order))
