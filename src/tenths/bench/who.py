"""Who is asking: a person, a role, a device. Every route says which role it takes; nothing is open by leaving it out."""

from dataclasses import dataclass
from typing import Literal

from starlette.requests import Request

Need = Literal["anyone", "reader", "hand", "owner"]
RANK: dict[str, int] = {"": 0, "anyone": 0, "reader": 1, "hand": 2, "owner": 3}


@dataclass(frozen=True, slots=True)
class Who:
    """Who is asking.

    Attributes:
        role: "owner", "hand" or "reader"; empty for somebody who is not let in yet.
        person: the name of who is signed in; empty where nobody needs to be.
        person_id: of who is signed in.
        device: name of the device, when it was paired.
        device_id: of the paired device.
        missing: what is missing to be let in: "pair", "sign-in" or nothing.
        here: on the machine that serves, without a proxy between.
    """

    role: str = ""
    person: str = ""
    person_id: str = ""
    device: str = ""
    device_id: str = ""
    missing: str = ""
    here: bool = False

    def may(self, need: Need) -> bool:
        """Whether this role is enough."""
        return RANK[self.role] >= RANK[need]


def who_asks(request: Request) -> Who:
    """Who the guard found behind a request."""
    found: Who = request.scope["state"]["who"]
    return found
