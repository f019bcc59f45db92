"""Tables for the round wheel on an outline, made with general-purpose libraries only.

    python3 reference/outline/wheel.py         writes unreached.csv and lowered.csv beside this file

numpy 2.4, scipy 1.17, shapely 2.2 made the committed tables. No code is shared with the crates.

unreached.csv: hollow shapes given by a formula. The wheel that touches a hollow at two places is solved for from the
formula (scipy.optimize.fsolve on both touching places, normals by the derivative), the greatest distance left by a
bounded search between them. Independently the closing of a fine polygon by a polygon library, outwards and back
inwards, gives the number of hollows and the greatest distance left (good to some 1e-3, and for wheels of metres to 1e-5
of their radius: the library drops vertices by a share of the offset, see tables.py); the script stops where the two
disagree.

lowered.csv: a V bevel on an ellipse whose apex depth is a sine wave of its eccentric angle, and how much a wheel lowers
it at some places: the greatest, over all places of the wheel, of how far inside the wheel the apex point lies (the model
is told in crates/lens/src/wheel.rs), by scipy.optimize.minimize_scalar from each top of 20000 places.
"""

import csv
import pathlib

import numpy as np
import shapely
from scipy.optimize import fsolve, minimize_scalar
from shapely.geometry import Polygon

HERE = pathlib.Path(__file__).parent

# Radius about the pole and its derivative; the crate's tests build the same by name.
SHAPES = {
    "peanut": (lambda t: 24 + 7 * np.cos(2 * t), lambda t: -14 * np.sin(2 * t)),
    "bean": (lambda t: 24 + 4 * np.cos(t) + 3 * np.cos(2 * t) - 2 * np.sin(3 * t),
             lambda t: -4 * np.sin(t) - 6 * np.sin(2 * t) - 6 * np.cos(3 * t)),
    "clover": (lambda t: 24 + 3 * np.cos(3 * t + 0.4) + np.sin(t), lambda t: -9 * np.sin(3 * t + 0.4) + np.cos(t)),
    "star": (lambda t: 20 + 5 * np.cos(5 * t + 0.3) + np.cos(t), lambda t: -25 * np.sin(5 * t + 0.3) - np.sin(t)),
}


def place(name, t):
    r = SHAPES[name][0](t)
    return np.array([r * np.cos(t), r * np.sin(t)])


def wheel(name, t, radius):
    """Middle of the wheel that touches at t."""
    r, slope = (f(t) for f in SHAPES[name])
    along = np.array([slope * np.cos(t) - r * np.sin(t), slope * np.sin(t) + r * np.cos(t)])
    out = np.array([along[1], -along[0]]) / np.hypot(*along)
    return place(name, t) + radius * out


def boxed_centre(name):
    t = np.linspace(0, 2 * np.pi, 4_000_001)
    p = place(name, t)
    ends = []
    for axis in (0, 1):
        for sign in (1, -1):
            at = t[np.argmax(sign * p[axis])]
            found = minimize_scalar(lambda u: -sign * place(name, u)[axis], bounds=(at - 1e-4, at + 1e-4),
                                    method="bounded", options={"xatol": 1e-13})
            ends.append(-sign * found.fun)
    return np.array([0.5 * (ends[0] + ends[1]), 0.5 * (ends[2] + ends[3])])


def hollows(name, radius):
    """Stretches of a fine polygon where the wheel of each place would cut in elsewhere, then both ends solved for."""
    n = 6000
    t = np.arange(n) * 2 * np.pi / n
    p = place(name, t).T
    centres = np.array([wheel(name, u, radius) for u in t])
    cuts = np.array([np.hypot(*(p - c).T).min() < radius - 1e-6 for c in centres])
    begins = [i for i in range(n) if cuts[i] and not cuts[i - 1]]
    for i in begins:
        j = i
        while cuts[j % n]:
            j += 1
        apart = lambda u: wheel(name, u[0], radius) - wheel(name, u[1], radius)
        ends = (t[i], t[j % n] + (2 * np.pi if j >= n else 0))
        (a, b), info, ok, why = fsolve(apart, ends, xtol=1e-14, full_output=True)
        assert np.abs(apart((a, b))).max() < 1e-9, why
        c = wheel(name, a, radius)
        away = lambda u: np.hypot(*(place(name, u) - c))
        grid = np.linspace(a, b, 2001)
        best = grid[np.argmax([away(u) for u in grid])]
        found = minimize_scalar(lambda u: -away(u), bounds=(best - (b - a) / 1000, best + (b - a) / 1000),
                                method="bounded", options={"xatol": 1e-12})
        yield a, b, -found.fun - radius, found.x, c


