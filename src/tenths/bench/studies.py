"""Studies of gauges on the bench: the list, a new one, the blind tray, the result and its PDF; and their API."""

from typing import Any

import msgspec
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from tenths.bench.declare import Asked, Call, Example, Query
from tenths.bench.pages import routed
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.bench.study_shapes import Begun, Study, StudyLine, StudyQuestion, Turn
from tenths.bench.who import who_asks
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.record.charts import chart_of
from tenths.record.study import accepted_words, facts, readings_table, study_pdf, tables
from tenths.services import questions, studies, study_form, study_results, study_words
from tenths.services.shop import SHOP
from tenths.services.study_slips import study_question

Answer = dict[str, Any]
UNITS = Query(name="units", words="inch or metric; the study's own when left out")


def kept(bench: Bench, name: str, units: str = "") -> Answer:
    """A study, kept while nothing is written about the shop."""
    return bench.answers.of_engine(SHOP, ("study", name, units), lambda: study_results.study_answer(bench.shop, name, units))


def lines(bench: Bench) -> list[Answer]:
    """All studies in a line each, likewise."""
    return bench.answers.of_engine(SHOP, ("studies",), lambda: study_results.studies(bench.shop))


# -- pages ---------------------------------------------------------------------------------------------------------------

async def listed(request: Request) -> Response:
    """All studies, and the form that begins one."""
    bench = bench_of(request)
    typed, wrong = {field: request.query_params.get(field, "") for field in study_form.FIELDS}, ""
    if request.method == "POST":
        form = await request.form()
        typed |= {key: str(value).strip() for key, value in form.items() if key in study_form.FIELDS}
        try:
            name = await run_in_threadpool(_begin, bench, request, study_form.card_of(typed))
        except BadInput as error:
            wrong = str(error)
        else:
            bench.live.written()
            return RedirectResponse(f"/studies/{name}", 303)
    return page(request, "studies.html", 422 if wrong else 200, place="studies", studies=await bench.think(lines, bench),
                typed=typed, wrong=wrong, kinds=study_words.KINDS, how=study_words.HOW,
                instruments=questions.house_instruments(bench.shop), may=who_asks(request).may("hand"))


def _begin(bench: Bench, request: Request, card: bodies.StudyBegun) -> str:
    entry = studies.begin_study(bench.shop_for(who_asks(request)), card)
    return msgspec.json.decode(entry.body)["study"]


async def shown(request: Request) -> Response:
    """A study: what it says, its chart, its tables, and taking it into the record."""
    bench, name = bench_of(request), request.path_params["study"]
    units = request.query_params.get("units", "")

    def gathered() -> Answer:
        answer = kept(bench, name, units)
        return {"study": answer, "svg": Markup(chart_of(answer)), "tables": tables(answer), "facts": facts(answer),  # noqa: S704 - made by us
                "taken": accepted_words(answer), "typed_table": readings_table(answer)}

    return page(request, "study.html", place="studies", position=bench.shop.build(SHOP).position, units=units,
                may=who_asks(request).may("hand"), **await bench.think(gathered))


async def tray(request: Request) -> Response:
    """The blind tray of one person."""
    bench, name = bench_of(request), request.path_params["study"]
    who = who_asks(request)

    def gathered() -> Answer:
        begun = studies.study_named(bench.shop, name)
        reader = request.query_params.get("reader", "") or _reader(begun.card.people, who.person)
        line = study_results.study_line(bench.shop, begun)
        rows = studies.turns(begun, reader) if reader else []
        each = begun.card.trials * len(begun.card.parts)
        return {"study": line, "reader": reader, "rows": rows, "each": each, "setting": begun.card.setting}

    return page(request, "study-tray.html", place="studies", position=bench.shop.build(SHOP).position,
                **await bench.think(gathered))


def _reader(people: tuple[str, ...], person: str) -> str:
    """Who reads, where that needs no asking."""
    return people[0] if len(people) == 1 else person if person in people else ""


async def pdf(request: Request) -> Response:
    """A study as PDF."""
    bench, name = bench_of(request), request.path_params["study"]
    paper = "Letter" if request.query_params.get("paper", "").lower() == "letter" else "A4"
    units = request.query_params.get("units", "")
    content = await run_in_threadpool(lambda: study_pdf(bench.shop, name, paper=paper, units=units))
    return Response(content, media_type="application/pdf", headers={
        "Content-Disposition": f'inline; filename="{studies.study_named(bench.shop, name).card.study}.pdf"',
        "Cache-Control": "private, no-cache"})


