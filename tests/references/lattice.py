"""Fins and tailplanes that cross, touch and pass, by a plain horseshoe lattice.

The textbook form: every box has one horseshoe of straight lines without a core,
both halves are written out, the wake lies along x. Strips are of equal width
between the tips and the places where surfaces cross. Each answer is drawn on from
two widths to none; the error is of first order in it and 3 % at most for the
finer. A slot is a slot here, however narrow: nothing glues it.
"""

import numpy as np

BOXES = 4
STRIPS_M = (0.01, 0.005)
PLATES = {  # chord, span from the first end to the second, m
    "tailplane": (0.15, 0.25),
    "fin": (0.15, 0.17),
}


def boxes(chord, strip, first, second, cuts):
    """Horseshoe ends, control points and normals of a plate whose leading edge
    goes from `first` to `second` (y, z up), cut at shares of its span and into
    strips about `strip` wide."""
    first, second = np.array(first), np.array(second)
    span = np.linalg.norm(second - first)
    inner = [cut for cut in cuts if 1e-9 < cut < 1 - 1e-9]
    shares = []
    for start, end in zip([0.0, *inner], [*inner, 1.0]):
        count = max(1, round((end - start) * span / strip))
        shares += list(np.linspace(start, end, count, endpoint=False))
    shares.append(1.0)
    along = (second - first) / span
    normal = np.array([0.0, -along[1], along[0]])
    found = []
    for a, b in zip(shares, shares[1:]):
        for box in range(BOXES):
            place = lambda share, x: np.array([x, *(first + (second - first) * share)])
            vortex = chord * (box + 0.25) / BOXES
            control = chord * (box + 0.75) / BOXES
            found.append((place(a, vortex), place(b, vortex),
                          place(0.5 * (a + b), control), normal))  # fmt: skip
    return found


def mirrored(plate):
    image = np.array([1.0, -1.0, 1.0])
    return plate + [(b * image, a * image, c * image, n * image) for a, b, c, n in plate]


def line(points, starts, ends):
    """Biot and Savart's law for straight lines of unit circulation."""
    r1, r2 = points[:, None] - starts, points[:, None] - ends
    cross = np.cross(r1, r2)
    l1, l2 = np.linalg.norm(r1, axis=2), np.linalg.norm(r2, axis=2)
    below = l1 * l2 * (l1 * l2 + (r1 * r2).sum(2))
    below[below < 1e-15] = np.inf
    return cross * ((l1 + l2) / below)[..., None] / (4 * np.pi)


def slope(plates, axis, wind):
    """Force along `axis` over dynamic pressure per radian, m2."""
    starts, ends, points, normals = (np.array(part) for part in zip(*plates))
    far = np.array([1e4, 0.0, 0.0])
    velocity = line(points, starts, ends)
    velocity += line(points, ends, ends + far) - line(points, starts, starts + far)
    matrix = (velocity * normals[:, None]).sum(2)
    circulation = np.linalg.solve(matrix, -(normals @ np.array(wind)))
    force = np.cross([1.0, 0.0, 0.0], ends - starts) * circulation[:, None]
    return 2.0 * force[:, axis].sum()


def fin_and_tailplane(tail_up, strip):
    """Side force in sideslip: a fin from 0 to its span, a tailplane at a height."""
    chord, half = PLATES["tailplane"]
    fin_chord, height = PLATES["fin"]
    tail = mirrored(boxes(chord, strip, (0.0, tail_up), (half, tail_up), []))
    fin = boxes(fin_chord, strip, (0.0, 0.0), (0.0, height), [tail_up / height])
    return -slope(tail + fin, 1, [0.0, -1.0, 0.0])


def two_fins_and_tailplane(fin_right, strip):
    """Lift: fins that stand at a distance from the middle of the tailplane."""
    chord, half = PLATES["tailplane"]
    fin_chord, height = PLATES["fin"]
    tail = mirrored(boxes(chord, strip, (0.0, 0.0), (half, 0.0), [fin_right / half]))
    fin = mirrored(boxes(fin_chord, strip, (fin_right, 0.0), (fin_right, height), []))
    return slope(tail + fin, 2, [0.0, 0.0, 1.0])


def refined(case, place):
    coarse, fine = (case(place, strip) for strip in STRIPS_M)
    return 2.0 * fine - coarse


def joints():
    heights = [-0.05, -0.02, 0.0, 0.003, 0.01, 0.03, 0.085, 0.14, 0.16, 0.17, 0.19]
    places = [0.15, 0.2, 0.235, 0.245, 0.25, 0.27, 0.3]
    return {
        "plates": {name: {"chord_m": c, "span_m": s} for name, (c, s) in PLATES.items()},
        "tail_up_m": heights,
        "side_force_m2": [refined(fin_and_tailplane, height) for height in heights],
        "fin_right_m": places,
        "lift_m2": [refined(two_fins_and_tailplane, place) for place in places],
    }
