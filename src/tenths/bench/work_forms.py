"""What is done to the steps of an engine on the bench: begun, left, done, checked; and edits of its plan."""

from tenths.bench.desk import Field, Form, Typed
from tenths.errors import BadInput
from tenths.logbook import work_bodies as w
from tenths.logbook.entry import Entry
from tenths.services import ahead, steps
from tenths.services.shop import Shop

NOTE = Field(name="note", words="Note")


def _people(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(name, name) for name in ahead.people_of(shop, [engine])]


def _steps(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(s.step.id, f"{s.step.id}: {s.step.words}") for s in steps.work_state(shop, engine).states.values()]


STEP = Field(name="step", words="Step", kind="pick", required=True, choices=_steps)
HERE = Field(name="step", words="Step", kind="hidden", required=True)  # the page gives it
WHO = Field(name="person", words="Who", choices=_people, help="Empty: who is signed in.")
REASON = Field(name="reason", words="Why")


def _begin(shop: Shop, engine: str, typed: Typed) -> Entry:
    return steps.begin_step(shop, engine, _known(shop, engine, typed), note=typed["note"], person=typed["person"])


def _known(shop: Shop, engine: str, typed: Typed) -> str:
    """The step, when the plan has it."""
    steps.row(shop, engine, typed["step"])
    return typed["step"]


def _stop(shop: Shop, engine: str, typed: Typed) -> Entry:
    return steps.stop_step(shop, engine, typed["step"], note=typed["note"], person=typed["person"])


def _done(shop: Shop, engine: str, typed: Typed) -> Entry:
    return steps.finish_step(shop, engine, typed["step"], ticks=typed.ticked["ticks"], note=typed["note"], person=typed["person"],
                             seen=typed.seen)


def _check(shop: Shop, engine: str, typed: Typed) -> Entry:
    return steps.check_step(shop, engine, typed["step"], note=typed["note"], person=typed["person"])


BEGIN = Form(name="step-begin", title="Begin it", button="Begin", fields=(HERE, WHO, NOTE), run=_begin,
             words="A person begins a step, or goes on with it: their time runs.", example={"step": "crank-in"})
STOP = Form(name="step-stop", title="Leave it for now", button="Leave it", fields=(HERE, WHO, NOTE), run=_stop,
            words="A person leaves a step for now: their time stops.", example=None)  # somebody has to be at it
DONE = Form(name="step-done", title="It is done", button="Done", run=_done, example={"step": "crank-in", "ticks": []},
            words="A step is done. Nothing is refused: what it still waited for, and what was not ticked, is kept with it.",
            fields=(HERE, Field(name="ticks", words="Looked at", kind="ticks", also=("tick",)), WHO, NOTE))
CHECK = Form(name="step-check", title="Second check", button="Checked", fields=(HERE, WHO, NOTE), run=_check,
             words="The second check of a step that is done: another pass, or another person.", example={"step": "strip"})


# -- edits of the plan -------------------------------------------------------------------------------------------------

def _add(shop: Shop, engine: str, typed: Typed) -> Entry:
    return steps.edit_plan(shop, engine, w.StepAdded(
        step=typed["step"], stage=typed["stage"], words=typed["words"], station=typed["station"] or "engine",
        on=typed.many("on"), before=typed.many("before"), parts=typed.many("parts"), ticks=tuple(
            line.strip() for line in typed["ticks"].splitlines() if line.strip()),
        place=typed["place"], hours=typed["hours"], second=typed["second"], reason=typed["reason"]))


def _drop(shop: Shop, engine: str, typed: Typed) -> Entry:
    return steps.edit_plan(shop, engine, w.StepDropped(step=typed["step"], reason=typed["reason"]))


def _wait(shop: Shop, engine: str, typed: Typed) -> Entry:
    """Only the lists that something was typed into are changed; the word ``none`` empties one."""
    lists = {name: () if typed[name] == "none" else typed.many(name) for name in ("after", "on", "parts", "tools") if typed[name]}
    if not lists:
        raise BadInput("after: nothing was given; name what it shall wait for, or none")
    return steps.edit_plan(shop, engine, w.StepRewaited(step=typed["step"], reason=typed["reason"], **lists))


def _branch(shop: Shop, engine: str, typed: Typed) -> Entry:
    return steps.edit_plan(shop, engine, w.PlanBranched(branch=typed["branch"], steps=typed.many("steps"), reason=typed["reason"]))


def _stages(shop: Shop, engine: str) -> list[tuple[str, str]]:
    return [(stage, stage) for stage in steps.work_state(shop, engine).plan.stages]


NEEDED = Field(name="reason", words="Why", required=True)
ADD = Form(name="plan-add", title="Add a step", button="Add it", run=_add,
           words="A step of this engine's own.",
           example={"step": "weigh-flywheel", "stage": "balance", "words": "weigh the flywheel", "before": "crate", "hours": "0.5"},
           fields=(Field(name="words", words="What is to be done", required=True),
                   Field(name="step", words="Short name, as in pump-in", required=True),
                   Field(name="stage", words="Stage", kind="pick", required=True, choices=_stages),
                   Field(name="station", words="At", help="Empty: the engine.", usual=""),
                   Field(name="on", words="Stands on", help="Steps, commas between: it waits for them, and is undone when they are."),
                   Field(name="before", words="These shall wait for it", help="Steps, commas between."),
                   Field(name="parts", words="Needs parts", help="Kinds, commas between."),
                   Field(name="ticks", words="To be looked at", kind="long", help="One to a line."),
                   Field(name="place", words="Place that only one can be at"),
                   Field(name="hours", words="Hours", help="0.5, or low, likely and high: 0.3 0.5 1"),
                   Field(name="second", words="Class of second check", help="fastener or timing; empty: none."), REASON))
DROP = Form(name="plan-drop", title="Leave a step out", button="Leave it out", fields=(STEP, NEEDED), run=_drop,
            words="A step is left out; what waited for it waits for what it waited for.",
            example={"step": "photograph", "reason": "done at the owner's"})
WAIT = Form(name="plan-wait", title="Change what a step waits for", button="Change it", run=_wait, example={
    "step": "crate", "parts": "none", "reason": "no part goes with it"},
            words="Changes what a step waits for; only the lists given, and none empties one.",
            fields=(STEP, Field(name="on", words="Stands on steps", help="Commas between; none empties it; empty: as it was."),
                    Field(name="after", words="Only waits for steps"), Field(name="parts", words="Needs parts"),
                    Field(name="tools", words="Needs tools"), REASON))
BRANCH = Form(name="plan-branch", title="Go through steps once more", button="Add them", run=_branch,
              words="Steps are gone through once more under another name, such as a mock-up and apart again.",
              example={"branch": "second-look", "steps": "mock up", "reason": "another camshaft"},
              fields=(Field(name="branch", words="What this is called", required=True),
                      Field(name="steps", words="Stages, steps, or all steps of a name", required=True, help="Commas between.",
                            also=("step",)),
                      NEEDED))

FORMS = (BEGIN, STOP, DONE, CHECK, ADD, DROP, WAIT, BRANCH)
