"""The valve gear: top dead centre, lobes, timing, clearance to the piston, springs, contact, rockers and float."""
