"""What ``academy compute --help`` says of each figure, and words beside its parts."""

from collections.abc import Mapping
from textwrap import fill
from types import MappingProxyType

from academy.language import marked
from academy.service.quantity import Quantity
from academy.web.cli.out import Say

PARTS: Mapping[str, str] = MappingProxyType(
    {
        "pre-harvest": marked("Lost before the machine came"),
        "gathering": marked("Lost at the header"),
        "processing": marked("Lost in threshing and cleaning"),
        "time-saved": marked("Worth of the time saved"),
        "ownership": marked("Paying it back, with interest"),
        "overhead": marked("Taxes, housing and insurance"),
        "repairs": marked("Repairs"),
        "fuel": marked("Fuel and lubricants"),
        "labour": marked("Labour"),
        "extra-loss": marked("Worth of the grain lost on top, taken off"),
    }
)
FIGURES: Mapping[str, str] = MappingProxyType(
    {
        "reel-speed": marked("reel speed for a wanted reel index"),
        "reel-index": marked("tip speed of the reel over ground speed"),
        "bat-entry-speed": marked("speed at which a bat comes down into the crop"),
        "axle-height": marked(
            "height of the reel's axle at which bats enter the crop top"
        ),
        "advance-per-stroke": marked("way of the machine during one knife stroke"),
        "knife-speed": marked("mean speed of the knife along its bar"),
        "cut-length": marked("length of the stubble of a stem bent before the cut"),
        "field-capacity": marked("area finished in an hour"),
        "frame-depth": marked("length of a frame as wide as the cut, for an area"),
        "loss-from-count": marked("loss from kernels counted in a frame"),
        "kernels-to-find": marked("kernels to find in a frame at a stated loss"),
        "concentration": marked("how many times the machine heaps its loss"),
        "hoop-loss": marked("loss from kernels counted in a round hoop"),
        "strip-loss": marked("loss from all kernels of a strip behind the machine"),
        "pan-loss": marked("loss of the machine from grain caught in a dropped pan"),
        "loss-split": marked("loss told apart by place, from counts at three places"),
        "loss-share": marked("loss as a share of the crop"),
        "moisture-shrink": marked("mass of the same grain at another moisture"),
        "dry-bushels": marked("bushels of a load at the market's moisture"),
        "saleable-loss": marked("weight given away by delivering grain too dry"),
        "cost-of-loss": marked("what lost grain is worth"),
        "timeliness-loss": marked("grain lost by waiting past the best day"),
        "speed-tradeoff": marked("what going faster over a field brings, or costs"),
        "capital-recovery": marked("even payment a year that pays a machine back"),
        "repair-cost": marked("repairs of a machine since it was new"),
        "hour-cost": marked("cost of an hour of machine and operator"),
        "timeliness-cost": marked("what a season that lasts too long costs"),
        "lowest-pod": marked("height of the lowest pod at another density"),
        "straw-taken": marked("straw and chaff over grain that a cut takes in"),
        "mog-feedrate": marked("straw and chaff that enter the machine in unit time"),
        "processing-loss": marked("loss behind the header at a feedrate of straw"),
        "tip-speed": marked("rim speed of a rotor or cylinder"),
        "throw-distance": marked("how far crop flies off the end of a side belt"),
        "mat-depth": marked("depth of the crop mat at the end of a side belt"),
        "ground-roughness": marked("height of the bumps of a ground, root mean square"),
        "equilibrium-moisture": marked("moisture that grain comes to in air"),
    }
)
_IN_BRACKETS = marked("Figures in square brackets may be left out.")


def _asks(quantity: Quantity) -> str:
    names = [
        name if asked.needed else f"[{name}]" for name, asked in quantity.asks.items()
    ]
    if quantity.crop is not False:
        names.insert(0, "crop" if quantity.crop else "[crop]")
    return ", ".join(names)


def listed(quantities: Mapping[str, Quantity], say_: Say) -> str:
    """Every figure that can be worked out, what it is and what it asks for."""
    lines = [say_(_IN_BRACKETS), ""]
    for name in sorted(quantities):
        lines.append(f"{name}: {say_(FIGURES[name])}")
        lines.append(
            fill(
                _asks(quantities[name]),
                initial_indent="    ",
                subsequent_indent="    ",
                break_on_hyphens=False,
            )
        )
    return "\n".join(lines)
