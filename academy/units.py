"""Where a number gets or loses its unit; the only room that knows pint.

A unit is known by its *label*, the ASCII spelling that stands in TOML and JSON
(``mph``, ``bu/ac``, ``ft^2``). The table below is the whole list: text typed by people
is compared with it and never handed to pint's parser, which hangs on ``9**9**9``. A
bushel is a mass fixed per crop: labels with ``bu`` need ``bushel``, its mass in kg.
"""

import inspect
import re
import threading
import tomllib
import types
import typing
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, wraps
from typing import Annotated, Any, Literal, TypeAlias, TypeVar, cast, get_type_hints

import numpy as np
import pint
from numpy.typing import NDArray

from academy import paths
from academy.errors import NotUnderstood, OutOfRange, WrongUnit

Quantity: TypeAlias = "pint.Quantity[Any]"
System: TypeAlias = Literal["us", "metric"]
Number: TypeAlias = float | NDArray[np.float64]
N = TypeVar("N", float, NDArray[np.float64])

# SI unit as in engine/si.py | label=what pint calls it, one family a line.
_TABLE = """
1 | 1= %=percent
m | m=m cm=cm mm=mm in=inch ft=foot
m^2 | m^2=m^2 ft^2=foot^2 in^2=inch^2 ha=hectare ac=acre
m^3 | m^3=m^3 L=liter gal=gallon
1/m | 1/m=1/m
kg/m | kg/m=kg/m
m/s^2 | m/s^2=m/s^2
m^3/J | m^3/J=m^3/J L/kWh=liter/kWh gal/hp-h=gallon/(horsepower*hour)
1/K | 1/K=1/kelvin
1/m^2 | 1/m^2=1/m^2 1/ft^2=1/foot^2
s | s=s min=minute h=hour day=day
1/s | 1/s=1/s 1/min=1/minute 1/day=1/day
rad | rad=radian deg=degree slope_%=slope_percent
rad/s | rad/s=radian/s rpm=rpm
m/s | m/s=m/s km/h=km/hour mph=mile/hour ft/min=foot/minute
m^2/s | m^2/s=m^2/s ha/h=hectare/hour ac/h=acre/hour
m^3/s | m^3/s=m^3/s L/h=liter/hour gal/h=gallon/hour
kg | kg=kg g=g mg=mg t=tonne lb=pound bu=bushel
kg/s | kg/s=kg/s kg/h=kg/hour t/h=tonne/hour lb/min=pound/minute bu/h=bushel/hour
kg/m^2 | kg/m^2=kg/m^2 kg/ha=kg/hectare t/ha=tonne/hectare g/m^2=g/m^2
kg/m^2 | g/ft^2=g/foot^2 lb/ac=pound/acre bu/ac=bushel/acre
kg/m^3 | kg/m^3=kg/m^3 lb/ft^3=pound/foot^3
N | N=N lbf=pound_force
N/m | N/m=N/m lb/ft=pound_force/foot
Pa | Pa=Pa kPa=kPa bar=bar psi=psi
W | W=W kW=kW hp=horsepower
J | J=J
J/kg | J/kg=J/kg kWh/t=kWh/tonne
K | K=kelvin degC=degC degF=degF
money | money=money $=money
money/kg | money/kg=money/kg $/kg=money/kg $/t=money/tonne $/lb=money/pound
money/kg | $/bu=money/bushel
money/s | money/s=money/s $/h=money/hour
money/m^2 | money/m^2=money/m^2 $/ha=money/hectare $/ac=money/acre
money/m^3 | money/m^3=money/m^3 $/gal=money/gallon $/L=money/liter
"""


def _table() -> Iterator[tuple[str, str, str]]:
    for line in _TABLE.strip().splitlines():
        si, members = line.split(" | ")
        for member in members.split():
            label, pint_name = member.split("=")
            yield label.replace("_", " "), si, pint_name


_SI_OF = {label: si for label, si, _ in _table()}
_PINT_NAME = {label: pint_name for label, _, pint_name in _table()}
LABELS: frozenset[str] = frozenset(_SI_OF)


