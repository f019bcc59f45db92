"""Cases of lenses whose surfaces are met by rays of a general-purpose ray-tracing library.

The library (rayoptics 0.9, PyPI) has the surfaces, finds where a ray meets them and refracts it; this script places
surfaces and rays, and writes the tables `cases.csv` and `volumes.csv`. Solved here besides, by means of its own:
the curvature of the second surface (closed form, thick lens), the block point (scipy, root) and the turn onto the
cutting axis (scipy, Rotation). The library has no biconic and no torus with something added: each gets a profile of its
own kind (function and gradient), and the library does the rest.

    python3 -m venv rays && rays/bin/pip install numpy scipy transforms3d && rays/bin/pip install --no-deps rayoptics
    rays/bin/python reference/rays/make.py
"""

import csv
import os
from math import atan, atan2, cos, degrees, hypot, radians, sin, sqrt

import numpy as np
import rayoptics
import scipy
from rayoptics.elem.profiles import Conic, EvenPolynomial, Spherical, SurfaceProfile, YToroid
from rayoptics.elem.surface import Surface as Interface
from rayoptics.raytr.raytrace import trace_raw
from scipy.optimize import root
from scipy.spatial.transform import Rotation

HERE = os.path.dirname(os.path.abspath(__file__))
SOURCE = f"rayoptics {rayoptics.__version__}, scipy {scipy.__version__}, numpy {np.__version__}"


class Biconic(SurfaceProfile):
    """A conic in each of two meridians; the library's base class intersects and normalises."""

    def __init__(self, cx, cy, kx, ky):
        self.cx, self.cy, self.kx, self.ky = cx, cy, kx, ky

    def root(self, x, y):
        return sqrt(1 - (1 + self.kx) * self.cx**2 * x * x - (1 + self.ky) * self.cy**2 * y * y)

    def sag(self, x, y):
        return (self.cx * x * x + self.cy * y * y) / (1 + self.root(x, y))

    def f(self, p):
        return p[2] - self.sag(p[0], p[1])

    def df(self, p):
        x, y = p[0], p[1]
        top, root = self.cx * x * x + self.cy * y * y, self.root(x, y)
        def slope(c, k, t):
            return 2 * c * t / (1 + root) + top / (1 + root) ** 2 * (1 + k) * c * c * t / root
        return np.array([-slope(self.cx, self.kx, x), -slope(self.cy, self.ky, y), 1.0])

    def normal(self, p):
        n = self.df(p)
        return n / np.linalg.norm(n)


class Raised(SurfaceProfile):
    """A profile of the library with a r^m added to its sagitta."""

    def __init__(self, under, a, m):
        self.under, self.a, self.m = under, a, m

    def sag(self, x, y):
        return self.under.sag(x, y) + self.a * (x * x + y * y) ** (self.m / 2)

    def f(self, p):
        return p[2] - self.sag(p[0], p[1])

    def df(self, p):
        x, y = p[0], p[1]
        below = self.under.df(np.array([x, y, self.under.sag(x, y)]))
        added = self.m * self.a * (x * x + y * y) ** (self.m / 2 - 1)
        return np.array([below[0] / below[2] - added * x, below[1] / below[2] - added * y, 1.0])

    def normal(self, p):
        n = self.df(p)
        return n / np.linalg.norm(n)


class Surface:
    """A profile with its vertex and its axes (columns x, y, depth) in the lens's own."""

    def __init__(self, profile, vertex, axes):
        self.profile, self.vertex, self.axes = profile, np.array(vertex, float), axes

    def meet(self, point, direction):
        """Length along a unit direction to the surface, and the point, in the lens's axes."""
        p = self.axes.T @ (np.array(point, float) - self.vertex)
        d = self.axes.T @ np.array(direction, float)
        # From the plane of the vertex, so that the library's iteration starts near.
        lead = -p[2] / d[2]
        s, q = self.profile.intersect(p + lead * d, d, 1e-14, 1.0)
        return lead + s, self.axes @ q + self.vertex

    def normal(self, point):
        n = self.profile.normal(self.axes.T @ (np.array(point, float) - self.vertex))
        n = self.axes @ n
        return n if n[2] > 0 else -n


