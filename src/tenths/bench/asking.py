"""How a question of choice is asked, set in a plain form: weights of goals, targets, what may be cut."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from tenths.bench.forms import typed_form
from tenths.bench.pages import routed
from tenths.bench.show import error_page
from tenths.bench.state import Bench, bench_of
from tenths.bench.who import who_asks
from tenths.errors import BadInput
from tenths.services import choosing


async def asked(request: Request) -> Response:
    """Takes what was changed in the form; the page then shows the answer to the question as it is asked now."""
    bench, engine, question = bench_of(request), request.path_params["engine"], request.path_params["question"]
    known = choosing.SETTABLE.get(question)
    names = [knob.name for knob in known.knobs] if known else []
    try:
        typed, _ = await typed_form(request, [*names, "words"])
        await run_in_threadpool(_kept, bench, request, engine, question, typed)
    except BadInput as error:
        return error_page(request, 422, str(error))
    bench.live.written()
    return RedirectResponse(f"/e/{engine}/choices#{question}", 303)


def _kept(bench: Bench, request: Request, engine: str, question: str, typed: dict[str, str]) -> None:
    """Only what differs from what is in force becomes an entry; nothing changed makes none."""
    now = choosing.settings_in_force(bench.shop, engine, question)
    changed = {name: text for name, text in typed.items() if name != "words" and text != now.get(name)}
    if changed:
        choosing.set_question(bench.shop_for(who_asks(request)), engine, question, changed, words=typed.get("words", ""))


ROUTES = [routed("/e/{engine}/choices/{question}", asked, "hand", ("POST",))]
