"""What to order from a supplier, as a letter to send."""

from collections.abc import Iterable

from tenths.errors import BadInput
from tenths.record.letter import Letter, Rows, letter_pdf
from tenths.record.typeset import Paper
from tenths.services.shop import Shop
from tenths.services.supply import to_order


def order_pdf(shop: Shop, supplier: str, *, engines: Iterable[str] = (), paper: Paper = "A4") -> bytes:
    """The order list of a supplier as the bytes of a PDF; raises BadInput when nothing is to be ordered there."""
    answer = to_order(shop, engines)
    one = next((s for s in answer["suppliers"] if s["supplier"] == supplier), None)
    if one is None:
        known = ", ".join(s["supplier"] for s in answer["suppliers"]) or "nobody"
        raise BadInput(f"supplier: nothing is to be ordered from {supplier!r}; there is from {known}")
    rows = [(line["number"] or line["what"], line["words"], line["engine"], str(line["quantity"]), line["cost"],
             line["total"] if line["cost"] else "") for line in one["lines"]]
    priced = any(line["cost"] for line in one["lines"])
    letter = Letter(
        title="Order", to=(supplier,), facts=(("Day", answer["day"]), ("Ordered by", shop.person)),
        tables=[Rows(("number", "what", "for", "pieces", "each", "total"), rows, right=(3, 4, 5), wide=1)],
        sums=[("In all", one["total"])] if priced else [], notes=("Please confirm the day of delivery.",),
        foot=f"Order to {supplier} · {answer['day']}")
    return letter_pdf(shop, letter, now=shop.clock(), paper=paper)
