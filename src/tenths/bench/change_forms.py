"""Changes of an engine on the bench: a part goes in or comes out, or is machined. What they undo is told beside them."""

from tenths.bench.desk import Field, Form, Typed
from tenths.engine.operations import OPERATIONS
from tenths.engine.stations import slots
from tenths.logbook import bodies
from tenths.logbook.entry import Entry
from tenths.services import commands
from tenths.services.shop import Shop


def places(shop: Shop, engine: str) -> list[tuple[str, str]]:
    """Every place for a part, with what is in it."""
    build = shop.build(engine)
    found = sorted(slots(build.layout)) if build.layout else []
    return [(slot, slot.replace(".", " ") + (f": {part}" if (part := build.part_in(slot)) else "")) for slot in found]


def _held(shop: Shop, engine: str) -> list[tuple[str, str]]:
    build = shop.build(engine)
    return [(slot, f"{slot.replace('.', ' ')}: {part}") for slot in build.slots if (part := build.part_in(slot))]


def _parts(shop: Shop, engine: str) -> list[tuple[str, str]]:
    build = shop.build(engine)
    fitted = {build.part_in(slot) for slot in build.slots}
    rows = [(name, f"{name}: {part.card.words}" if part.card.words else name, name in fitted) for name, part in build.parts.items()]
    return [(name, words + (", fitted" if there else "")) for name, words, there in sorted(rows, key=lambda row: row[2])]


def _fit(shop: Shop, engine: str, typed: Typed) -> list[Entry]:
    return commands.part(shop, engine, bodies.PartFitted(slot=typed["slot"], part=typed["part"], all_along=typed.yes("all_along")))


def _remove(shop: Shop, engine: str, typed: Typed) -> list[Entry]:
    return commands.part(shop, engine, bodies.PartRemoved(slot=typed["slot"]))


def _machine(shop: Shop, engine: str, typed: Typed) -> list[Entry]:
    return commands.machine(shop, engine, slot=typed["slot"], operation=typed["operation"], stations=typed.many("stations"),
                            note=typed["note"])


SLOT = Field(name="slot", words="Place", kind="pick", required=True, choices=places)
FIT = Form(name="part-fit", title="A part goes in", button="It is in", run=_fit, section="Parts",
           words="A part goes into a place; what was read and done with what was there before is undone, as far as it rests on it.",
           example={"slot": "thrust.lower", "part": "thrust-m2"},
           fields=(SLOT, Field(name="part", words="Part", kind="pick", required=True, choices=_parts),
                   Field(name="all_along", words="It was there all along", kind="yes", help="Earlier readings were taken with it.")))
REMOVE = Form(name="part-remove", title="A part comes out", button="It is out", run=_remove, section="Parts",
              words="What is in a place comes out.", example={"slot": "crank"},
              fields=(Field(name="slot", words="Place", kind="pick", required=True, choices=_held),))
MACHINE = Form(name="part-machine", title="A part was machined", button="It was machined", run=_machine, section="Parts",
               words="Machining of the part in a place; earlier readings of what was machined end.",
               example={"slot": "block", "operation": "honed", "stations": "cyl.3"},
               fields=(SLOT, Field(name="operation", words="What was done", kind="pick", required=True,
                                   choices=tuple((o, o) for o in OPERATIONS)),
                       Field(name="stations", words="Only at", help="Stations, commas between, such as cyl.3; empty: everywhere on it.",
                             also=("station",)),
                       Field(name="note", words="Note")))
FORMS = (FIT, REMOVE, MACHINE)
