"""What the record says of the running engine: only what rests on sizes that were read or stated, never on guesses."""

from typing import Any

from tenths.errors import BadInput
from tenths.record import film_plots, running_plots
from tenths.record.plots import plot_svg
from tenths.record.report_cam import cam_part
from tenths.record.report_gear import gear_part
from tenths.record.report_head import head_part
from tenths.record.report_plots import PALETTE
from tenths.record.report_pull import pull_part
from tenths.record.report_train import train_part
from tenths.record.running_pictures import clearance_svg, tightening_svg
from tenths.record.typeset import INK
from tenths.services.clearing import clearances
from tenths.services.running_balance import forces, weighing_sheet
from tenths.services.running_loads import curves, running_loads
from tenths.services.running_model import Model, running_model
from tenths.services.running_torsion import Spring, campbell, torsion_answer
from tenths.services.shop import Shop
from tenths.services.tightening import tightening

Answer = dict[str, Any]
Files = dict[str, str]
SHAPING = ("throw-inertia", "flywheel-inertia", "front-inertia")
MOST_CRITICALS = 6


def running(shop: Shop, engine: str, units: str) -> tuple[Answer, Files]:
    """Words and figures of the running engine, and its pictures by file name; parts that nothing is known for are left out.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; empty for the engine's own.
    """
    files: Files = {}
    try:
        model = running_model(shop, engine, units)
    except BadInput:  # no layout yet
        return {}, files
    told = {"balance": _balance(shop, engine, units), "joints": _joints(shop, engine, units, files),
            "cam": cam_part(shop, engine, units, files), "head": head_part(shop, engine, units, files),
            "gear": gear_part(shop, engine, units, files)}
    if not model.missing:
        told |= {"clear": _clear(shop, engine, units, model, files)}
        if model.sizes["reciprocating"].origin != "taken":
            told |= {"forces": _forces(shop, engine, units, files), "loads": _loads(shop, engine, units, files)}
            told |= {"torsion": _torsion(shop, engine, units, model, files), "film": _film(shop, engine, units, files)}
        told |= {"train": train_part(shop, engine, units, model, files), "pull": pull_part(shop, engine, units, model, files)}
    return {name: part for name, part in told.items() if part}, files


def _drawn(files: Files, name: str, spec: running_plots.Spec) -> Answer:
    files[f"running-{name}.svg"] = plot_svg(spec)
    return {"file": f"running-{name}.svg", "alt": spec["description"]}


def _forces(shop: Shop, engine: str, units: str, files: Files) -> Answer:
    answer = forces(shop, engine, units)
    plot = running_plots.forces_by_order(answer, PALETTE, width=350, height=130)[0]
    return {
        "about": f"What reaches the mounts at {answer['speed']['text']}; fires {'-'.join(answer['firing_order'])}, every "
                 f"{', '.join(f'{i:g}' for i in dict.fromkeys(answer['firing_intervals']))} deg. Bobweights carry a share of "
                 f"{answer['share']:.3f} of what goes up and down ({answer['share_authority']}).",
        "plot": _drawn(files, "forces", plot),
        "rows": [[str(r["order"]), r["force"]["largest"]["text"], _way(r["force"]["way"]), r["couple"]["largest"]["text"],
                  _way(r["couple"]["way"])] for r in answer["orders"]]}


def _way(way: str) -> str:
    return "" if way == "none" else way