def turned(deg):
    return Rotation.from_euler("z", deg, degrees=True).as_matrix()


def least_turn(to):
    """Axes after the least turn that brings the depth axis onto `to`."""
    to = np.array(to) / np.linalg.norm(to)
    axis = np.cross([0, 0, 1], to)
    size = np.linalg.norm(axis)
    if size == 0:
        return np.eye(3)
    return Rotation.from_rotvec(axis / size * atan2(size, to[2])).as_matrix()


def profile(c_along, c_across, k, axis, form, added, exponent):
    """Its kind, the library's profile, and the turn about the depth axis that lays it along the cylinder's axis."""
    if c_along == c_across:
        if added:
            # Even terms from r^2 on.
            coefs = [added if 2 * i + 2 == exponent else 0.0 for i in range(10)]
            return "conic" if k else "sphere", EvenPolynomial(c=c_along, cc=k, coefs=coefs), np.eye(3)
        if k:
            return "conic", Conic(c=c_along, cc=k), np.eye(3)
        return "sphere", Spherical(c=c_along), np.eye(3)
    if k:
        kind, made, turn = "biconic", Biconic(c_along, c_across, k, k), turned(axis)
    else:
        kind = f"torus-{form}"
        # The profile of the library's toroid lies along its y; the circle it is swept on along its x.
        if (abs(c_along) >= abs(c_across)) == (form == "tyre"):
            made, turn = YToroid(c=c_along, cR=c_across), turned(axis - 90)
        else:
            made, turn = YToroid(c=c_across, cR=c_along), turned(axis)
    return kind, Raised(made, added, exponent) if added else made, turn