def by_polygons(name, radius):
    t = np.arange(20000) * 2 * np.pi / 20000
    shape = Polygon(place(name, t).T)
    closed = shape.buffer(radius, quad_segs=4000).buffer(-radius, quad_segs=4000)
    parts = closed.difference(shape)
    parts = [g for g in getattr(parts, "geoms", [parts]) if g.area > 1e-2]
    edge = closed.exterior
    return [(g.area, max(edge.distance(shapely.Point(v)) for v in g.exterior.coords)) for g in parts]


def unreached():
    rows = []
    for name in SHAPES:
        centre = boxed_centre(name)
        seen = lambda p: np.degrees(np.arctan2(*(p - centre)[::-1])) % 360
        for radius in (4, 12, 50, 62.5, 75, 1000):
            found = sorted(hollows(name, radius), key=lambda h: seen(place(name, h[0])))
            polygons = by_polygons(name, radius)
            deep = [h for h in found if h[2] > 5e-3]
            assert len(deep) == len([g for g in polygons if g[1] > 5e-3]), (name, radius, found, polygons)
            for h, g in zip(sorted(h[2] for h in deep), sorted(g[1] for g in polygons if g[1] > 5e-3)):
                assert abs(h - g) < max(3e-3, 1e-5 * radius), (name, radius, h, g)
            if not found:
                rows.append([name, radius, "", "", "", "", "", ""])
            for a, b, left, at, c in found:
                rows.append([name, radius] + [f"{seen(place(name, u)):.7f}" for u in (a, b)]
                            + [f"{left:.9f}", f"{seen(place(name, at)):.5f}"] + [f"{v:.7f}" for v in c - centre])
    with open(HERE / "unreached.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["shape", "wheel_radius_mm", "from_deg", "to_deg", "left_mm", "at_deg", "wheel_x_mm",
                      "wheel_y_mm"])
        out.writerows(rows)


# Half axes of the ellipse, amplitude, waves and phase of the depth; radius, included angle and height of the wheel.
BEVELS = [
    (25, 25, 1.0, 2, 0.0, 50, 115, 0.7),
    (25, 25, 3.0, 2, 0.3, 50, 115, 0.7),
    (25, 25, 3.0, 2, 0.3, 10, 115, 0.7),
    (25, 25, 1.0, 1, 0.1, 75, 110, 0.9),
    (27, 17, 2.0, 2, 0.7, 50, 115, 0.7),
    (27, 17, 4.0, 3, 0.2, 75, 120, 0.3),
    (27, 14, 3.0, 2, 1.1, 62.5, 90, 0.5),
    (27, 17, 0.0, 1, 0.0, 50, 115, 0.7),
]


def lowered():
    rows = []
    for a, b, size, waves, phase, radius, angle, height in BEVELS:
        at = lambda t: np.array([a * np.cos(t), b * np.sin(t)])
        out = lambda t: np.array([b * np.cos(t), a * np.sin(t)]) / np.hypot(b * np.cos(t), a * np.sin(t))
        depth = lambda t: size * np.sin(waves * t + phase)
        steep = 1 / np.tan(np.radians(angle / 2))
        grid = np.arange(20000) * 2 * np.pi / 20000
        for i in (0, 17, 50, 111, 160, 233, 301, 388):
            t = i * 2 * np.pi / 400
            inside = lambda u: (radius + np.minimum(np.abs(depth(t) - depth(u)) * steep, height)
                                - np.hypot(*(at(u) + radius * out(u) - at(t).reshape(2, *[1] * np.ndim(u)))))
            value = inside(grid)
            tops = [k for k in range(20000) if value[k] >= value[k - 1] and value[k] >= value[(k + 1) % 20000]]
            most = max(0.0, value[i * 50])
            for k in tops:
                found = minimize_scalar(lambda u: -inside(u), bounds=(grid[k] - 3.2e-4, grid[k] + 3.2e-4),
                                        method="bounded", options={"xatol": 1e-13})
                most = max(most, -found.fun)
            rows.append([a, b, size, waves, phase, radius, angle, height, i, f"{most:.9f}"])
    with open(HERE / "lowered.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["semi_x_mm", "semi_y_mm", "amplitude_mm", "waves", "phase_rad", "wheel_radius_mm", "angle_deg",
                      "height_mm", "place_of_400", "lowered_mm"])
        out.writerows(rows)


if __name__ == "__main__":
    unreached()
    lowered()
