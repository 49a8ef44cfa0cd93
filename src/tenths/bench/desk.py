"""Plain forms of the bench: each is described once; its fields, its call of the API and its own page are made from that.

How to make one:

    ORDER = Form(name="part-order", title="Order a part", button="Order it", words="Orders a part.", run=_order, fields=(
        Field(name="part", words="Part", required=True, choices=_parts),       # choices: pairs, or a function of shop and engine
        Field(name="promised", words="Promised for", kind="day")), example={"part": "rings-m", "promised": "2026-04-01"})
    def _order(shop, engine, typed):                                           # the shop writes as who asks; engine "" for a form of_shop
        return supply.move_part(shop, engine, PartOrdered(part=typed["part"], promised=typed["promised"]))
    FORMS = (ORDER,)
    ROUTES = [..., *desk.routes(FORMS)];  CALLS = desk.calls(FORMS)            # both are named in app.py

In the context of a page: ``{"desk": desk.shown(bench, who_asks(request), engine, FORMS)}``. In its template: a script block with
``desk.js``, ``{% import "_desk.html" as desk_ with context %}`` inside the block main, and
``{{ desk_.form(desk["part-order"], {"part": row.part}, key=row.part) }}``;
``fold=true`` hides it behind its title, ``desk_.press(...)`` is a button whose fields are all given. Who may not write sees none.
Raise BadInput as ``name of the field: what is wrong``: it is shown at that field. After saving, the page is taken anew.
Without an answer of the server the form says that it was not saved, and keeps what was typed on the device.
"""

from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from threading import Lock
from typing import Any, Literal

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from tenths.bench.declare import Asked, Call, Example, allowed
from tenths.bench.pages import summary
from tenths.bench.show import page
from tenths.bench.state import Bench, bench_of
from tenths.bench.who import Need, Who, who_asks
from tenths.errors import BadInput, TenthsError
from tenths.logbook.entry import Entry
from tenths.services.sentences import sentence
from tenths.services.shop import Shop

Answer = dict[str, Any]
Choices = Iterable[tuple[str, str]]
Kind = Literal["text", "long", "day", "count", "pick", "ticks", "yes", "hidden"]
LONGEST, MOST = 20_000, 400  # signs of one field; ticks of one form
REMEMBERED = 500  # postings whose answer is given again when they are sent again


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field of a form.

    Attributes:
        name: as in the API, and before the colon of what is wrong with it.
        words: what stands over it.
        kind: text, long (several lines), day, count (a whole number), pick (one of the choices), ticks (several of them),
            yes (ticked or not), hidden (given by the page).
        required: whether it must be filled in.
        help: words below it.
        usual: what stands in it when the page gives nothing.
        choices: value and words; for a text they are offered, and others are taken as well.
        also: further names that what is wrong may begin with.
    """

    name: str
    words: str
    kind: Kind = "text"
    required: bool = False
    help: str = ""
    usual: str = ""
    choices: tuple[tuple[str, str], ...] | Callable[[Shop, str], Choices] = ()
    also: tuple[str, ...] = ()


class Typed(dict[str, str]):
    """What was typed, by field; empty where nothing was. ``ticked`` holds what was ticked, ``seen`` what the page showed."""

    ticked: Mapping[str, tuple[str, ...]]
    seen: int | None

    def many(self, name: str) -> tuple[str, ...]:
        """What was typed with commas or new lines between."""
        return tuple(word for part in self[name].split("\n") for word in map(str.strip, part.split(",")) if word)

    def count(self, name: str, usual: int = 0) -> int:
        """A whole number; raises BadInput when it is none."""
        text = self[name]
        if not text:
            return usual
        if not text.lstrip("+-").isdigit() or not text.isascii() or len(text) > 9:
            raise BadInput(f"{name}: {text[:40]!r} is not a whole number")
        return int(text)

    def yes(self, name: str) -> bool:
        """Whether it was ticked."""
        return self[name] == "yes"


Run = Callable[[Shop, str, Typed], "Entry | Sequence[Entry]"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A form: see the head of this module.

    Attributes:
        name: unique over all forms; part of the addresses.
        title: over its fields.
        button: on its button.
        words: what it does, for the documentation of the API.
        fields: in their order.
        run: writes, and gives the entries.
        example: values that work against the demo shop; None only for what a test cannot repeat.
        on: engine of the example.
        of_shop: it is about the shop, not an engine.
        need: who may.
        section: of the documentation.
    """

    name: str
    title: str
    button: str
    words: str
    fields: tuple[Field, ...]
    run: Run
    example: Mapping[str, str | list[str]] | None
    on: str = "marigold"
    of_shop: bool = False
    need: Need = "hand"
    section: str = "Work"

    def place(self, engine: str = "{engine}") -> str:
        """The address of its own page."""
        return f"/desk/{self.name}" if self.of_shop else f"/e/{engine}/desk/{self.name}"

    def call(self, engine: str = "{engine}") -> str:
        """The address of its call."""
        return f"/api/desk/{self.name}" if self.of_shop else f"/api/engines/{engine}/desk/{self.name}"