class Lens:
    def __init__(self, case):
        n, t = case["index"], case["centre_mm"]
        power = [case["sphere_d"], case["sphere_d"] + case["cylinder_d"]]
        reduced = t / 1000 / n
        if case["given"] == "front":
            front = [case["given_d"]] * 2
            back = [f - f1 / (1 - reduced * f1) for f, f1 in zip(power, front)]
        else:
            back = [case["given_d"]] * 2
            if case["given"] == "flatter-front":
                back = [min(power) - case["given_d"] / (1 - reduced * case["given_d"])] * 2
            shape = [f - f2 for f, f2 in zip(power, back)]
            front = [s / (1 + reduced * s) for s in shape]
        c1 = [f / 1000 / (n - 1) for f in front]
        c2 = [f / 1000 / (1 - n) for f in back]
        self.n, self.t, self.curvatures, self.kinds = n, t, c1 + c2, []
        kind, made, turn = profile(*c1, case["front_conic"], case["axis_deg"], case["form"], 0.0, 4)
        self.kinds.append(kind)
        self.front = Surface(made, [0, 0, 0], turn)
        kind, made, turn = profile(*c2, case["back_conic"], case["axis_deg"], case["form"], case["added"],
                                   case["added_exponent"])
        self.kinds.append(kind)
        d, base = atan(case["prism_cm_per_m"] / 100), radians(case["base_deg"])
        a = atan2(sin(d), n - cos(d))
        tilt = least_turn([-sin(a) * cos(base), -sin(a) * sin(base), cos(a)])
        self.back = Surface(made, [0, 0, t], tilt @ turn)

    def thickness(self, x, y, direction=(0, 0, 1)):
        return self.back.meet([x, y, 0], direction)[0] - self.front.meet([x, y, 0], direction)[0]

    def cutting(self, case):
        """The point from which depths are counted, under the boxed centre, and the axes of the cutting plane."""
        vertex = case["vertex_x_mm"], case["vertex_y_mm"]
        if case["block_at"] == "optical-centre":
            return np.array([-vertex[0], -vertex[1], 0.0]), np.eye(3)
        if case["block_axis"] == "lens-axis":
            return self.front.meet([-vertex[0], -vertex[1], 0], [0, 0, 1])[1], np.eye(3)
        def at(xy):
            point = self.front.meet([xy[0], xy[1], 0], [0, 0, 1])[1]
            axes = least_turn(self.front.normal(point))
            return point, axes
        def short(xy):
            point, axes = at(xy)
            return [axes[:, 0] @ -point - vertex[0], axes[:, 1] @ -point - vertex[1]]
        found = root(short, [-vertex[0], -vertex[1]], tol=1e-13).x
        assert hypot(*short(found)) < 1e-12
        return at(found)

    def traced(self, start, direction, index):
        """The library's own trace, frames turned by it: lengths to front and from it to back, exit, direction."""
        front, back = self.front, self.back
        path = iter([
            (None, None, (front.axes.T, front.vertex), 1.0, 1.0),
            (Interface(profile=front.profile), None,
             (back.axes.T @ front.axes, front.axes.T @ (back.vertex - front.vertex)), index, 1.0),
            (Interface(profile=back.profile), None, None, 1.0, 1.0)])
        ray, _, _ = trace_raw(path, np.array(start, float), np.array(direction, float), 587.6, eps=1e-14,
                              intersect_obj=False)
        point, out = ray[-1][0], ray[-1][1]
        return ray[0][2], ray[1][2], back.axes @ point + back.vertex, back.axes @ out

    def prism_at(self, x, y):
        """Where a ray parallel to the lens axis leaves the back, mm, and by what prism, cm/m, towards the base."""
        _, _, point, out = self.traced([x, y, 0], [0, 0, 1], self.n)
        return point[0], point[1], 100 * out[0] / out[2], 100 * out[1] / out[2]

    def power(self):
        """Back vertex power as a matrix, D, from rays near the axis, extrapolated onto it."""
        def near(h):
            points, slopes = np.zeros((2, 2)), np.zeros((2, 2))
            for column, (x, y) in enumerate([(h, 0.0), (0.0, h)]):
                there, opposite = np.array(self.prism_at(x, y)), np.array(self.prism_at(-x, -y))
                points[:, column] = (there[:2] - opposite[:2]) / 2000
                slopes[:, column] = (there[2:] - opposite[2:]) / 200
            return -slopes @ np.linalg.inv(points)
        f = (4 * near(0.1) - near(0.2)) / 3
        return f[0, 0], (f[0, 1] + f[1, 0]) / 2, f[1, 1]


