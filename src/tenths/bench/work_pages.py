"""The work of an engine on the bench: what can be done now, every step, what is to be done again."""

from tenths.bench import desk
from tenths.bench.work_forms import FORMS

ROUTES = desk.routes(FORMS)
CALLS = desk.calls(FORMS)