@dataclass(frozen=True, slots=True)
class Kind:
    """How one kind of quantity is shown: a label and decimals per unit system.

    ``coarse``: from which size on, in the unit shown, it has how many decimals instead.
    """

    us: str
    metric: str
    us_decimals: int
    metric_decimals: int
    coarse: Mapping[str, tuple[float, int]]

    def shown(self, system: System) -> tuple[str, int]:
        """Label and decimals in ``system``."""
        if system == "us":
            return self.us, self.us_decimals
        return self.metric, self.metric_decimals

    def decimals(self, system: System, value: float, within: float = 1.0) -> int:
        """Decimals of ``value``, which is in the unit shown in ``system``.

        More of them where rounding would take away a greater share than ``within``.
        """
        size, fewer = self.coarse.get(system, (float("inf"), 0))
        places = fewer if abs(value) >= size else self.shown(system)[1]
        while abs(round(value, places) - value) > within * abs(value):
            places += 1
        return places


def _units_file() -> dict[str, dict[str, Any]]:
    with (paths.content() / "locale" / "units.toml").open("rb") as file:
        return tomllib.load(file)


def _kinds() -> dict[str, Kind]:
    file = _units_file()
    coarse, shown = file["coarse"], file["kinds"]
    return {
        kind: Kind(us, metric, of_us, of_metric, coarse.get(kind, {}))
        for kind, (us, metric, of_us, of_metric) in shown.items()
    }


KINDS: Mapping[str, Kind] = types.MappingProxyType(_kinds())


def _registry() -> pint.UnitRegistry[Any]:
    made: pint.UnitRegistry[Any] = pint.UnitRegistry(on_redefinition="ignore")
    made.define("acre = 43560 * foot ** 2")  # international; pint has the US survey's
    made.define("money = [money]")
    made.define("slope_percent = 0.01")
    return made


_ureg = _registry()
_naming = threading.Lock()
_made: dict[str, tuple[str, float | None]] = {}  # pint's unit -> label and bushel


def si_of(label: str) -> str:
    """SI unit, spelled as in ``engine/si.py``, that ``label`` turns into."""
    if label not in _SI_OF:
        raise WrongUnit("unknown_unit", unit=label)
    return _SI_OF[label]


def counts_bushels(label: str) -> bool:
    """Whether ``label`` means something only together with a crop."""
    return bool(si_of(label)) and "bushel" in _PINT_NAME[label]


@cache
def _bushel_name(mass: float) -> str:
    with _naming:
        name = "bushel_of_" + f"{mass!r}".replace(".", "_").replace("-", "n")
        _ureg.define(f"{name} = {mass!r} kg")
    return name


@cache
def _unit(label: str, bushel: float | None) -> Any:
    """Pint's unit of one of our labels; only texts of our own table get here."""
    if not counts_bushels(label):
        bushel, unit = None, _ureg.Unit(_PINT_NAME[label])
    elif bushel is None or not 0 < bushel < float("inf"):
        raise WrongUnit("bushel_needs_crop", unit=label)
    else:
        unit = _ureg.Unit(_PINT_NAME[label].replace("bushel", _bushel_name(bushel)))
    if label not in ("money", "money/kg"):  # these are read back as "$", "$/kg"
        _made[str(unit)] = label, bushel
    return unit


@cache
def _scale(label: str, bushel: float | None) -> tuple[float, float]:
    """Factor and offset from a label to its SI unit."""
    unit, base = _unit(label, bushel), _unit(si_of(label), None)
    at_0, at_1 = (_ureg.Quantity(n, unit).to(base).magnitude for n in (0.0, 1.0))
    return float(at_1 - at_0), float(at_0)


def to_si(value: N, label: str, bushel: float | None = None) -> N:
    """Value in SI of ``value`` in ``label``; ``bushel`` [kg] where the label has one.

    Raises WrongUnit for an unknown label and for a bushel without its crop.
    """
    if label == "slope %":
        return cast(N, np.arctan(value / 100))
    factor, offset = _scale(label, bushel)
    return value * factor + offset


