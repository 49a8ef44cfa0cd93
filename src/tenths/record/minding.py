"""What a finding says of instruments that were not in order."""

from typing import Any

Answer = dict[str, Any]


def mind(f: Answer) -> str:
    """What a finding must say of its instruments; empty when they are in order."""
    return "; ".join(dict.fromkeys(f"{used['name']}: {used['state']}" for used in f.get("instruments", ())
                                   if used["said"] and used["state"] != "not named"))
