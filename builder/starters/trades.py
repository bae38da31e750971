"""Trades that a starter is there for: invented places, with the hazards that the trade is known for.

What may be in the air of each is a list to begin a survey with and never the survey.
"""

from __future__ import annotations

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
        channels=("flammable", "oxygen", "hydrogen-sulfide", "carbon-monoxide"),
        source="29 CFR 1910.146, Appendix C; facts on benzene and hydrogen sulfide as in the reference library",
        areas=(
            Place(id="product-tank", name="Product tank", activities=(ENTRY,), hazards=(
                ("n-hexane", "stands for vapour of light products"), ("benzene", "part of many light products"),
                ("hydrogen-sulfide", "sour products and sludge"), ("oxygen", "inert gas and rust"))),
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
        channels=("flammable", "oxygen", "carbon-dioxide", "carbon-monoxide"),
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
                ("ammonia", "shaft seals, joints, oil draining"), ("oxygen", "a large leak in a closed room"))),
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
                ("oxygen", "oxygen stage in a closed room"))),
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
                ("carbon-monoxide", "engines and cutting"), ("oxygen", "rust uses it up"))),
            Place(id="engine-room", name="Engine room under repair", activities=(WORK, FLAME), hazards=(
                ("propane", "cutting gas"), ("carbon-monoxide", "engines and cutting"),
                ("oxygen+", "leaking cutting oxygen"))),
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
                ("carbon-dioxide", "dry ice"), ("oxygen", "pushed out by whatever evaporates"))),
            Place(id="gas-room", name="Gas cylinder room", activities=(WORK,), hazards=(
                ("hydrogen", "leaking cylinders"), ("carbon-monoxide", "leaking cylinders"),
                ("oxygen+", "leaking cylinders of oxygen or of what displaces it"))),
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
                ("oxygen", "grain that breathes"))),
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
        ),
    ),
)  # fmt: skip
BY_ID: Final = {trade.id: trade for trade in TRADES}