def from_si(value: N, label: str, bushel: float | None = None) -> N:
    """Value in ``label`` of ``value`` in its SI unit; the inverse of ``to_si``."""
    if label == "slope %":
        return cast(N, np.tan(value) * 100)
    factor, offset = _scale(label, bushel)
    return (value - offset) / factor


def quantity(value: Number, label: str, bushel: float | None = None) -> Quantity:
    """Pint quantity of ``value`` in ``label``."""
    return _ureg.Quantity(value, _unit(label, bushel))


def _made_as(q: Quantity) -> tuple[str, float | None]:
    name = str(q.units)
    if name not in _made:
        _ = [_unit(label, None) for label in _SI_OF if not counts_bushels(label)]
    if name not in _made:
        raise WrongUnit("unknown_unit", unit=name)
    return _made[name]


def label_of(q: Quantity) -> str:
    """Label of a quantity's unit; raises WrongUnit when it is none of ours."""
    return _made_as(q)[0]


def bushel_of(q: Quantity) -> float | None:
    """Mass of the bushel [kg] that a quantity is counted in, None without one."""
    return _made_as(q)[1]


def value_in(q: Quantity, label: str, bushel: float | None = None) -> Any:
    """Magnitude of ``q`` in ``label``; raises WrongUnit across dimensions."""
    own = label_of(q)
    if si_of(own) != si_of(label):
        raise WrongUnit("wrong_dimension", unit=own, allowed=label)
    known = bushel or bushel_of(q)
    return from_si(to_si(q.magnitude, own, bushel_of(q)), label, known)


def as_pair(q: Quantity) -> list[Any]:
    """``[4.5, "mph"]``: a quantity as TOML and JSON keep it; arrays become lists."""
    value = q.magnitude
    plain = value.tolist() if isinstance(value, np.ndarray) else float(value)
    return [plain, label_of(q)]


def from_pair(pair: list[Any], bushel: float | None = None) -> Quantity:
    """Quantity of ``[4.5, "mph"]``."""
    value, label = pair
    array = np.asarray(value, float) if isinstance(value, list) else float(value)
    return quantity(array, label, bushel)


def _unit_in(hint: Any) -> str | tuple[str, ...] | None:
    origin, parts = typing.get_origin(hint), typing.get_args(hint)
    if origin is Annotated:
        return str(parts[1])
    return tuple(str(_unit_in(part)) for part in parts) if origin is tuple else None


@cache
def signature_units(formula: Callable[..., Any]) -> Mapping[str, Any]:
    """SI unit of each parameter of an engine formula and of its ``return``."""
    hints = get_type_hints(formula, include_extras=True)
    return types.MappingProxyType({name: _unit_in(h) for name, h in hints.items()})


def _bare(name: str, value: Any, si: Any) -> Any:
    """A parameter's SI number; a bare number is fine only where nothing is measured."""
    if not isinstance(value, _ureg.Quantity):
        if si not in (None, "1"):
            raise WrongUnit("unit_missing", name=name, allowed=si)
        return value
    own = label_of(value)
    if si_of(own) != si:
        raise WrongUnit("wrong_dimension", unit=own, allowed=si)
    return to_si(value.magnitude, own, bushel_of(value))


def edge(formula: Callable[..., Any]) -> Callable[..., Any]:
    """Twin of an engine formula that takes and returns quantities.

    Units come from the formula's signature; what it returns is in SI.
    """
    by_name = signature_units(formula)
    shape = inspect.signature(formula)

    @wraps(formula)
    def twin(*args: Any, **kwargs: Any) -> Any:
        given = shape.bind(*args, **kwargs).arguments
        bare = {name: _bare(name, v, by_name.get(name)) for name, v in given.items()}
        result, si = formula(**bare), by_name["return"]
        if isinstance(si, tuple):
            return tuple(
                quantity(part, one) for part, one in zip(result, si, strict=True)
            )
        return result if si is None else quantity(result, si)

    return twin