class SavedEntry(msgspec.Struct, frozen=True):
    """An entry that was written, in a sentence."""

    entry: str
    position: int
    type: str
    sentence: str


class Saved(msgspec.Struct, frozen=True):
    """What was written."""

    entries: list[SavedEntry]


@dataclass(frozen=True, slots=True)
class Shown:
    """A form as a page shows it: its choices worked out, and where it goes."""

    form: Form
    fields: tuple[Field, ...]
    place: str
    call: str
    seen: int | None = None
    values: Mapping[str, str] = field(default_factory=dict[str, str])
    wrong: str = ""
    at: str = ""


def shown(bench: Bench, who: Who, engine: str, forms: Iterable[Form]) -> dict[str, Shown | None]:
    """The forms for a page, by name; None for those that who asks may not use."""
    seen = bench.shop.build(engine).position if engine else None
    return {f.name: _show(f, bench.shop, engine, seen) if who.may(f.need) else None for f in forms}


def _show(form: Form, shop: Shop, engine: str, seen: int | None) -> Shown:
    worked = tuple(replace(f, choices=tuple(f.choices(shop, engine))) if callable(f.choices) else f for f in form.fields)
    return Shown(form, worked, form.place(engine), form.call(engine), None if form.of_shop else seen)


# -- taking it in ------------------------------------------------------------------------------------------------------

def _typed(form: Form, given: Mapping[str, Any]) -> Typed:
    typed, ticked = Typed(), dict[str, tuple[str, ...]]()
    for f in form.fields:
        value = given.get(f.name) or ""
        if f.kind == "ticks":
            ticked[f.name] = tuple(value)[:MOST]
        typed[f.name] = value.strip() if isinstance(value, str) else "yes" if value else ""
        _vet(f, typed[f.name])
    typed.ticked, typed.seen = ticked, given.get("seen")
    return typed


def _vet(f: Field, text: str) -> None:
    if f.required and not text:
        raise BadInput(f"{f.name}: nothing was given; fill in “{f.words}”")
    if len(text) > LONGEST:
        raise BadInput(f"{f.name}: {len(text):,} signs; up to {LONGEST:,} are taken")
    if f.kind == "pick" and text and isinstance(f.choices, tuple) and text not in (known := [value for value, _ in f.choices]):
        raise BadInput(f"{f.name}: {text[:40]!r} is not taken; give one of {', '.join(known)}")


_sent: OrderedDict[tuple[str, ...], Saved] = OrderedDict()
_one_at_a_time = Lock()


def _save(form: Form, shop: Shop, engine: str, given: Mapping[str, Any]) -> Saved:
    """Writes once, however often the same posting comes: its first answer is given again."""
    key = (form.name, engine, given.get("once") or "")
    with _one_at_a_time:
        if key[-1] and key in _sent:
            return _sent[key]
        made = form.run(shop, engine, _typed(form, given))
        entries = [made] if isinstance(made, Entry) else list(made)
        saved = Saved([SavedEntry(e.id, e.position, e.type, sentence(e)) for e in entries])
        if key[-1]:
            _sent[key] = saved
            while len(_sent) > REMEMBERED:
                _sent.popitem(last=False)
        return saved


# -- the call of the API -----------------------------------------------------------------------------------------------

def calls(forms: Iterable[Form]) -> tuple[Call, ...]:
    """The calls of the API, one for each form."""
    return tuple(Call(method="POST", path=f.call(), need=f.need, changes=True, body=_body(f), answers=Saved, words=f.words,
                      run=lambda a, f=f: _called(f, a), section=f.section,
                      example=_example(f)) for f in forms)


