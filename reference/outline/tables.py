"""Tables that the outline crate's tests are held against, made with general-purpose libraries only.

    python3 reference/outline/tables.py        writes *.csv beside this file

numpy 2.4, scipy 1.17, shapely 2.2 made the committed tables. No code is shared with the crate: ellipses by the complete
elliptic integral, superellipse areas by the gamma function, circumferences by adaptive quadrature of another parameter,
parallel curves by a polygon library at fine resolution.
"""

import csv
import pathlib

import numpy as np
from scipy.integrate import quad
from scipy.optimize import minimize_scalar
from scipy.special import ellipe, gamma
from shapely import Point
from shapely.geometry import Polygon

HERE = pathlib.Path(__file__).parent


def write(name, header, rows):
    with open(HERE / name, "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header)
        out.writerows(rows)


def ellipse_length(a, b):
    a, b = max(a, b), min(a, b)
    return 4 * a * ellipe(1 - (b / a) ** 2)


def superellipse_area(a, b, p):
    return 4 * a * b * gamma(1 + 1 / p) ** 2 / gamma(1 + 2 / p)


def superellipse_length(a, b, p):
    """Arc length of x = a cos(u)^(2/p), y = b sin(u)^(2/p), the ends of the axes taken out by u = v^m."""

    def by_x(x):  # dy/dx on the flat half, where it is finite
        y1 = -b / a * (x / a) ** (p - 1) * (1 - (x / a) ** p) ** (1 / p - 1)
        return np.hypot(1, y1)

    def by_y(y):
        x1 = -a / b * (y / b) ** (p - 1) * (1 - (y / b) ** p) ** (1 / p - 1)
        return np.hypot(1, x1)

    k = 2 ** (-1 / p)  # the point with |x/a|^p = |y/b|^p = 1/2 parts the two halves
    return 4 * (quad(by_x, 0, k * a, epsabs=1e-12, epsrel=1e-13, limit=500)[0]
                + quad(by_y, 0, k * b, epsabs=1e-12, epsrel=1e-13, limit=500)[0])


def superellipse_diameter(a, b, p):
    """Twice the longest radius, and its direction in the first quarter."""
    radius = lambda t: (abs(np.cos(t) / a) ** p + abs(np.sin(t) / b) ** p) ** (-1 / p)
    grid = np.linspace(0, np.pi / 2, 20001)
    best = grid[np.argmax(radius(grid))]
    found = minimize_scalar(lambda t: -radius(t), bounds=(max(0, best - 1e-3), min(np.pi / 2, best + 1e-3)),
                            method="bounded", options={"xatol": 1e-12})
    t, r = found.x, -found.fun
    for end in (0.0, np.pi / 2):
        if radius(end) >= r - 1e-12:
            t, r = end, radius(end)
    return 2 * r, np.degrees(t)


def formulas():
    rows = []
    for a, b, p in [(25, 25, 2), (26, 18, 2), (30, 12, 2), (18, 26, 2), (26, 18, 2.2), (26, 18, 2.3), (27, 17, 2.5),
                    (25, 20, 2.6), (27, 17, 3), (24, 16, 4), (27, 17, 6), (27, 17, 10)]:
        length = ellipse_length(a, b) if p == 2 else superellipse_length(a, b, p)
        diameter, at = superellipse_diameter(a, b, p)
        source = "complete elliptic integral; pi a b" if p == 2 else "adaptive quadrature; gamma function"
        rows.append([a, b, p, f"{length:.9f}", f"{superellipse_area(a, b, p):.9f}", f"{diameter:.9f}", f"{at:.5f}",
                     source])
    write("formulas.csv", ["semi_x_mm", "semi_y_mm", "exponent", "circumference_mm", "area_mm2", "effective_diameter_mm",
                           "effective_diameter_deg", "source"], rows)


# Shapes as dense polygons. The crate builds the same ones by the names given in the table.
def superellipse(a, b, p, n=20000):
    t = np.arange(n) * 2 * np.pi / n
    r = (np.abs(np.cos(t) / a) ** p + np.abs(np.sin(t) / b) ** p) ** (-1 / p)
    return np.c_[r * np.cos(t), r * np.sin(t)]


def bean(n=20000):
    """A shape with a hollow: r = 24 + 4 cos t + 3 cos 2t - 2 sin 3t, about its boxed centre."""
    t = np.arange(n) * 2 * np.pi / n
    r = 24 + 4 * np.cos(t) + 3 * np.cos(2 * t) - 2 * np.sin(3 * t)
    xy = np.c_[r * np.cos(t), r * np.sin(t)]
    return xy - 0.5 * (xy.min(0) + xy.max(0))


def rectangle(w, h, c):
    return np.array(Polygon([(-w / 2 + c, -h / 2 + c), (w / 2 - c, -h / 2 + c), (w / 2 - c, h / 2 - c),
                             (-w / 2 + c, h / 2 - c)]).buffer(c, quad_segs=4000).exterior.coords)


SHAPES = {
    "ellipse-26-18": lambda: superellipse(26, 18, 2),
    "superellipse-26-18-2.5": lambda: superellipse(26, 18, 2.5),
    "superellipse-27-17-4": lambda: superellipse(27, 17, 4),
    "bean": bean,
    "rectangle-54-34-10": lambda: rectangle(54, 34, 10),
    "rectangle-50-30-3": lambda: rectangle(50, 30, 3),
}


def parallels():
    """Parallel curves. The library drops vertices of its input that stand out by less than about a hundredth of the
    offset and joins arcs by chords, so these figures are good to 1e-3 mm and 0.05 mm2, not better; where it cuts loops
    off at an acute corner, to 3e-3 mm. By hand: the inner parallel of the ellipse 26 x 18 at d = 14 ends where
    cos^2 = (1 - d^2/b^2) / (1 - b^2/a^2), x = cos (a - b^2/a) = 11.79251; the library says 11.79190."""
    rows = []
    for name, make in SHAPES.items():
        shape = Polygon(make())
        for by in (-14, -9, -4, -1, -0.3, 0.1, 0.5, 2, 5):
            there = shape.buffer(by, quad_segs=4000, join_style="round")
            if there.is_empty or there.geom_type != "Polygon":
                continue
            x0, y0, x1, y1 = there.bounds
            edge = there.exterior
            rows.append([name, by, f"{edge.length:.6f}", f"{there.area:.6f}", f"{x1 - x0:.6f}", f"{y1 - y0:.6f}",
                         f"{Point(0, 0).distance(edge):.6f}"])
    write("parallels.csv", ["shape", "by_mm", "circumference_mm", "area_mm2", "width_mm", "height_mm", "nearest_mm"],
          rows)


def circles():
    """Radii of the smallest enclosing circles of dense polygons, by a polygon library."""
    from shapely import minimum_bounding_radius
    rows = []
    for name, make in SHAPES.items():
        rows.append([name, f"{minimum_bounding_radius(Polygon(make())):.6f}"])
    write("circles.csv", ["shape", "radius_mm"], rows)


if __name__ == "__main__":
    formulas()
    parallels()
    circles()