@cache
def _typed_words() -> Mapping[str, str]:
    """What people type for one word of a label -> the label's own word."""
    typed = _units_file()["typed"]
    return {word: meant for meant, words in typed.items() for word in words.split()}


_TYPED_WHOLE = {"mi/h": "mph", "kmh": "km/h", "kph": "km/h"}
_LABEL_FOLDED = {label.casefold(): label for label in LABELS}
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_COMMA_DECIMAL = re.compile(r"(?<![0-9.])[0-9]*,[0-9]{1,2}(?![0-9.,])")
_NOT_FINITE = re.compile(r"(?i)[+-]?(nan|inf)")
_LONGEST, _LARGEST = 60, 1e12


def labels_for(kind: str) -> tuple[str, ...]:
    """Every label that people may use for what ``kind`` is."""
    si = si_of(KINDS[kind].metric)
    same = (label for label in _SI_OF if _SI_OF[label] == si)
    return tuple(label for label in same if "money" not in label)


def _why_no_unit(text: str) -> str:
    if re.match(r"[*+^(-]|/\s*[0-9]", text):
        return "no_arithmetic"
    several = any(sign.isnumeric() for sign in text)
    return "several_numbers" if several else "unknown_unit"


def _typed_unit(text: str) -> str:
    """Label that a typed unit spells, ``%`` also for a slope; raises NotUnderstood."""
    folded = re.sub(r"\b(per|por)\s+(?!ciento)", "/", text.casefold())
    folded = "".join(folded.split()).replace("²", "^2").replace("³", "^3")
    words = [_typed_words().get(word, word) for word in folded.split("/")]
    joined = "/".join([words[0] or "1", *words[1:]])
    label = _LABEL_FOLDED.get(_TYPED_WHOLE.get(joined, joined).casefold())
    if label is None:
        raise NotUnderstood(_why_no_unit(text), unit=text)
    return label


def _chosen(text: str, allowed: Sequence[str], default: str | None) -> str:
    """The one of ``allowed`` that is typed; ``default`` when none is."""
    if not text:
        if default is None:
            raise WrongUnit("unit_missing", allowed=", ".join(allowed))
        return default
    label = _typed_unit(text)
    if label == "$" and default is not None and default.startswith("$"):
        return default
    if label == "%" and "%" not in allowed:
        label = "slope %"
    if label not in allowed:
        raise WrongUnit("wrong_dimension", unit=text, allowed=", ".join(allowed))
    return label


def _plain_marks(text: str, strict: bool) -> str:
    """Text with a decimal point and the money sign behind the number."""
    if "," in text:
        if strict:
            raise NotUnderstood("no_comma_here", text=text)
        if text.count(",") > 1 or not _COMMA_DECIMAL.search(text):
            raise NotUnderstood("comma_unclear", text=text)
    plain = text.replace(",", ".").replace("\N{MINUS SIGN}", "-")
    return re.sub(r"^([+-]?)\s*\$\s*([0-9.]+)", r"\1\2$", plain)


def read(
    text: str, allowed: Sequence[str], default: str | None, *, strict: bool = False
) -> tuple[float, str]:
    """Number and label of a typed text such as ``4.5 mph``, ``42in``, ``5,5``.

    ``allowed`` are the field's labels, ``default`` the one of a bare number (None: a
    unit must be typed). One comma before one or two digits is a decimal mark;
    ``strict`` refuses any comma. Raises NotUnderstood, WrongUnit, OutOfRange.
    """
    typed = text.strip()
    if not typed:
        raise NotUnderstood("nothing_typed")
    if len(typed) > _LONGEST:
        raise NotUnderstood("text_too_long", longest=_LONGEST)
    if _NOT_FINITE.match(typed):
        raise NotUnderstood("not_a_number", text=typed)
    plain = _plain_marks(typed, strict)
    number = _NUMBER.match(plain)
    if number is None:
        raise NotUnderstood("no_number", text=typed)
    rest = plain[number.end() :].strip()
    value = float(number.group())
    if abs(value) > _LARGEST:
        raise OutOfRange("size_not_meant", text=typed)
    return value, _chosen(rest, allowed, default)