def cases():
    """Ordinary spectacle lenses, all kinds of surfaces; nothing here is random."""
    def case(**given):
        usual = dict(index=1.498, centre_mm=2.0, sphere_d=0.0, cylinder_d=0.0, axis_deg=0.0, given="front", given_d=5.0,
                     form="tyre", front_conic=0.0, back_conic=0.0, added=0.0, added_exponent=4, prism_cm_per_m=0.0,
                     base_deg=0.0, vertex_x_mm=0.0, vertex_y_mm=0.0, block_at="boxed-centre", block_axis="front-normal")
        return usual | given
    vertices = [(3.0, 2.0), (-4.5, 1.0), (0.0, -6.0)]
    powers = [(-4.0, 0.0, 3.5, 2.0, 1.498), (5.0, 0.0, 8.0, 5.5, 1.586), (-7.5, 0.0, 1.5, 1.3, 1.66)]
    # Spheres and conics of revolution.
    for i, (sphere, _, front, centre, index) in enumerate(powers):
        for k, (kf, kb) in enumerate([(0.0, 0.0), (-0.6, 0.0), (-1.0, 0.4), (0.0, -0.8), (-2.5, 0.0), (0.9, -1.6)]):
            x, y = vertices[(i + k) % 3]
            yield case(index=index, centre_mm=centre, sphere_d=sphere, given_d=front, front_conic=kf, back_conic=kb,
                       vertex_x_mm=x, vertex_y_mm=y)
    # Tori both ways, on the back and on the front.
    torics = [(-2.0, -1.5, 30.0, 6.0, 2.0, 1.586), (3.0, 2.25, 125.0, 9.0, 5.5, 1.498),
              (1.0, -3.0, 80.0, 5.0, 3.0, 1.60), (-5.5, 4.0, 15.0, 2.0, 1.5, 1.66)]
    for i, (sphere, cylinder, axis, front, centre, index) in enumerate(torics):
        for form in ("tyre", "barrel"):
            x, y = vertices[i % 3]
            yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis,
                       given_d=front, form=form, vertex_x_mm=x, vertex_y_mm=y)
            x, y = vertices[(i + 1) % 3]
            yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis, given="back",
                       given_d=-6.0 if sphere < 2 else -4.0, form=form, vertex_x_mm=x, vertex_y_mm=y)
    # Biconics on either side, with and without a conic on the other.
    for i, (sphere, cylinder, axis, front, centre, index) in enumerate(torics):
        for k, (kf, kb) in enumerate([(0.0, -0.7), (-0.9, 0.5), (0.0, -1.8)]):
            x, y = vertices[(i + k) % 3]
            yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis,
                       given_d=front, front_conic=kf, back_conic=kb, vertex_x_mm=x, vertex_y_mm=y)
        yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis, given="back",
                   given_d=-6.0 if sphere < 2 else -4.0, front_conic=-0.5, vertex_x_mm=x, vertex_y_mm=y)
    # Ground prism: the back turned about its vertex.
    for i, (prism, base) in enumerate([(1.0, 0.0), (3.0, 90.0), (6.0, 200.0), (10.0, 315.0)]):
        for k, (sphere, cylinder, kf, kb) in enumerate([(-4.0, 0.0, 0.0, 0.0), (2.5, -1.25, 0.0, 0.0),
                                                        (-3.0, 0.0, -0.8, 0.3), (3.5, -2.0, -0.5, -0.6)]):
            x, y = vertices[(i + k) % 3]
            yield case(index=[1.498, 1.586, 1.60, 1.66][i], centre_mm=[4.5, 4.5, 5.5, 7.0][i], sphere_d=sphere,
                       cylinder_d=cylinder, axis_deg=35.0 + 40 * k, given_d=6.0, front_conic=kf, back_conic=kb,
                       prism_cm_per_m=prism, base_deg=base, vertex_x_mm=x, vertex_y_mm=y)
    # Corrected backs: c r^4 on a sphere and on a conic.
    for i, (sphere, _, front, centre, index) in enumerate(powers):
        for kb, added in [(0.0, -4e-7), (0.0, 9e-7), (-0.5, 5e-7)]:
            x, y = vertices[i]
            yield case(index=index, centre_mm=centre, sphere_d=sphere, given_d=front, back_conic=kb, added=added,
                       vertex_x_mm=x, vertex_y_mm=y)
    # The same added to a torus and to a biconic; other exponents.
    for i, (sphere, cylinder, axis, front, centre, index) in enumerate(torics):
        x, y = vertices[i % 3]
        yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis, given_d=front,
                   form=["tyre", "barrel"][i % 2], back_conic=[0.0, -0.6][i // 2], added=[3e-7, -4e-10, 2e-4, 5e-10][i],
                   added_exponent=[4, 6, 2, 6][i], vertex_x_mm=x, vertex_y_mm=y)
    # Toric fronts given by their flatter meridian, thick and of high index among them.
    for i, (sphere, cylinder, axis, front, centre, index) in enumerate([
            (4.0, -1.75, 170.0, 6.25, 7.5, 1.60), (-1.25, 2.0, 60.0, 4.0, 2.2, 1.74),
            (0.0, -2.5, 90.0, 0.0, 1.8, 1.67)]):
        x, y = vertices[i % 3]
        yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis,
                   given="flatter-front", given_d=front, form=["tyre", "barrel", "tyre"][i], vertex_x_mm=x,
                   vertex_y_mm=y)
    # Cut along the lens axis, at either block point.
    for i, (at, axis) in enumerate([("boxed-centre", "lens-axis"), ("optical-centre", "front-normal")]):
        for k, (kf, kb, prism) in enumerate([(0.0, 0.0, 0.0), (-0.8, 0.4, 0.0), (-0.4, -0.5, 2.5)]):
            x, y = vertices[(i + k) % 3]
            yield case(index=1.67, centre_mm=3.0, sphere_d=-2.75, cylinder_d=[-1.0, 0.0, 1.5][k],
                       axis_deg=25.0 + 50 * k, given_d=4.0, front_conic=kf, back_conic=kb, prism_cm_per_m=prism,
                       base_deg=120.0, vertex_x_mm=x, vertex_y_mm=y, block_at=at, block_axis=axis)


