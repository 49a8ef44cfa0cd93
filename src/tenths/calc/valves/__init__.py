"""Valve gear: where top dead centre is, from which all timing is read."""
