"""The bodies of entries about runs on the flow bench."""

from typing import ClassVar

from tenths.logbook.body import Body


class FlowBegun(Body, frozen=True):
    """A run of one valve on the flow bench begins, with what holds for all its lifts. Numbers as typed.

    ``way`` is forward (as the gas goes: in at an intake, out at an exhaust) or reverse. ``pressure`` is the drop across the
    port. ``scale`` says what the bench shows: ``true`` is volume as it goes in at the port, ``orifice`` the scale of an
    orifice made for air of ``reference_temperature`` and ``reference_pressure``. ``temperature`` is that of the air before
    the port; ``blown`` says that it is pushed and not drawn, so that it stands above the shop's by the drop. ``leak`` is what
    flows with the valve shut, at ``leak_pressure`` where that differs; ``factor`` is what a known plate showed the readings must
    be multiplied by; ``full_scale`` is the flow at 100 % where lifts are read in per cent. ``valves`` opened together share
    the flow. Begun again under its name, a run takes new conditions and keeps its lifts.
    """

    TYPE: ClassVar[str] = "flow.begun"
    run: str
    station: str
    pressure: str
    way: str = "forward"
    valves: int = 1
    scale: str = "true"
    full_scale: str = ""
    temperature: str = ""
    barometer: str = ""
    reference_temperature: str = ""
    reference_pressure: str = ""
    blown: bool = False
    leak: str = ""
    leak_pressure: str = ""
    factor: str = ""
    instrument: str = ""
    note: str = ""


class FlowRead(Body, frozen=True):
    """What the bench showed at one lift of a run; read again, the later counts. ``pressure`` where it was not the run's own."""

    TYPE: ClassVar[str] = "flow.read"
    run: str
    lift: str
    flow: str
    pressure: str = ""
    note: str = ""