POINTS = [(0.0, 0.0), (20.0, 5.0), (-14.0, -13.0), (6.0, 17.0), (-28.0, 10.0)]
OUTLINES = [(24.0, 17.0, 2), (27.0, 16.0, 3), (22.0, 20.0, 4)]
CHECK_MM = 25.0
GIVEN = ["index", "centre_mm", "sphere_d", "cylinder_d", "axis_deg", "given", "given_d", "form", "front_conic",
         "back_conic", "added_exponent", "check_mm", "check_radius_mm", "prism_cm_per_m", "base_deg",
         "vertex_x_mm", "vertex_y_mm", "block_at", "block_axis"]
# What the script's closed form has, and what the library's rays near the axis say of it.
LENS = ["front_kind", "back_kind", "front_along_per_mm", "front_across_per_mm", "back_along_per_mm",
        "back_across_per_mm", "ray_power_xx_d", "ray_power_xy_d", "ray_power_yy_d", "lean_right_deg", "lean_up_deg",
        "axial_prism_x_cm_per_m", "axial_prism_y_cm_per_m"]
DEPTHS = ["x_mm", "y_mm", "front_depth_mm", "back_depth_mm", "front_sag_mm", "axis_thickness_mm", "normal_thickness_mm"]
RAY = ["ray_exit_x_mm", "ray_exit_y_mm", "ray_prism_x_cm_per_m", "ray_prism_y_cm_per_m"]
LAST = ["tolerance_mm", "power_tolerance_d", "source"]


def written(values):
    return [f"{value:.12f}" for value in values]


def about(case, lens):
    row = {key: case[key] for key in GIVEN if key in case}
    row["added_exponent"] = row["check_mm"] = row["check_radius_mm"] = ""
    if case["added"]:
        row["added_exponent"] = case["added_exponent"]
        row["check_mm"], row["check_radius_mm"] = repr(float(lens.thickness(CHECK_MM, 0.0))), CHECK_MM
    return row


def points_of(number, case, measured):
    lens = Lens(case)
    point, axes = lens.cutting(case)
    right, up, viewer = -axes[0, 2], -axes[1, 2], axes[2, 2]
    # A turned back, or one of another vertex curvature, is no longer the lens of that power.
    plain = not case["prism_cm_per_m"] and not (case["added"] and case["added_exponent"] == 2)
    power = lens.power() if plain else None
    fixed = [*lens.kinds, *(repr(c) for c in lens.curvatures), *(written(power) if plain else [""] * 3),
             *written([degrees(atan2(right, viewer)), degrees(atan2(up, viewer)), *lens.prism_at(0.0, 0.0)[2:]])]
    for x, y in POINTS:
        start = point + x * axes[:, 0] + y * axes[:, 1]
        front, back = (surface.meet(start, axes[:, 2])[0] for surface in (lens.front, lens.back))
        sag, under = lens.front.meet([x, y, 0], [0, 0, 1])
        normal = lens.back.meet(under, lens.front.normal(under))[0]
        ray = lens.prism_at(x, y)
        depths = [x, y, *written([front, back, sag, lens.thickness(x, y), normal])]
        # The same depths by the library's own trace with nothing refracted.
        first, between, _, _ = lens.traced(start, axes[:, 2], 1.0)
        measured["trace"].append(max(abs(first - front), abs(first + between - back)))
        if plain:
            f = np.array([[power[0], power[1]], [power[1], power[2]]])
            off = hypot(*(-f @ np.array(ray[:2]) / 10 - np.array(ray[2:])))
            if not case["added"]:
                measured["prentice"].append((hypot(x, y), off, hypot(*ray[2:]), number))
        yield ({"case": number} | about(case, lens) | dict(zip(LENS, fixed)) | dict(zip(DEPTHS, depths))
               | dict(zip(RAY, written(ray))) | dict(zip(LAST, [1e-9, 1e-8, SOURCE])))


