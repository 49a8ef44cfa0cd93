"""A reading of a study looked at while it is typed: whether it slipped. It asks; it never blocks and never corrects."""

from statistics import median

from tenths.engine.quantity import unit_of
from tenths.errors import BadInput
from tenths.findings.instruments import typical
from tenths.logbook import bodies
from tenths.logbook.marks import Mark
from tenths.logbook.studies import Study, StudyReading, with_reading
from tenths.metrology.slips import likely_slips
from tenths.services.shop import SHOP, Shop
from tenths.services.slips import USUAL_LENGTH, USUAL_SHARE, bare_text
from tenths.services.studies import Answer, study_named
from tenths.services.study_results import scale_of

TYPICAL_SPREADS = 8.0  # readings of one part lie this many usual repeatabilities from each other before anybody wonders


def study_question(shop: Shop, *, study: str, part: str, reader: str, text: str, trial: int = 1, occasion: int = 0) -> Answer:
    """What a reading of a study would be understood as, and what to ask before it is taken.

    What is expected is not told, so that the reading stays blind; a slip that is asked about says how far off it would be.

    Returns:
        ``understood``, else ``why``; ``written``; ``questions``, likeliest first, each with what, words and share.
    """
    known = study_named(shop, study)
    body = bodies.StudyRead(study=study, part=part, reader=reader, trial=trial, text=text, occasion=occasion)
    try:
        reading = with_reading(known, Mark("", 0, "", ""), body).readings[-1]
    except BadInput as error:
        return {"understood": False, "why": str(error), "written": "", "questions": []}
    return {"understood": True, "why": "", "written": scale_of(known).size_text(reading.value),
            "questions": _questions(shop, known, reading)}


def _questions(shop: Shop, study: Study, reading: StudyReading) -> list[Answer]:
    here = {part: [r.value for r in study.readings if r.part == part] for part in study.card.parts}
    here |= {part: [size] for part, size in zip(study.card.parts, study.sizes, strict=False)}
    if not here[reading.part]:
        return []
    card = shop.build(SHOP).instruments[study.card.instrument][1]
    kind = typical(card.kind, "metric" if study.unit in {"mm", "µm"} else "inch")
    expected = median(here[reading.part])
    spread = max(TYPICAL_SPREADS / 4 * kind.repeatability, USUAL_LENGTH / 4 if kind.unit == "m" else USUAL_SHARE * abs(expected) / 4)
    if abs(reading.value - expected) < 4 * spread:
        return []
    slips = likely_slips(
        reading.value, expected=expected, u=spread, kind=kind.kind, quantity=study.quantity.value,
        unit=float(unit_of(study.quantity, reading.typed.unit).factor) or 1.0, text=bare_text(reading.typed.text),
        setting=study.setting if reading.typed.deviation else None,
        neighbours={part: median(values) for part, values in here.items() if part != reading.part and values})
    found = [{"what": s.what, "words": s.words, "share": s.share} for s in slips]
    return found or [{"what": "far from expected", "words": "That is far from the other readings of this part.", "share": 1.0}]
