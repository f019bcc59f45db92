"""Cases of lenses whose surfaces are met by rays of a general-purpose ray-tracing library.

The library (rayoptics 0.9, PyPI) has the surfaces, finds where a ray meets them and refracts it; this script places
surfaces and rays, and writes the tables `cases.csv` and `volumes.csv`. What is solved here besides, by means of its own:
the curvature of the second surface (closed form, thick lens), the block point (scipy, fsolve) and the turn onto the
cutting axis (scipy, Rotation). The library has no biconic: it gets one as a profile of its own kind (sagitta and
gradient), and does the rest itself.

    python3 -m venv rays && rays/bin/pip install numpy scipy transforms3d && rays/bin/pip install --no-deps rayoptics
    rays/bin/python reference/rays/make.py
"""

import csv
import os
from math import atan, atan2, cos, hypot, radians, sin, sqrt

import numpy as np
import rayoptics
import scipy
from rayoptics.elem.profiles import Conic, EvenPolynomial, Spherical, SurfaceProfile, YToroid
from rayoptics.raytr.raytrace import bend
from scipy.optimize import fsolve
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
        # One more step of Newton from the profile's own equation takes the library's last digits off.
        q = q - self.profile.f(q) / np.dot(d, self.profile.df(q)) * d
        s = float(np.dot(q - p, d))
        return s, self.axes @ q + self.vertex

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


def profile(c_along, c_across, k, axis, form, added):
    """The library's profile, and the turn about the depth axis that brings its x onto the direction `along`."""
    if added and c_along == c_across:
        # Even terms from r^2 on.
        return EvenPolynomial(c=c_along, cc=k, coefs=[0.0, added] + [0.0] * 8), np.eye(3)
    if c_along == c_across:
        return (Conic(c=c_along, cc=k) if k else Spherical(c=c_along)), np.eye(3)
    if k:
        return Biconic(c_along, c_across, k, k), turned(axis)
    along_generates = (abs(c_along) >= abs(c_across)) == (form == "tyre")
    # The profile of the library's toroid lies along its y; the circle it is swept on along its x.
    if along_generates:
        return YToroid(c=c_along, cR=c_across), turned(axis - 90)
    return YToroid(c=c_across, cR=c_along), turned(axis)


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
            shape = [f - f2 for f, f2 in zip(power, back)]
            front = [s / (1 + reduced * s) for s in shape]
        c1 = [f / 1000 / (n - 1) for f in front]
        c2 = [f / 1000 / (1 - n) for f in back]
        self.n, self.t = n, t
        made, turn = profile(*c1, case["front_conic"], case["axis_deg"], case["form"], 0.0)
        self.front = Surface(made, [0, 0, 0], turn)
        made, turn = profile(*c2, case["back_conic"], case["axis_deg"], case["form"], case["added"])
        d, base = atan(case["prism_cm_per_m"] / 100), radians(case["base_deg"])
        a = atan2(sin(d), n - cos(d))
        tilt = least_turn([-sin(a) * cos(base), -sin(a) * sin(base), cos(a)])
        self.back = Surface(made, [0, 0, t], tilt @ turn)

    def thickness(self, x, y, direction=(0, 0, 1)):
        return self.back.meet([x, y, 0], direction)[0] - self.front.meet([x, y, 0], direction)[0]

    def cutting(self, vertex):
        """Block point and axes of a lens cut along the front's normal at the boxed centre, its vertex at `vertex`."""
        def at(xy):
            point = self.front.meet([xy[0], xy[1], 0], [0, 0, 1])[1]
            axes = least_turn(self.front.normal(point))
            return point, axes
        def short(xy):
            point, axes = at(xy)
            return [axes[:, 0] @ -point - vertex[0], axes[:, 1] @ -point - vertex[1]]
        found = fsolve(short, [-vertex[0], -vertex[1]], xtol=1e-13)
        assert hypot(*short(found)) < 1e-11
        return at(found)

    def axial_prism(self):
        d = bend(np.array([0, 0, 1.0]), self.front.normal([0, 0, 0]), 1.0, self.n)
        _, point = self.back.meet([0, 0, 0], d)
        out = bend(d, self.back.normal(point), self.n, 1.0)
        return 100 * out[0] / out[2], 100 * out[1] / out[2]