def volume(lens, case, outline, radial, around):
    """Gauss-Legendre along the radius and along each quarter of the direction: not round the rim, as the crate does."""
    point, axes = lens.cutting(case)
    semi_x, semi_y, p = outline
    along, round_ = (np.polynomial.legendre.leggauss(order) for order in (radial, around))
    total = 0.0
    for quarter in range(4):
        for place, share in zip(*round_):
            t = (quarter + 0.5 * (place + 1)) * np.pi / 2
            # |x/a|^p + |y/b|^p = 1; with p whole it is smooth within a quarter.
            edge = (abs(cos(t) / semi_x) ** p + abs(sin(t) / semi_y) ** p) ** (-1 / p)
            for node, weight in zip(*along):
                r = 0.5 * (node + 1)
                start = point + r * edge * (cos(t) * axes[:, 0] + sin(t) * axes[:, 1])
                thickness = lens.back.meet(start, axes[:, 2])[0] - lens.front.meet(start, axes[:, 2])[0]
                total += thickness * edge * edge * r * 0.5 * weight * share * np.pi / 4
    return total


def write(name, rows, columns):
    with open(os.path.join(HERE, name), "w", newline="") as out:
        table = csv.DictWriter(out, columns, lineterminator="\n")
        table.writeheader()
        table.writerows(rows)
    print(name, len(rows), "rows")


def main():
    every, measured = list(cases()), {"trace": [], "prentice": []}
    rows = [row for number, case in enumerate(every) for row in points_of(number, case, measured)]
    write("cases.csv", rows, ["case"] + GIVEN + LENS + DEPTHS + RAY + LAST)
    print(len(every), "cases")
    volumes, worst = [], 0.0
    for i, number in enumerate(range(0, len(every), 3)):
        case, outline = every[number], OUTLINES[i % 3]
        lens = Lens(case)
        fine, coarse = (volume(lens, case, outline, *orders) for orders in ((14, 40), (12, 32)))
        worst = max(worst, abs(fine / coarse - 1))
        volumes.append({"case": number} | about(case, lens) | dict(zip(["front_kind", "back_kind"], lens.kinds)) | {
            "semi_x_mm": outline[0], "semi_y_mm": outline[1], "exponent": outline[2], "volume_mm3": f"{fine:.9f}",
            "tolerance_rel": 1e-9, "source": SOURCE})
    write("volumes.csv", volumes, ["case"] + GIVEN + ["front_kind", "back_kind", "semi_x_mm", "semi_y_mm", "exponent",
                                                     "volume_mm3", "tolerance_rel", "source"])
    print(f"two orders of quadrature differ by {worst:.1e} at most")
    print(f"depths by the library's own trace differ by {max(measured['trace']):.1e} mm at most")
    thinnest = min(float(row["axis_thickness_mm"]) for row in rows)
    print(f"thinnest place {thinnest:.3f} mm")
    for near, far in ((1.0, 21.0), (21.0, 30.0)):
        off, of, number = max((off, of, number) for r, off, of, number in measured["prentice"] if near < r < far)
        shares = sorted(off / of for r, off, of, _ in measured["prentice"] if near < r < far)
        print(f"Prentice at {near:.0f} to {far:.0f} mm: at most {off:.3f} off {of:.3f} cm/m (case {number}), "
              f"in the median {100 * shares[len(shares) // 2]:.1f}%")


if __name__ == "__main__":
    main()
