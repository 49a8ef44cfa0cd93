"""Colours of the drawings for pages: the classes of the pen and of the verdicts, bright and dark."""

from tenths.record.drawing.pen import GREY, LIGHT, STYLES
from tenths.record.fitline import COLOURS, INK, PAPER, slug

_NAMES = {INK: "ink", PAPER: "paper", GREY: "grey", LIGHT: "far", "#e6eaed": "steel", "#d3dade": "steel-deep",
          "#f5f3ee": "alloy", "#e4e0d6": "alloy-deep", "#eef1f3": "rod", "#3c4852": "shell", "#bf3f00": "chosen",
          "#c9dfe6": "liquid", "#f4d9c8": "change"}
_DARK = {"ink": "#dfe5ea", "paper": "#14191d", "grey": "#93a0aa", "far": "#56626c", "steel": "#2c353c",
         "steel-deep": "#3a454d", "alloy": "#322f29", "alloy-deep": "#454036", "rod": "#242c32", "shell": "#aab5bd",
         "chosen": "#ff8a4a", "hatch": "#55616a", "liquid": "#2d5563", "change": "#5c3219"}
_DARK_VERDICTS = {"fits": "#5fb4f2", "too close to call": "#e0b040", "out": "#ff8a4a", "not measured": "#9aa7b1",
                  "stale": "#c79be0"}


def stylesheet() -> str:
    """CSS for pages that show drawings, fit lines and marks; print keeps the bright colours.

    Custom properties (``--dr-ink``, ``--v-fits`` and so on) may be set by the page; dark is taken with
    ``data-theme="dark"`` on an ancestor, or from the device when the page says ``data-theme="auto"``.
    """
    rules = [_rule(name, fill, stroke) for name, (fill, stroke, _, _) in STYLES.items()]
    rules += [".dr-assumed{stroke:var(--dr-grey)}", ".dr-hatchline{stroke:var(--dr-hatch)}",
              ".dr-text{fill:var(--dr-ink)}", ".v-halo{fill:var(--dr-paper);stroke:none}",
              ".fit-line{stroke:var(--dr-ink)}", ".fit-target,.fit-rail{stroke:var(--dr-grey)}"]
    rules += [f".v-{slug(v)}{{color:var(--v-{slug(v)})}}" for v in COLOURS]
    rules += [".v{stroke:currentColor}", ".v-solid{fill:currentColor}",
              ".dr-st:focus-visible{outline:none}",
              ".dr-st:focus-visible .dr-hit,.dr-st:hover .dr-hit{stroke:var(--dr-chosen);stroke-width:1.6}"]
    bright = _properties({**{name: colour for colour, name in _NAMES.items()}, "hatch": "#8b969e"}, COLOURS)
    dark = _properties(_DARK, _DARK_VERDICTS)
    return (f":root{{{bright}}}\n@media screen{{[data-theme=dark]{{{dark}}}}}\n"
            f"@media screen and (prefers-color-scheme:dark){{[data-theme=auto]{{{dark}}}}}\n" + "\n".join(rules) + "\n")


def _rule(name: str, fill: str, stroke: str) -> str:
    parts = [f"{what}:var(--dr-{_NAMES[colour]})" for what, colour in (("fill", fill), ("stroke", stroke))
             if colour in _NAMES]
    return f".dr-{name}{{{';'.join(parts)}}}" if parts else ""


def _properties(colours: dict[str, str], verdicts: dict[str, str]) -> str:
    return "".join([f"--dr-{n}:{c};" for n, c in colours.items()]
                   + [f"--v-{slug(v)}:{c};" for v, c in verdicts.items()])
