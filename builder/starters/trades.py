"""Trades that a starter is there for: invented places, with the hazards that the trade is known for.

What may be in the air of each is a list to begin a survey with and never the survey.
"""

from dataclasses import dataclass
from typing import Final

ENTRY, WORK, FLAME = "confined-space-entry", "inspection", "hot-work"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One area of the starter."""

    id: str
    name: str
    activities: tuple[str, ...]
    hazards: tuple[tuple[str, str], ...]
    """Gas and why it may be there; oxygen stands for too little of it, ``oxygen+`` for too much as well."""
    note: str = ""
    """What whoever knows the trade would miss in a list of gases."""
    own_sensors: tuple[str, ...] = ()
    """Keys of ``sensing.KINDS``, where detectors of its own are carried there."""

    @property
    def own(self) -> str:
        """What ids of the models carried there have behind their kind."""
        return f"-{self.id}" if self.own_sensors else ""

    @property
    def entered(self) -> bool:
        """Whether it is a confined space."""
        return ENTRY in self.activities


@dataclass(frozen=True, slots=True, kw_only=True)
class Trade:
    """A trade with its sensors and areas."""

    id: str
    name: str
    works: str
    """Name of an invented place, where none is given."""
    place: str
    """Whose rules hold, where none are named; an id of the table of places."""
    channels: tuple[str, ...]
    """Keys of ``sensing.KINDS``."""
    areas: tuple[Place, ...]
    source: str
    """Who names these hazards."""

    def sensors_in(self, area: Place) -> tuple[str, ...]:
        """Keys of ``sensing.KINDS`` of the detectors carried in an area."""
        return area.own_sensors or self.channels

    @property
    def sets(self) -> dict[str, tuple[str, ...]]:
        """Sensors of each pair of models, by what their ids have behind the kind: nothing, or the area's id."""
        return {area.own: self.sensors_in(area) for area in self.areas}

    @property
    def every_channel(self) -> tuple[str, ...]:
        """Keys of all sensors of the trade."""
        return tuple(dict.fromkeys(name for names in self.sets.values() for name in names))


HYDROGEN = (
    "Most cells for carbon monoxide read hydrogen too: leave on the alarm all the same. The manual gives how much."
)