def _loads(shop: Shop, engine: str, units: str, files: Files) -> Answer:
    answer, drawn = running_loads(shop, engine, units), curves(shop, engine, units)
    top, shut = answer["open"][-1], answer["closed"][-1]
    pin = max(top["pins"], key=lambda r: r["largest"]["value"])["station"]
    main = max(top["mains"], key=lambda r: r["upper"]["value"])["station"]
    return {
        "about": f"At {top['speed']['text']}: torque of the gas and the masses {top['mean_torque']['text']}, "
                 f"{top['smallest_torque']['text']} to {top['largest_torque']['text']}; peak pressure {top['peak_pressure']['text']}.",
        "plots": [{**_drawn(files, station, running_plots.polar(drawn, station, PALETTE, size=230)), "title": station.replace(".", " ")}
                  for station in (pin, main)],
        "pins": [[r["station"].replace("pin.", "crankpin "), r["largest"]["text"], s["largest"]["text"], "", ""]
                 for r, s in zip(top["pins"], shut["pins"], strict=True)],
        "mains": [[r["station"].replace(".", " "), r["hinged"]["text"], r["elastic"]["text"], s["upper"]["text"], r["unit_load"]["text"]]
                  for r, s in zip(top["mains"], shut["mains"], strict=True)],
        "notes": answer["notes"]}


def _balance(shop: Shop, engine: str, units: str) -> Answer | None:
    answer = weighing_sheet(shop, engine, units)
    columns = ("piston", "pin", "rings", "locks", "small_end", "big_end", "shells")
    if not any(row[c]["origin"] == "read" for row in answer["parts"] for c in columns):
        return None
    return {
        "rows": [[row["cylinder"], *(row[c]["text"].partition(" ±")[0] for c in columns)] for row in answer["parts"]],
        "take": [f"{t['words']} " + (", ".join(f"{r['cylinder']}: {r['take']['text']}" for r in t["rows"]
                                                           if r["take"]["value"] > 1e-5) or "nothing")
                 for t in answer["take_off"] if t["complete"]],
        "bobweights": [f"{b['pin'].replace('pin.', 'crankpin ')} {b['text']}" for b in answer["bobweights"] if b["text"]],
        "share": f"{answer['share']:.3f} ({answer['share_authority']})",
        "planes": [f"{p['plane'].capitalize()} plane: {p['left']['text']} left"
                   + (f", heavy at {p['heavy_at']:.0f} deg" if p["heavy_at"] is not None else "")
                   + f"; {p['allowed']['text']} allowed: {p['verdict']}" for p in answer["planes"] if p["left"]["text"]]}


def _torsion(shop: Shop, engine: str, units: str, model: Model, files: Files) -> Answer | None:
    spring = Spring(model)
    if any(spring.taken[name].origin == "taken" for name in SHAPING):
        return None
    answer = torsion_answer(shop, engine, units)
    plots = [running_plots.campbell(campbell(model, spring), PALETTE, width=430, height=230),
             running_plots.over_speed(answer["over_speed"], PALETTE, width=430, height=230)[0]]
    said = [f"{name.capitalize()} damper: at worst {answer['over_speed'][name]['worst']['stress']['text']} in a journal at "
            f"{answer['over_speed'][name]['worst']['speed']['text']}." for name in ("without", "with") if name in answer["over_speed"]]
    return {"plots": [_drawn(files, f"torsion-{n}", spec) for n, spec in enumerate(plots, 1)],
            "modes": ", ".join(f"{m['frequency']['text']} ({m['lower']['text']} to {m['upper']['text']})" for m in answer["modes"]),
            "rows": [[r["speed"]["text"], f"{r['order']:g}", str(r["mode"]), f"{r['strength']:.2f}"]
                     for r in answer["criticals"][:MOST_CRITICALS]],
            "said": [*said, *answer["notes"]]}


