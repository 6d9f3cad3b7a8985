"""What is wrong with the lists of the yard sign-off and the record of instruction."""

from collections import Counter
from collections.abc import Container, Iterator

from academy.catalog import blueprints, crops, headers, instruction, sources, yard
from academy.catalog.headers import Parts
from academy.catalog.yard import Item, SignOffList
from academy.errors import AcademyError, ContentError
from academy.service.yard_judges import JUDGES

LONGEST_KEY = 64
READERS = (yard.rule, yard.groups, yard.known, instruction.load)
"""What reads the files, one each."""


def problems() -> Iterator[AcademyError]:
    """Every problem of the lists, of their groups, and of the instruction."""
    for key, group in yard.groups().items():
        for item in group.items:
            yield from _item(f"yard_groups/{key}", item)
    for key, one in yard.known().items():
        yield from _list(f"yard/{key}", one)
    for fact in instruction.load().facts():
        yield from _named("instruction", "source", fact.source, sources.load())
    for key, certificate in blueprints.known().items():
        wanted = certificate.sign_off
        yield from _named(f"blueprints/{key}", "sign_off", wanted, yard.known())
        if wanted in yard.known() and not set(certificate.headers) <= set(
            yard.load(wanted).headers
        ):
            yield ContentError("yard_list_misses_header", file=f"blueprints/{key}")


def _named(
    file: str, field: str, name: str, known: Container[str]
) -> Iterator[AcademyError]:
    if name not in known:
        yield ContentError("names_unknown", file=file, field=field, value=name)


def _item(file: str, item: Item) -> Iterator[AcademyError]:
    yield from _named(file, f"{item.key}.source", item.source, sources.load())
    for part, kinds in item.only.items():
        yield from _named(file, f"{item.key}.only", part, Parts.model_fields)
        for kind in kinds if part in Parts.model_fields else ():
            yield from _named(file, f"{item.key}.only.{part}", kind, _kinds(part))
    if item.kind == "measured":
        yield from _measured(file, item)


def _kinds(part: str) -> set[str]:
    """The kinds of a part that headers have."""
    return {
        str(getattr(headers.load(key).parts, part)).lower() for key in headers.known()
    }


def _measured(file: str, item: Item) -> Iterator[AcademyError]:
    if item.judge not in JUDGES:
        yield from _named(file, f"{item.key}.judge", item.judge, JUDGES)
        return
    wanted, found = set(JUDGES[item.judge][1]), {one.key for one in item.inputs}
    for name in sorted(found ^ wanted):
        yield ContentError(
            "names_unknown", file=file, field=f"{item.key}.inputs", value=name
        )


def _list(file: str, one: SignOffList) -> Iterator[AcademyError]:
    for field, names, known in (
        ("groups", one.groups, yard.groups()),
        ("headers", one.headers, headers.known()),
        ("crops", one.crops, crops.known()),
    ):
        for name in names:
            yield from _named(file, field, name, known)
    if any(name not in yard.groups() for name in one.groups):
        return
    if one.groups[0] != yard.SAFE_STOP or not _observed(yard.SAFE_STOP):
        yield ContentError("yard_list_without_safe_stop", file=file)
    items = [item for name in one.groups for item in yard.groups()[name].all_items()]
    counts = Counter(item.key for item in items)
    for key in sorted(key for key, times in counts.items() if times > 1):
        yield ContentError("yard_item_twice", file=file, value=key)
    for key in sorted(key for key in counts if len(key) > LONGEST_KEY):
        yield ContentError("name_too_long", name=key, most=LONGEST_KEY)
    asks_crop = any(each.kind == yard.CROP for item in items for each in item.inputs)
    if asks_crop and not one.crops:
        yield ContentError("names_unknown", file=file, field="crops", value="")


def _observed(group: str) -> bool:
    """Whether a group is the whole safe stop, but for the work after it."""
    found = yard.groups()[group]
    return found.procedure == yard.SAFE_STOP and set(found.leave_out) <= {"task"}