def cases():
    """Ordinary spectacle lenses, all kinds of surfaces; nothing here is random."""
    def case(**given):
        usual = dict(index=1.498, centre_mm=2.0, sphere_d=0.0, cylinder_d=0.0, axis_deg=0.0, given="front", given_d=5.0,
                     form="tyre", front_conic=0.0, back_conic=0.0, added=0.0, prism_cm_per_m=0.0, base_deg=0.0,
                     vertex_x_mm=0.0, vertex_y_mm=0.0)
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
    torics = [(-2.0, -1.5, 30.0, 6.0, 2.0, 1.586), (3.0, 2.25, 125.0, 9.0, 5.5, 1.498), (1.0, -3.0, 80.0, 5.0, 3.0, 1.60),
              (-5.5, 4.0, 15.0, 2.0, 1.5, 1.66)]
    for i, (sphere, cylinder, axis, front, centre, index) in enumerate(torics):
        for form in ("tyre", "barrel"):
            x, y = vertices[i % 3]
            yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis, given_d=front,
                       form=form, vertex_x_mm=x, vertex_y_mm=y)
            x, y = vertices[(i + 1) % 3]
            yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis, given="back",
                       given_d=-6.0 if sphere < 2 else -4.0, form=form, vertex_x_mm=x, vertex_y_mm=y)
    # Biconics on either side, with and without a conic on the other.
    for i, (sphere, cylinder, axis, front, centre, index) in enumerate(torics):
        for k, (kf, kb) in enumerate([(0.0, -0.7), (-0.9, 0.5), (0.0, -1.8)]):
            x, y = vertices[(i + k) % 3]
            yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis, given_d=front,
                       front_conic=kf, back_conic=kb, vertex_x_mm=x, vertex_y_mm=y)
        yield case(index=index, centre_mm=centre, sphere_d=sphere, cylinder_d=cylinder, axis_deg=axis, given="back",
                   given_d=-6.0 if sphere < 2 else -4.0, front_conic=-0.5, vertex_x_mm=x, vertex_y_mm=y)
    # Ground prism: the back turned about its vertex.
    for i, (prism, base) in enumerate([(1.0, 0.0), (3.0, 90.0), (6.0, 200.0), (10.0, 315.0)]):
        for k, (sphere, cylinder, kf, kb) in enumerate([(-4.0, 0.0, 0.0, 0.0), (2.5, -1.25, 0.0, 0.0),
                                                        (-3.0, 0.0, -0.8, 0.3), (3.5, -2.0, -0.5, -0.6)]):
            x, y = vertices[(i + k) % 3]
            yield case(index=[1.498, 1.586, 1.60, 1.66][i], centre_mm=4.5, sphere_d=sphere, cylinder_d=cylinder,
                       axis_deg=35.0 + 40 * k, given_d=6.0, front_conic=kf, back_conic=kb, prism_cm_per_m=prism,
                       base_deg=base, vertex_x_mm=x, vertex_y_mm=y)
    # Corrected backs: c r^4 on a sphere and on a conic.
    for i, (sphere, _, front, centre, index) in enumerate(powers):
        for kb, added in [(0.0, -4e-7), (0.0, 9e-7), (-0.5, 5e-7)]:
            x, y = vertices[i]
            yield case(index=index, centre_mm=centre, sphere_d=sphere, given_d=front, back_conic=kb, added=added,
                       vertex_x_mm=x, vertex_y_mm=y)


