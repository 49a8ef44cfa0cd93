"""Machining operations of the trade, and which features' earlier readings each of them ends."""

OPERATIONS: dict[str, tuple[str, ...]] = {
    "ground": ("journal", "journal-ra", "fillet", "journal-width"),
    "polished": ("journal", "journal-ra"),
    "straightened": ("run-out",),
    "bored": ("bore", "hone-ra", "hone-rpk", "hone-rk", "hone-rvk", "end-gap"),
    "honed": ("bore", "hone-ra", "hone-rpk", "hone-rk", "hone-rvk", "end-gap"),
    "line-honed": ("housing-bore", "installed-bore"),
    "line-bored": ("housing-bore", "installed-bore"),
    "decked": ("deck-height", "deck-clearance", "clay-thickness", "touch-travel"),
    "resized": ("housing-bore", "installed-bore", "rod-length"),
    "bushed": ("bush-bore", "lifter-bore"),
    "milled": ("chamber-volume", "burette-start", "burette-end", "valve-drop", "clay-thickness", "touch-travel"),
    "filed": ("end-gap",),
    "chamber work": ("chamber-volume", "burette-start", "burette-end", "port-flow"),
    "seats cut": (
        "seat-width", "seat-run-out", "throat-diameter", "chamber-volume", "burette-start", "burette-end", "port-flow",
        "valve-drop", "installed-height", "retainer-gap", "clay-thickness", "touch-travel",
    ),
    "ported": ("throat-diameter", "port-flow"),
    "guides honed": ("guide-bore",),
    "valve face ground": (
        "face-run-out", "margin", "chamber-volume", "burette-start", "burette-end", "port-flow",
        "valve-drop", "installed-height", "retainer-gap", "clay-thickness", "touch-travel",
    ),
    "balanced": ("weight", "rod-big-end-weight", "rod-small-end-weight"),
    "reworked": (),  # everything on the part is read again
}
