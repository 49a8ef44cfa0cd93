"""The bar picture of a budget: one bar for each cause of doubt, largest first, as SVG made here."""

from collections.abc import Mapping, Sequence
from typing import Any

MOST = 12  # bars; what is smaller is drawn as one
INK = "#0a5361"
Answer = Mapping[str, Any]


def shown(lines: Sequence[Answer], most: int = MOST) -> list[dict[str, Any]]:
    """The lines that are drawn, each with ``wide``, its length beside the longest [0..1]: without what cancels, the small as one."""
    kept = [dict(line) for line in lines if not line["cancels"]]
    if len(kept) > most:
        rest = kept[most - 1:]
        kept = [*kept[:most - 1], {"words": f"{len(rest)} more, together", "share": sum(line["share"] for line in rest), "text": "",
                                   "kind": "rest", "cancels": False, "count": len(rest), "freedom": None, "shape": ""}]
    longest = max((line["share"] for line in kept), default=0.0) or 1.0
    return [line | {"wide": line["share"] / longest, "percent": percent(line["share"])} for line in kept]


def percent(share: float) -> str:
    """A share for a person."""
    return f"{share * 100:.0f} %" if share >= 0.005 else "under 1 %"


def bar_svg(wide: float) -> str:
    """One bar as an SVG as wide as its place; the words beside it say the same.

    Args:
        wide: length beside the longest bar [0..1].
    """
    long = min(100.0, max(0.6, 100.0 * wide))
    return ('<svg class="share" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">'
            '<path class="bar-ground" d="M0 7.5H100" stroke="#7d8783" stroke-width="1" vector-effect="non-scaling-stroke"/>'
            f'<rect width="{long:.2f}" height="7" fill="{INK}"/></svg>')


def against_svg(quoted: float, became: float) -> str:
    """What was quoted as a frame and what it became as a bar in it, what is beyond in another colour; words beside it say the same.

    Args:
        quoted: length beside the longest of all [0..1].
        became: likewise.
    """
    frame, bar = (min(100.0, max(0.0, 100.0 * part)) for part in (quoted, became))
    beyond = f'<rect class="beyond" x="{frame:.2f}" y="2" width="{bar - frame:.2f}" height="8" fill="#b03000"/>' if bar > frame else ""
    return ('<svg class="share against" viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true">'
            f'<rect class="became" y="2" width="{min(bar, frame):.2f}" height="8" fill="{INK}"/>{beyond}'
            f'<path class="frame" d="M0 .5H{max(0.4, frame):.2f}V11.5H0" fill="none" stroke="#7d8783" stroke-width="1" '
            'vector-effect="non-scaling-stroke"/></svg>')