def _film(shop: Shop, engine: str, units: str, files: Files) -> Answer | None:
    from tenths.services.running_film import film, orbits  # noqa: PLC0415 - it takes a compiler in

    try:
        answer = film(shop, engine, units)
    except BadInput:  # no clearance is known yet
        return None
    worst = answer["bearings"][0]
    path = orbits(shop, engine, units, station=worst["station"])
    oil, lining = ("guessed" if origin == "taken" else origin for origin in (answer["oil"][0]["origin"], worst["lining_origin"]))
    by, source = worst["limits"][0]["authority"], worst["limits"][0]["source"]
    return {
        "about": f"With {answer['grade']} ({oil}), at the worst of the hot ways "
                 f"of running from idle to the highest speed: {answer['verdict']}.",
        "plots": [_drawn(files, "film", film_plots.ranking(answer, PALETTE, width=470, height=max(130, 18 * len(answer["bearings"])))),
                  _drawn(files, "film-path", film_plots.paths(path, PALETTE, size=230))],
        "path": f"{path['station'].replace('.', ' ')}: path of the journal in its clearance",
        "rows": [[r["station"].replace(".", " "), _bare(r["clearance"]), r["least"]["text"], f"{r['ratio']:.1f}",
                  r["way"].removesuffix(", hot"), r["tenth_less"]["text"], r["tenth_more"]["text"], r["verdict"]]
                 for r in answer["bearings"]],
        "worst": f"{worst['station'].replace('.', ' ')}, {worst['lining']} ({lining}); "
                 f"limits: {source if source.startswith(by) else f'{by}, {source}'}",
        "limits": [[one["words"], one["text"], one["limit"], one["verdict"]] for one in worst["limits"]],
        "ways": [[w["way"], w["film"]["text"] if w["film"]["text"] == w["film_to"]["text"] else
                  f"{w['film']['text'].partition(' ')[0]} to {w['film_to']['text']}", w["temperature"]["text"], w["pressure"]["text"],
                  w["flow"]["text"]] for w in worst["running"]],
        "known": "Stated or read: " + (", ".join(f"{r['words']} {r['text']}" for r in (*answer["oil"], *worst["shell"])
                                                 if r["origin"] != "taken") or "nothing of oil and shells") + "; the rest is guessed.",
        "notes": answer["notes"]}


def _bare(number: Answer) -> str:
    """A number without its interval, with its unit."""
    value, apart, _ = number["text"].partition(" ±")
    return f"{value} {number['unit']}" if apart else value


def _joints(shop: Shop, engine: str, units: str, files: Files) -> list[Answer]:
    rows: list[Answer] = []
    for joint in tightening(shop, engine, units)["joints"]:
        file = f"joint-{joint['joint']}.svg"
        files[file] = tightening_svg(joint).replace("currentColor", INK)
        states = [f["state"] for f in joint["fasteners"]]
        rows.append({
            "title": joint["words"], "file": file, "wide": max((p["along"] for p in joint["places"]), default=0.0),
            "what": ", ".join(filter(None, (f"{joint['count']} × {joint['thread']} {joint['strength']}".strip(), joint["method"],
                                            joint["lubricant"], joint["source"]))),
            "rounds": ", then ".join(r["text"] for r in joint["rounds"]),
            "findings": [[f["words"], f["text"], f["limit"] if f["authority"] else "", f["verdict"]] for f in joint["findings"]],
            "state": ", ".join(f"{states.count(s)} {s}" for s in dict.fromkeys(states)),
            "wrong": [f"{f['station'].replace('.', ' ')}, no. {f['number']}: {w}" for f in joint["fasteners"] for w in f["wrong"]],
            "notes": joint["notes"]})
    return rows


def _clear(shop: Shop, engine: str, units: str, model: Model, files: Files) -> Answer | None:
    answer = clearances(shop, engine, units)
    if not answer["pairs"]:
        return None
    first = answer["pairs"][0]
    if first["angle"] is not None:
        files["clearance.svg"] = clearance_svg(model, first).replace("currentColor", INK).replace('class="close"', 'stroke="#b3361b"')
    return {"file": "clearance.svg" if first["angle"] is not None else "", "words": first["words"],
            "rows": [[r["words"], r["clearance"]["text"], f"at least {r['least']['text']}",
                      f"{r['angle']:g} deg" if r["angle"] is not None else r["why"], r["verdict"]] for r in answer["pairs"]],
            "notes": answer["notes"]}
