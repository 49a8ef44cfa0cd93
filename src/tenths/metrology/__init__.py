"""Instruments, uncertainty by cause, decision rules and gauge studies."""
