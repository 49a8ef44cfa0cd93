"""Certificates and temperatures of the demo shop: invented, as all of it is.

They draw their ids from a chance of their own, so that the readings of the demo engines stay as they are.
"""

from dataclasses import replace
from datetime import UTC, datetime
from random import Random

from tenths.logbook.bodies import CertificatePoint, InstrumentCertified, TemperatureNoted
from tenths.logbook.calibration import SHOP_AIR
from tenths.services.instruments import certify
from tenths.services.shop import SHOP, Shop
from tenths.services.temperatures import note_temperature

CERTIFICATES = (
    ("mic-75-100", "C 2604", (("75 mm", "0 µm"), ("80 mm", "+0.6 µm"), ("85 mm", "+1.1 µm"), ("90 mm", "+0.8 µm"), ("95 mm", "-0.4 µm"),
                              ("100 mm", "-1.2 µm")), "2 µm", "2027-01-31"),
    ("ring-69", "C 2611", (("69 mm", "+0.6 µm"),), "0.8 µm", "2028-01-31"),
    ("ring-65", "C 2612", (("65 mm", "-0.4 µm"),), "0.8 µm", "2028-01-31"),
)
AIR = (("2026-03-02T08:00", 18.5), ("2026-03-02T10:00", 19.5), ("2026-03-02T12:00", 20.5), ("2026-03-02T14:00", 21.0),
       ("2026-03-02T16:00", 20.5), ("2026-03-02T18:00", 20.0))


def _own(shop: Shop, seed: int) -> Shop:
    return replace(shop, random=Random(seed).randbytes)  # noqa: S311 - ids of invented entries


def lay_calibration(shop: Shop) -> None:
    """Three certificates, and the air of one day; once."""
    if shop.build(SHOP).certificates:
        return
    own = replace(_own(shop, 20260112), clock=lambda: datetime(2026, 2, 2, 8, 0, tzinfo=UTC))
    for instrument, number, points, uncertainty, due in CERTIFICATES:
        certify(own, InstrumentCertified(
            instrument=instrument, day="2026-01-12", certificate=number, by="Calibration room, Thornfield", due=due,
            points=tuple(CertificatePoint(size=size, correction=correction, uncertainty=uncertainty) for size, correction in points)))
    note_temperature(own, [TemperatureNoted(where=SHOP_AIR, text=f"{celsius} °C", when=when) for when, celsius in AIR])


def note_warm_block(shop: Shop, engine: str) -> None:
    """The block comes out of the hot wash and is read before it has cooled; somebody looked at the thermometer."""
    _own(shop, 27).append(engine, TemperatureNoted(where="block", text="27.0 °C", note="an hour out of the hot wash"),
                          TemperatureNoted(where=SHOP_AIR, text="20.4 °C"))
