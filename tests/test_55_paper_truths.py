"""What scissors, tape and iron find on the pinafore's paper (tests/paper.py), and that they would find it.

The witness reads only the plain data. Its rules: common practice, no source; 'walked' within 0.05 cm,
notches and corners within 0.1 cm, folded allowances within 0.05 cm.
"""

import copy
import math

import numpy as np
import pytest

from patternlib import PatternError, chart, make, style_values
from tests import paper
from tests.bodies import charted, simulated

STYLE = style_values("pinafore")


def found(body, **style) -> list[paper.Fault] | None:
    """What the witness finds; None where the garment is refused (test_50_pinafore looks at refusals)."""
    try:
        garment = make("pinafore", body, **style)
    except PatternError:
        return None
    return paper.faults(garment.to_dict())


@pytest.fixture(scope="module")
def sound() -> dict:
    return make("pinafore", chart("course").body("12")).to_dict()


@pytest.mark.parametrize("sex", ["women", "men"])
def test_simulated_bodies(sex):
    for k, body in enumerate(simulated(50, sex)):
        assert not found(body), f"{sex} {k}"


def test_every_size_of_the_charts():
    assert all(found(body) == [] for body in charted())


def test_style_values_sampled_and_at_their_ends():
    dice = np.random.default_rng(3)
    for k, body in enumerate(b for sex in ("women", "men") for b in simulated(14, sex, seed=4)):
        style = {v.name: float(dice.uniform(v.low, v.high)) for v in STYLE}
        if k % 2:
            v = STYLE[dice.integers(len(STYLE))]
            style = {v.name: [v.low, v.high][dice.integers(2)]}
        assert not found(body, **style), f"{k}: {style}"


@pytest.mark.slow
@pytest.mark.parametrize("sex", ["women", "men"])
def test_a_thousand_of_each_group(sex):
    dice = np.random.default_rng(13)
    for k, body in enumerate(simulated(1000, sex, seed=13)):
        style = {} if k % 2 else {v.name: float(dice.uniform(v.low, v.high)) for v in STYLE}
        assert not found(body, **style), f"{k}: {style}"


def piece(garment, name):
    return next(p for p in garment["pieces"] if p["name"] == name)


def edge(garment, name, edge_name):
    return next(e for e in piece(garment, name)["edges"] if e["name"] == edge_name)


def shift_cut_corner(garment, name, lowest=(0, 1), by=(0.4, 0.0)):
    """Move the cut line's extreme corner in a direction."""
    ring = piece(garment, name)["cut_line"]
    k = max(range(len(ring)), key=lambda i: ring[i][0] * lowest[0] + ring[i][1] * lowest[1])
    ring[k] = [ring[k][0] + by[0], ring[k][1] + by[1]]


def set_value(garment, name, key, value):
    piece(garment, name)[key] = value


def stretch(garment, name, factor):
    """The piece drawn larger, as from a print that was scaled."""
    p = piece(garment, name)

    def scaled(points):
        return [[x * factor, y * factor] for x, y in points]

    p["cut_line"], p["seam_line"] = scaled(p["cut_line"]), scaled(p["seam_line"])
    for e in p["edges"]:
        e["points"], e["length"] = scaled(e["points"]), e["length"] * factor
    for n in p["notches"]:
        n["point"], n["at"] = scaled([n["point"]])[0], n["at"] * factor


def slide_notch(garment, name, edge_name, by):
    for n in piece(garment, name)["notches"]:
        if n["edge"] == edge_name:
            points = np.array(edge(garment, name, edge_name)["points"])
            n["at"] += by
            n["point"] = [float(c) for c in paper._at(points, n["at"])[0]]


