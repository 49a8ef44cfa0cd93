"""What the samples of entries about the flow bench say."""

from tenths.logbook import bodies

HEAD_SAYS = {
    "flow.begun": bodies.FlowBegun(
        run="1-in-reverse", station="valve.1.in", pressure="28 inH2O", way="reverse", valves=2, scale="orifice", full_scale="150 cfm",
        temperature="75 °F", barometer="29.6 inHg", reference_temperature="60 °F", reference_pressure="29.92 inHg", blown=True,
        leak="1.5 cfm", leak_pressure="25 inH2O", factor="1.012", instrument="bench-1", note="clay entry, 4 inch bore"),
    "flow.read": bodies.FlowRead(run="1-in-reverse", lift="0.200 in", flow="78 %", pressure="15 inH2O", note="read twice"),
}