POINTS = [(0.0, 0.0), (20.0, 5.0), (-14.0, -13.0), (6.0, 17.0)]
CHECK_MM = 25.0
OF_LENS = ["index", "centre_mm", "sphere_d", "cylinder_d", "axis_deg", "given", "given_d", "form", "front_conic",
           "back_conic", "check_mm", "check_radius_mm", "prism_cm_per_m", "base_deg", "vertex_x_mm", "vertex_y_mm"]
OUT = ["x_mm", "y_mm", "front_depth_mm", "back_depth_mm", "front_sag_mm", "axis_thickness_mm", "normal_thickness_mm",
       "axial_prism_x_cm_per_m", "axial_prism_y_cm_per_m", "tolerance_mm", "source"]


def about(case, lens):
    row = {key: case[key] for key in OF_LENS if key in case}
    row["check_mm"] = row["check_radius_mm"] = ""
    if case["added"]:
        row["check_mm"], row["check_radius_mm"] = repr(lens.thickness(CHECK_MM, 0.0)), CHECK_MM
    return row


def points_of(number, case):
    lens = Lens(case)
    point, axes = lens.cutting((case["vertex_x_mm"], case["vertex_y_mm"]))
    prism = lens.axial_prism()
    for x, y in POINTS:
        start = point + x * axes[:, 0] + y * axes[:, 1]
        front, back = (surface.meet(start, axes[:, 2])[0] for surface in (lens.front, lens.back))
        sag, under = lens.front.meet([x, y, 0], [0, 0, 1])
        normal = lens.back.meet(under, lens.front.normal(under))[0]
        yield {"case": number} | about(case, lens) | dict(zip(OUT, [
            x, y, *(f"{v:.12f}" for v in (front, back, sag, lens.thickness(x, y), normal, *prism)), 1e-9, SOURCE]))


def volume(lens, case, semi_x, semi_y, order):
    """Gauss-Legendre along the radius, even steps round an ellipse: another way than integrating round the rim."""
    point, axes = lens.cutting((case["vertex_x_mm"], case["vertex_y_mm"]))
    nodes, weights = np.polynomial.legendre.leggauss(order)
    total, around = 0.0, 4 * order
    for i in range(around):
        t = 2 * np.pi * i / around
        for node, weight in zip(nodes, weights):
            r = 0.5 * (node + 1)
            x, y = semi_x * r * cos(t), semi_y * r * sin(t)
            start = point + x * axes[:, 0] + y * axes[:, 1]
            thickness = lens.back.meet(start, axes[:, 2])[0] - lens.front.meet(start, axes[:, 2])[0]
            total += thickness * semi_x * semi_y * r * 0.5 * weight * 2 * np.pi / around
    return total


def write(name, rows, columns):
    with open(os.path.join(HERE, name), "w", newline="") as out:
        table = csv.DictWriter(out, columns, lineterminator="\n")
        table.writeheader()
        table.writerows(rows)
    print(name, len(rows), "rows")


def main():
    every = list(cases())
    rows = [row for number, case in enumerate(every) for row in points_of(number, case)]
    write("cases.csv", rows, ["case"] + OF_LENS + OUT)
    print(len(every), "cases")
    volumes, worst = [], 0.0
    for number in range(0, len(every), 4):
        case = every[number]
        lens = Lens(case)
        fine, coarse = (volume(lens, case, 24.0, 17.0, order) for order in (16, 12))
        worst = max(worst, abs(fine / coarse - 1))
        volumes.append({"case": number} | about(case, lens) | {
            "semi_x_mm": 24.0, "semi_y_mm": 17.0, "volume_mm3": f"{fine:.9f}", "tolerance_rel": 1e-9, "source": SOURCE})
    write("volumes.csv", volumes, ["case"] + OF_LENS + ["semi_x_mm", "semi_y_mm", "volume_mm3", "tolerance_rel", "source"])
    print(f"two orders of quadrature differ by {worst:.1e} at most")


if __name__ == "__main__":
    main()