DAMAGE = {
    "allowance is not as wide as stated": lambda g: edge(g, "bib", "side").update(allowance=1.2),
    "cut line is not the allowance away": lambda g: edge(g, "front skirt", "hem").update(allowance=4.0),
    "allowance on a fold": lambda g: edge(g, "bib", "centre front").update(allowance=1.0),
    "cut_line crosses itself": lambda g: piece(g, "strap")["cut_line"].insert(2, [30.0, 30.0]),
    "cut_line runs clockwise": lambda g: piece(g, "bib")["cut_line"].reverse(),
    "seam line outside the cut line": lambda g: set_value(
        g, "bib", "cut_line", list(piece(g, "waistband")["cut_line"])
    ),
    "edges do not make the seam line": lambda g: set_value(
        g, "bib", "seam_line", [[x * 0.99, y] for x, y in piece(g, "bib")["seam_line"]]
    ),
    "length is not the edge's": lambda g: edge(g, "strap", "straight side").update(length=30.0),
    "on fold without a fold edge, or the other way round": lambda g: set_value(g, "bib", "on_fold", False),
    "cloth beyond the fold": lambda g: shift_cut_corner(g, "bib", (5, 1), (0.3, 0.0)),
    "folded back, it stands over": lambda g: shift_cut_corner(g, "front skirt", (-1, -1), (-0.6, 0.0)),
    "seam end, run out": lambda g: shift_cut_corner(g, "back skirt", (1, -1), (0.8, -0.8)),
    "sides of a seam differ": lambda g: stretch(g, "waistband", 1.01),
    "notch meets no notch": lambda g: slide_notch(g, "back skirt", "yoke edge", 0.3),
    "notch off its edge": lambda g: piece(g, "bib")["notches"][0].update(point=[0.0, 3.0]),
    "notch is not where 'at' says": lambda g: piece(g, "bib")["notches"][0].update(at=1.0),
    "drill hole outside the seam line": lambda g: piece(g, "bib")["drill_holes"][0].update(point=[9.0, 9.0]),
    "no grain line": lambda g: set_value(g, "bib", "grain", None),
    "grain not parallel to the centre": lambda g: piece(g, "bib")["grain"][0].__setitem__(0, -9.0),
    "grain outside the piece": lambda g: piece(g, "bib")["grain"].__setitem__(1, [-5.0, 99.0]),
    "label without piece or quantity": lambda g: set_value(g, "bib", "label", ["a piece"]),
}


@pytest.mark.parametrize("code", DAMAGE)
def test_the_witness_sees_damage(sound, code):
    """The sound paper has no fault; each damage is found under its own name."""
    assert paper.faults(sound) == []
    damaged = copy.deepcopy(sound)
    DAMAGE[code](damaged)
    assert code in {fault.code for fault in paper.faults(damaged)}


def panel(corner_cut):
    """A panel whose side leans by 20 degrees to the hem; the hem's end is cut as given."""
    lean = math.tan(math.radians(20))
    seam = [[0.0, 0.0], [20.0, 0.0], [20.0 - 10 * lean, 10.0], [0.0, 10.0]]
    wide = 1 / math.cos(math.radians(20))
    side = [20.0 + wide, 0.0]  # where the side's cut line crosses the level of the hem
    top = [20.0 - 11 * lean + wide, 11.0]
    ends = {"run on": [side[0] + 4 * lean, -4.0], "mirrored": [side[0] - 4 * lean, -4.0]}
    cut = [[0.0, -4.0], ends[corner_cut], side, top, [0.0, 11.0]]
    names = (("hem", 4.0, "hem"), ("side", 1.0, "seam"), ("top", 1.0, "seam"), ("centre", 0.0, "fold"))
    edges = [
        {"name": n, "allowance": a, "turn": t, "points": [p, q], "length": math.dist(p, q)}
        for (n, a, t), p, q in zip(names, seam, seam[1:] + seam[:1], strict=True)
    ]
    plain = {"notches": [], "drill_holes": [], "grain": [[5, 2], [5, 8]], "label": ["panel", "cut 1"]}
    return {
        "name": "panel",
        "cut": 1,
        "on_fold": True,
        "seam_line": seam,
        "cut_line": cut,
        "edges": edges,
    } | plain


def test_a_hem_at_a_leaning_side_must_be_mirrored():
    """Worked by hand: run on, a hem of 4 cm stands over by 8 sin 20 = 2.74 cm; mirrored, it lies."""
    over = [f for f in paper.turnings({"pieces": [panel("run on")]}) if f.where == "panel, hem"]
    assert [f.code for f in over] == ["folded back, it stands over"]
    assert over[0].got == pytest.approx(8 * math.sin(math.radians(20)), abs=0.01)
    assert paper.turnings({"pieces": [panel("mirrored")]}) == []
