"""Quotes and bills as letters to the customer."""

from tenths.record.letter import Letter, Rows, letter_pdf
from tenths.record.typeset import Paper
from tenths.services.money import paper as paper_of
from tenths.services.questions import Answer
from tenths.services.shop import Shop

KINDS = {"hours": "Hours", "part": "Parts", "outside": "Work outside", "other": "Other"}


def quote_pdf(shop: Shop, engine: str, quote: str = "", *, paper: Paper = "A4") -> bytes:
    """A quote as the bytes of a PDF; raises BadInput when there is none of that number."""
    found = paper_of(shop, engine, "quote", quote)
    facts = (("Valid until", found["valid"]),)
    return _pdf(shop, engine, found, f"Quote {found['quote']}", facts, paper)


def invoice_pdf(shop: Shop, engine: str, invoice: str = "", *, paper: Paper = "A4") -> bytes:
    """A bill as the bytes of a PDF; raises BadInput when there is none of that number."""
    found = paper_of(shop, engine, "invoice", invoice)
    facts = (("To be paid by", found["due"]), ("Quote", found["quote"]))
    return _pdf(shop, engine, found, f"Bill {found['invoice']}", facts, paper)


def _pdf(shop: Shop, engine: str, found: Answer, title: str, facts: tuple[tuple[str, str], ...], paper: Paper) -> bytes:
    build = shop.build(engine)
    money = f" [{found['currency']}]" if found["currency"] else ""
    tables: list[Rows] = []
    for kind, words in KINDS.items():
        rows = [(x["words"], x["quantity"], x["each"], x["total"]) for x in found["lines"] if x["kind"] == kind]
        unit = "hours" if kind == "hours" else "pieces"
        tables.append(Rows(("what", unit, "each", f"total{money}"), rows, right=(1, 2, 3), wide=0, title=words))
    sums = [("Net", found["net"]), *((t["name"], t["amount"]) for t in found["taxes"]), (f"In all{money}", found["total"])]
    made = found["made"]
    letter = Letter(
        title=title, to=(build.customer,), facts=(("Engine", build.name), ("Day", made["at"][:10]), *facts), tables=tables,
        sums=sums if found["taxes"] else sums[-1:], notes=(found["words"],) if found["words"] else (),
        foot=f"{title} · {build.name} · {made['at'][:10]}")
    return letter_pdf(shop, letter, now=shop.clock(), paper=paper)