ROUTES = [
    routed("/studies", listed), routed("/studies/begin", listed, "hand", ("GET", "POST")), routed("/studies/{study}", shown),
    routed("/studies/{study}/tray", tray, "hand"), routed("/studies/{study}/study.pdf", pdf),
]


# -- API -----------------------------------------------------------------------------------------------------------------

class NewStudy(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A study to be begun; what is left out is filled in (name, people, unit). Fields as in the entry ``study.begun``."""

    instrument: str
    kind: str
    parts: tuple[str, ...]
    study: str = ""
    people: tuple[str, ...] = ()
    trials: int = 3
    unit: str = ""
    what: str = ""
    sizes: tuple[str, ...] = ()
    uncertainties: tuple[str, ...] = ()
    setting: str = ""
    tolerance: str = ""
    note: str = ""


class NewStudyReading(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A reading of a study, as typed."""

    part: str
    reader: str
    trial: int
    text: str
    occasion: int = 0
    note: str = ""


class Words(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Words of a person."""

    words: str = ""


def _begun(asked: Asked) -> Begun:
    entry = studies.begin_study(asked.bench.shop_for(asked.who), bodies.StudyBegun(**msgspec.structs.asdict(asked.body)))
    return Begun(study=msgspec.json.decode(entry.body)["study"])


def _read(asked: Asked) -> Any:
    rows = [bodies.StudyRead(study=asked.path["study"], **msgspec.structs.asdict(row)) for row in asked.body]
    studies.read_study(asked.bench.shop_for(asked.who), rows)
    return study_results.study_answer(asked.shop, asked.path["study"])


def _taken(asked: Asked) -> Any:
    studies.accept_study(asked.bench.shop_for(asked.who), asked.path["study"], asked.body.words)
    return study_results.study_answer(asked.shop, asked.path["study"])


def _turns(asked: Asked) -> Any:
    begun = studies.study_named(asked.shop, asked.path["study"])
    return studies.turns(begun, studies.one_reader(begun, asked.query["reader"]))


def _question(asked: Asked) -> Any:
    return study_question(asked.shop, study=asked.path["study"], **asked.query)


HANDS, RINGS = {"study": "mic-2-3-hands"}, {"study": "bore-gauge-s-rings"}
SECTION = "Studies of gauges"
CALLS = (
    Call(path="/api/studies", need="reader", words="All studies of gauges, the latest first.", answers=list[StudyLine],
         run=lambda a: lines(a.bench), section=SECTION),
    Call(path="/api/studies/{study}", need="reader", answers=Study, run=lambda a: kept(a.bench, a.path["study"], a.query["units"]),
         words="A study with every reading, what it found by each method, and what it says.", query=(UNITS,),
         example=Example(HANDS), section=SECTION),
    Call(path="/api/studies/{study}/turns", need="reader", answers=list[Turn], run=_turns, section=SECTION,
         words="What one person still has to read, in an order that hides which is which.",
         query=(Query(name="reader", words="who reads; may be left out where only one does"),), example=Example(RINGS)),
    Call(path="/api/studies/{study}/question", need="reader", answers=StudyQuestion, run=_question, section=SECTION,
         words="What a reading would be understood as, and what to ask before it is taken. It blocks nothing.",
         query=(Query(name="part", words="which part"), Query(name="reader", words="who reads"),
                Query(name="text", words="as typed"), Query(name="trial", kind=int, words="the how-manieth", default=1),
                Query(name="occasion", kind=int, words="of a stability study", default=0)),
         example=Example(HANDS, {"part": "main 1", "reader": "Ines Vale", "text": "2.5234"})),
    Call(method="POST", path="/api/studies", need="hand", changes=True, body=NewStudy, answers=Begun, run=_begun, section=SECTION,
         words="Begins a study of a gauge that is listed in the shop.",
         example=Example(body={"instrument": "mic-0-1", "kind": "repeatability", "parts": ["1", "2", "3"], "people": ["A", "B"]})),
    Call(method="POST", path="/api/studies/{study}/readings", need="hand", changes=True, body=list[NewStudyReading], answers=Study,
         run=_read, words="Takes readings of a study, all or none. Devices send them as entries instead.", section=SECTION,
         example=Example(RINGS, body=[{"part": "ring 3.0000 in", "reader": "Ines Vale", "trial": 1, "text": "3.0001"}])),
    Call(method="POST", path="/api/studies/{study}/accept", need="hand", changes=True, body=Words, answers=Study, run=_taken,
         words="Takes what a study found into the record of its gauge; readings with it carry it from then on.", section=SECTION,
         example=Example(HANDS, body={"words": "agreed"})),
)
