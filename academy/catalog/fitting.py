"""What a thing asks of the header it is met on: its build, and what carries it."""

from academy.catalog import headers
from academy.catalog.toml_files import Record
from academy.engine.conditions import Build, Carried


class Needs(Record):
    """Builds and carriages on which a finding or a fault can be met; all when none."""

    builds: tuple[Build, ...] = ()
    carried: tuple[Carried, ...] = ()

    def met_by(self, header: str, carried: str) -> bool:
        """Whether a header of that key, carried so, has it; raises NotFound."""
        build = headers.load(header).parts.build
        built = not self.builds or build in self.builds
        return built and (not self.carried or carried in self.carried)
