"""Where a load can hurt: lifting, raw meat, chemicals, fire and gas.

The weights are common practice, no source: a second person or two loads above 50 lb (23 kg),
wheels above 80 lb (36 kg).
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from teamops.calc.demand import MEASURED_UNITS
from teamops.calc.units import pounds_to_kg, show_mass
from teamops.inventory.models import Container

TWO_PEOPLE_KG = pounds_to_kg(Decimal(50))
WHEELS_KG = pounds_to_kg(Decimal(80))

RAW = (
    "Raw meat rides alone, sealed, at the bottom of its own cold box; ready food and drinks in "
    "another. Keep both at 41 °F (5 °C) or colder and read the thermometer at every opening: your "
    "local health authority’s rule goes over this."
)
CHEMICAL = "Soap, sanitizer and other chemicals ride upright, closed, and apart from food."
FUEL = (
    "Gas cylinders and fuel cans ride upright, tied, closed, outside the cabin. Load grills and "
    "ash only when cold. Never run a grill, fire or generator in a tent or vehicle: carbon "
    "monoxide. The maker’s manual, the fire marshal and the event’s rules go over this."
)
KINDS = (
    (Container.Kind.RAW, RAW),
    (Container.Kind.CHEMICAL, CHEMICAL),
    (Container.Kind.FUEL, FUEL),
)


@dataclass(slots=True)
class Load:
    """A container with what is in it: its weight [kg], and the heaviest single thing in it."""

    name: str
    whole: bool
    kind: str
    mass_kg: Decimal = Decimal(0)
    heavy: list[tuple[str, Decimal]] = field(default_factory=list)

    def add(self, name: str, amount: Decimal, unit: str, mass_kg: Decimal) -> None:
        """Put so many of something in, one of which weighs `mass_kg`."""
        self.mass_kg += amount * mass_kg
        if not self.whole and mass_kg > TWO_PEOPLE_KG and unit not in MEASURED_UNITS:
            self.heavy.append((name, mass_kg))


def cautions(loads: Iterable[Load], units: str) -> tuple[str, ...]:
    """What to mind when this is carried and driven, in sentences; weights in the team's units."""
    loads = list(loads)
    kinds = {load.kind for load in loads}
    return (*_lifting(loads, units), *(words for kind, words in KINDS if kind in kinds))


def _lifting(loads: list[Load], units: str) -> list[str]:
    heavy = [thing for load in loads for thing in load.heavy]
    heavy += [(load.name, load.mass_kg) for load in loads if load.whole]
    heavy = [(name, kg) for name, kg in heavy if kg > TWO_PEOPLE_KG]
    wheels = [(name, kg) for name, kg in heavy if kg > WHEELS_KG]
    two = [thing for thing in heavy if thing not in wheels]
    rows = []
    if two:
        limit = show_mass(TWO_PEOPLE_KG, units)
        rows.append(f"Over {limit}, so lift with two or split: {_named(two, units)}.")
    if wheels:
        limit = show_mass(WHEELS_KG, units)
        rows.append(f"Over {limit}, so use wheels or unpack it: {_named(wheels, units)}.")
    return rows


def _named(things: list[tuple[str, Decimal]], units: str) -> str:
    return "; ".join(f"{name}, {show_mass(kg, units)}" for name, kg in things)
