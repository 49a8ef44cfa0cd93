"""Machining operations of the trade, and which features' earlier readings each of them ends."""

OPERATIONS: dict[str, tuple[str, ...]] = {
    "ground": ("journal", "journal-ra", "fillet", "journal-width"),
    "polished": ("journal", "journal-ra"),
    "straightened": ("run-out",),
    "bored": ("bore", "hone-ra", "hone-rpk", "hone-rk", "hone-rvk", "end-gap"),
    "honed": ("bore", "hone-ra", "hone-rpk", "hone-rk", "hone-rvk", "end-gap"),
    "line-honed": ("housing-bore", "installed-bore"),
    "line-bored": ("housing-bore", "installed-bore"),
    "decked": ("deck-height", "deck-clearance"),
    "resized": ("housing-bore", "installed-bore", "rod-length"),
    "bushed": ("bush-bore", "lifter-bore"),
    "milled": ("chamber-volume", "burette-start", "burette-end"),
    "filed": ("end-gap",),
    "chamber work": ("chamber-volume", "burette-start", "burette-end", "port-flow"),
    "seats cut": ("seat-width", "seat-run-out", "throat-diameter", "chamber-volume", "burette-start", "burette-end", "port-flow"),
    "ported": ("throat-diameter", "port-flow"),
    "guides honed": ("guide-bore",),
    "valve face ground": ("face-run-out", "margin", "chamber-volume", "burette-start", "burette-end", "port-flow"),
    "balanced": ("weight", "rod-big-end-weight", "rod-small-end-weight"),
    "reworked": (),  # everything on the part is read again
}