def _example(form: Form) -> Example | None:
    return None if form.example is None else Example({} if form.of_shop else {"engine": form.on}, body=dict(form.example))


def _body(form: Form) -> type[msgspec.Struct]:
    own: list[Any] = [(f.name, list[str], msgspec.field(default_factory=list)) if f.kind == "ticks" else
                      (f.name, bool, False) if f.kind == "yes" else
                      (f.name, str) if f.required else (f.name, str, "") for f in form.fields]
    own += [("seen", int | None, None), ("once", str, "")]
    made = msgspec.defstruct("".join(word.capitalize() for word in form.name.split("-")) + "Typed", own, frozen=True, kw_only=True,
                             forbid_unknown_fields=True, module=__name__)
    made.__doc__ = f"{form.title}: as typed; ``once`` is any word of the sender's, with which it is written once however often sent."
    return made


def _called(form: Form, asked: Asked) -> Saved:
    engine = "" if form.of_shop else asked.engine
    return _save(form, asked.bench.shop_for(asked.who), engine, msgspec.structs.asdict(asked.body))


# -- the form's own page, which works without a script ---------------------------------------------------------------------

def routes(forms: Iterable[Form]) -> list[Route]:
    """A page of its own for each form: it takes what is sent without a script, and shows what is wrong with it."""
    return [Route(f.place(), allowed(f.need, _page(f)), methods=["GET", "POST"]) for f in forms]


def _page(form: Form) -> Any:
    async def endpoint(request: Request) -> Response:
        bench, engine = bench_of(request), request.path_params.get("engine", "")
        given, wrong = dict[str, Any](request.query_params), ""
        if request.method == "POST":
            given = await _posted(request, form)
            try:
                await run_in_threadpool(_save, form, bench.shop_for(who_asks(request)), engine, given)
            except TenthsError as error:
                wrong = str(error)
            else:
                bench.live.written()
                return RedirectResponse(_back(given.get("back", ""), engine), 303)
        return await _alone(request, form, engine, given, wrong)

    return endpoint


async def _alone(request: Request, form: Form, engine: str, given: Answer, wrong: str) -> Response:
    bench = bench_of(request)

    def gathered() -> Answer:
        base = _show(form, bench.shop, engine, bench.shop.build(engine).position if engine else None)
        base = replace(base, fields=tuple(_asked(f, given) for f in base.fields))
        values = {k: v for k, v in given.items() if isinstance(v, str)}
        return {"shown": replace(base, values=values, wrong=wrong, at=field_of(form, wrong)), "ticked": given,
                "engine": summary(bench, engine) if engine else None, "back": _back(given.get("back", ""), engine)}

    return page(request, "desk.html", 422 if wrong else 200, place="", **await bench.think(gathered))


def _asked(f: Field, given: Answer) -> Field:
    """Ticks whose choices only their page knows: those that were ticked."""
    ticked = given.get(f.name, ()) if f.kind == "ticks" and not f.choices else ()
    return replace(f, choices=tuple((t, t) for t in ticked)) if ticked else f


async def _posted(request: Request, form: Form) -> Answer:
    async with request.form(max_files=0, max_fields=MOST, max_part_size=LONGEST * 4) as sent:
        given: Answer = {f.name: [str(v) for v in sent.getlist(f.name)] if f.kind == "ticks" else str(sent.get(f.name, ""))
                         for f in form.fields}
        seen = str(sent.get("seen", ""))
        return given | {"seen": int(seen) if seen.isdigit() and seen.isascii() else None,
                        "once": str(sent.get("once", ""))[:80], "back": str(sent.get("back", ""))}


def _back(wanted: str, engine: str) -> str:
    from tenths.bench.door import safe_next  # noqa: PLC0415 - it imports pages

    usual = f"/e/{engine}" if engine else "/"
    return wanted if wanted and safe_next(wanted) == wanted else usual


def field_of(form: Form, wrong: str) -> str:
    """The field that a sentence of what is wrong begins with; empty when it begins with none."""
    head = wrong.partition(":")[0].strip()
    return next((f.name for f in form.fields if head in {f.name, *f.also} and f.kind != "hidden"), "")