TRADES: Final = (
    Trade(
        id="water",
        name="Water and sewage",
        works="Brackwater Treatment Works",
        place="us-general-industry",
        channels=("flammable", "oxygen", "hydrogen-sulfide", "carbon-monoxide"),
        source="29 CFR 1910.146, Appendix E (sewer system entry)",
        areas=(
            Place(id="wet-well", name="Wet well", activities=(ENTRY,), hazards=(
                ("methane", "sludge that digests"), ("hydrogen-sulfide", "septic sewage, freed when it is stirred"),
                ("carbon-monoxide", "exhaust of engines at the opening"), ("oxygen", "used up by bacteria"))),
            Place(id="screen-hall", name="Screen hall", activities=(WORK,), hazards=(
                ("methane", "gas rising with the inflow"), ("hydrogen-sulfide", "splashing sewage"),
                ("oxygen", "gas that gathers in channels"))),
        ),
    ),
    Trade(
        id="tanks",
        name="Tank cleaning and refining",
        works="Sandhithe Terminal",
        place="us-general-industry",
        channels=("flammable", "oxygen", "hydrogen-sulfide", "carbon-monoxide", "vapour"),
        source="29 CFR 1910.146, Appendix C; facts on benzene and hydrogen sulfide as in the reference library",
        areas=(
            Place(id="product-tank", name="Product tank", activities=(ENTRY,), hazards=(
                ("n-hexane", "stands for vapour of light products"), ("benzene", "part of many light products"),
                ("hydrogen-sulfide", "sour products and sludge"), ("oxygen", "inert gas and rust")),
                note="Under inert gas a catalytic sensor shows nothing: purge with air first, or carry infrared."),
            Place(id="pump-house", name="Pump house", activities=(WORK, FLAME), hazards=(
                ("n-hexane", "leaking seals"), ("hydrogen-sulfide", "sour products"),
                ("carbon-monoxide", "engines"))),
        ),
    ),
    Trade(
        id="brewery",
        name="Brewery and carbon dioxide",
        works="Larkmere Brewery",
        place="us-general-industry",
        channels=("flammable", "oxygen", "carbon-dioxide"),
        source="29 CFR 1910.146; carbon dioxide from fermentation: common knowledge of the trade, no source",
        areas=(
            Place(id="fermenting-vessel", name="Fermenting vessel", activities=(ENTRY,), hazards=(
                ("carbon-dioxide", "fermentation; it lies at the bottom"), ("oxygen", "pushed out by carbon dioxide"),
                ("ethanol", "fermentation and cleaning"))),
            Place(id="cellar", name="Cellar", activities=(WORK,), hazards=(
                ("carbon-dioxide", "leaks of kegs and lines"), ("oxygen", "pushed out by carbon dioxide"))),
        ),
    ),
    Trade(
        id="cold-store",
        name="Cold store with ammonia",
        works="Nettlebury Cold Store",
        place="us-general-industry",
        channels=("flammable", "oxygen", "ammonia", "carbon-monoxide"),
        source="ammonia as a refrigerant: common knowledge of the trade, no source; its limits as in the library",
        areas=(
            Place(id="machine-room", name="Machine room", activities=(WORK,), hazards=(
                ("ammonia", "shaft seals, joints, oil draining"), ("oxygen", "a large leak in a closed room")),
                note="Beyond the range of its sensor the display does not tell how much ammonia there is: over range "
                     "means out, and nobody goes back without a sensor of a higher range, air and a suit. "
                     "A large leak can burn."),
            Place(id="valve-pit", name="Valve pit", activities=(ENTRY,), hazards=(
                ("ammonia", "leaking valves"), ("carbon-monoxide", "engines at the opening"),
                ("methane", "soil and drains"), ("oxygen", "still air and rust"))),
        ),
    ),
    Trade(
        id="pulp",
        name="Pulp and paper",
        works="Alderspool Mill",
        place="us-general-industry",
        channels=("flammable", "oxygen", "hydrogen-sulfide", "sulfur-dioxide", "chlorine-dioxide", "carbon-monoxide"),
        source="29 CFR 1910.261 (pulp, paper and paperboard mills); 29 CFR 1910.146",
        areas=(
            Place(id="stock-chest", name="Stock chest", activities=(ENTRY,), hazards=(
                ("hydrogen-sulfide", "stock that has stood, freed when it is stirred"),
                ("methane", "stock that has stood"), ("carbon-monoxide", "engines at the opening"),
                ("oxygen", "used up by bacteria"))),
            Place(id="bleach-plant", name="Bleach plant", activities=(WORK,), hazards=(
                ("chlorine-dioxide", "bleaching"), ("sulfur-dioxide", "removal of what is left of the bleach"),
                ("oxygen+", "the oxygen stage can leak; still air in a closed room")),
                note="Cells for chlorine dioxide, chlorine and sulfur dioxide answer to each other's gas, some below "
                     "zero: the manual gives how much."),
        ),
    ),
    Trade(
        id="shipyard",
        name="Shipyard",
        works="Gullhaven Yard",
        place="us-shipyard",
        channels=("flammable", "oxygen", "hydrogen-sulfide", "carbon-monoxide"),
        source="29 CFR 1915, subpart B (confined and enclosed spaces)",
        areas=(
            Place(id="ballast-tank", name="Ballast tank", activities=(ENTRY,), hazards=(
                ("methane", "mud that has stood"), ("hydrogen-sulfide", "water that has stood"),
                ("carbon-monoxide", "engines and cutting"), ("oxygen", "rust uses it up")),
                note="Fresh paint gives off solvent vapour: then a sensor for vapour is carried too."),
            Place(id="engine-room", name="Engine room under repair", activities=(WORK, FLAME), hazards=(
                ("propane", "cutting gas"), ("carbon-monoxide", "engines and cutting"),
                ("oxygen+", "leaking cutting oxygen; shielding gas pushes it out"))),
        ),
    ),
    Trade(
        id="tunnel",
        name="Tunnel under construction",
        works="Fellmarrow Tunnel",
        place="us-underground-construction",
        channels=("flammable", "oxygen", "carbon-monoxide", "nitrogen-dioxide", "hydrogen-sulfide"),
        source="29 CFR 1926.800 (underground construction)",
        areas=(
            Place(id="heading", name="Heading", activities=(WORK,), hazards=(
                ("methane", "ground that holds gas"), ("carbon-monoxide", "engines and blasting"),
                ("nitrogen-dioxide", "engines and blasting"), ("hydrogen-sulfide", "ground water"),
                ("oxygen", "gas from the ground and still air"))),
            Place(id="charging-bay", name="Charging bay of locomotives", activities=(WORK,), hazards=(
                ("hydrogen", "batteries on charge"), ("carbon-monoxide", "engines nearby"),
                ("oxygen", "still air")),
                note=HYDROGEN),
        ),
    ),
    Trade(
        id="laboratory",
        name="Laboratory with gases and cryogenic liquids",
        works="Wesselby Laboratory",
        place="us-general-industry",
        channels=("flammable", "oxygen", "carbon-dioxide", "carbon-monoxide"),
        source="displaced oxygen: common knowledge of the trade, no source; limits as in the library",
        areas=(
            Place(id="cryogenic-store", name="Store of cryogenic liquids", activities=(WORK,), hazards=(
                ("nitrogen", "evaporating liquid; seen by the oxygen it displaces"),
                ("carbon-dioxide", "dry ice"),
                ("oxygen+", "pushed out by whatever evaporates; air condensed on cold lines drips rich in oxygen")),
                note="Liquid nitrogen gives no warning: no smell, no feeling of want of breath."),
            Place(id="gas-room", name="Gas cylinder room", activities=(WORK,), hazards=(
                ("hydrogen", "leaking cylinders"), ("carbon-monoxide", "leaking cylinders"),
                ("oxygen+", "leaking cylinders of oxygen or of what displaces it")),
                note=HYDROGEN),
        ),
    ),
    Trade(
        id="fumigation",
        name="Fumigation",
        works="Quayside Grain Store",
        place="us-grain",
        channels=("flammable", "oxygen", "phosphine", "carbon-dioxide", "carbon-monoxide"),
        source="29 CFR 1910.272 (grain handling); phosphine's limits as in the library",
        areas=(
            Place(id="silo-cell", name="Silo cell after fumigation", activities=(ENTRY,), hazards=(
                ("phosphine", "fumigant that is left"), ("carbon-dioxide", "grain that breathes"),
                ("methane", "rotting grain"), ("carbon-monoxide", "grain that heats itself"),
                ("oxygen", "grain that breathes")),
                note="Phosphine only: no sensor here sees another fumigant, such as sulfuryl fluoride."),
            Place(id="treated-hall", name="Hall beside treated grain", activities=(WORK,), hazards=(
                ("phosphine", "leaks through sheets and doors"),)),
        ),
    ),
    Trade(
        id="farm",
        name="Farm and grain",
        works="Thornmarrow Farm",
        place="us-grain",
        channels=("flammable", "oxygen", "hydrogen-sulfide", "ammonia", "nitrogen-dioxide", "carbon-dioxide",
                  "carbon-monoxide"),
        source="29 CFR 1910.272; slurry and silo gas: common knowledge of the trade, no source",
        areas=(
            Place(id="slurry-store", name="Slurry store", activities=(ENTRY,), hazards=(
                ("hydrogen-sulfide", "slurry, freed at once when it is stirred"), ("ammonia", "slurry"),
                ("methane", "slurry"), ("carbon-dioxide", "slurry"), ("carbon-monoxide", "engines at the opening"),
                ("oxygen", "pushed out by slurry gas"))),
            Place(id="silage-silo", name="Silage silo", activities=(ENTRY,), hazards=(
                ("nitrogen-dioxide", "fresh silage in its first weeks"), ("carbon-dioxide", "fermenting silage"),
                ("methane", "wet silage"), ("carbon-monoxide", "engines at the opening"),
                ("oxygen", "pushed out by silo gas"))),
            Place(id="grain-bin", name="Grain bin", activities=(ENTRY,),
                own_sensors=("flammable", "oxygen", "phosphine", "carbon-dioxide", "carbon-monoxide"), hazards=(
                ("carbon-dioxide", "grain that breathes"), ("phosphine", "grain that was treated"),
                ("carbon-monoxide", "grain that heats itself, engines at the opening"), ("methane", "rotting grain"),
                ("oxygen", "grain that breathes")),
                note="No detector sees that grain flows and buries: nobody stands on it while it runs or bridges."),
        ),
    ),
)  # fmt: skip
BY_ID: Final = {trade.id: trade for trade in TRADES}
