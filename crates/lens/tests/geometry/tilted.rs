//! The cutting axis and the walls along it, held against a second formulation: implicit equations of sphere, torus and
//! conic in space, and bisection along the line.

use job::rules::{BlockAt, CuttingAxis};
use lens::{Cutting, Surface};
use outline::Point;
use proptest::prelude::*;
use units::{Mm, Working};

use crate::numbers::{Numbers, PLATE, any_lens, block};

type Vec3 = [f64; 3];

fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Vec3, b: Vec3) -> Vec3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// r − sqrt(t² + (r − z)²) with r = 1/c, the depth of a point as seen from the circle's own middle, in the form that keeps
/// its digits for flat circles and holds for straight lines.
fn depth_beside(c: f64, t: f64, z: f64) -> f64 {
    (2.0 * z - c * (t * t + z * z)) / (1.0 + (c * c * t * t + (1.0 - c * z) * (1.0 - c * z)).sqrt())
}

/// A surface as a function of space that changes its sign on it.
struct Implicit {
    vertex: Vec3,
    /// Meridian of revolution, meridian of the generating circle, axis.
    axes: [Vec3; 3],
    generating: f64,
    revolution: f64,
    /// Conic constant; nothing for circles.
    constant: f64,
    /// What is added to the sagitta at a distance from the axis.
    added: Option<lens::Lens>,
}

impl Implicit {
    /// Distance to the circle on which the generating circles have their centres, less their radius, signed so that it
    /// grows towards the eye; for a straight meridian the limit of it.
    ///
    /// With a conic constant k it is what is left of c (u² + v² + (1 + k) z²) = 2 z, and of a biconic's z (1 + root) =
    /// c_u u² + c_v v². A correction is taken off the depth before.
    fn at(&self, p: Vec3) -> f64 {
        let q = [p[0] - self.vertex[0], p[1] - self.vertex[1], p[2] - self.vertex[2]];
        let [u, v, z] = self.axes.map(|axis| dot(q, axis));
        let z = z - self.added.map_or(0.0, |lens| lens.correction(Mm::new(libm::hypot(u, v))).mm());
        if self.constant != 0.0 {
            let (cu, cv, ends) = (self.revolution, self.generating, 1.0 + self.constant);
            if cu == cv {
                return z - 0.5 * cu * (u * u + v * v + ends * z * z);
            }
            return z * (1.0 + (1.0 - ends * (cu * cu * u * u + cv * cv * v * v)).sqrt()) - cu * u * u - cv * v * v;
        }
        // Depth in the plane of the generating circle through the point, then of the circle in it.
        let risen = depth_beside(self.revolution, u, z);
        depth_beside(self.generating, v, risen)
    }

    fn of(numbers: &Numbers, back: bool) -> Self {
        let lens = numbers.lens();
        let (surface, power) = if back { (lens.back(), lens.back_power()) } else { (lens.front(), lens.front_power()) };
        // From powers, not from the surface's own curvatures.
        let curvature = |d: f64| d / 1000.0 / if back { 1.0 - lens.index() } else { lens.index() - 1.0 };
        let (along, across) = (curvature(power.sphere.dioptres()), curvature(power.across().dioptres()));
        let constant = numbers.conic[usize::from(back)];
        let toric = matches!(surface, Surface::Torus(_) | Surface::Biconic(_));
        assert_eq!(toric, power.cylinder.abs().dioptres() > 1e-9);
        assert_eq!(matches!(surface, Surface::Conic(_) | Surface::Biconic(_)), constant != 0.0);
        let along_generates = (along.abs() >= across.abs()) != numbers.barrel;
        let axis = power.axis;
        let meridian = [axis.cos(), axis.sin(), 0.0];
        let square = [-axis.sin(), axis.cos(), 0.0];
        let [u, v] = if along_generates { [square, meridian] } else { [meridian, square] };
        let (generating, revolution) = if along_generates { (along, across) } else { (across, along) };
        // A rigid turn about the vertex, in the plane of the base, by Rodrigues' formula.
        let base = numbers.base_deg.to_radians();
        let tilt = if back {
            let d = libm::atan(numbers.prism_cm_per_m / 100.0);
            libm::atan(libm::sin(d) / (lens.index() - libm::cos(d)))
        } else {
            0.0
        };
        let about = [-libm::sin(base), libm::cos(base), 0.0];
        let turn = |p: Vec3| {
            // Towards +base the depth grows: a turn about the direction square to it, which takes base into depth.
            let (sin, cos) = (libm::sin(-tilt), libm::cos(tilt));
            let (c, d) = (cross(about, p), dot(about, p));
            [0, 1, 2].map(|i| p[i] * cos + c[i] * sin + about[i] * d * (1.0 - cos))
        };
        let vertex = [0.0, 0.0, if back { numbers.centre_mm } else { 0.0 }];
        let added = (back && numbers.deeper_mm != 0.0).then_some(lens);
        Self { vertex, axes: [turn(u), turn(v), turn([0.0, 0.0, 1.0])], generating, revolution, constant, added }
    }

    /// Where the line from `from` along `to − from` changes its sign, in shares of it.
    fn met(&self, from: Vec3, to: Vec3) -> f64 {
        let place = |s: f64| [0, 1, 2].map(|i| from[i] + s * (to[i] - from[i]));
        let (mut a, mut b) = (0.0, 1.0);
        assert!(self.at(from) < 0.0 && self.at(to) > 0.0, "the line does not pass through the surface");
        for _ in 0..70 {
            let m = 0.5 * (a + b);
            if self.at(place(m)) < 0.0 { a = m } else { b = m }
        }
        0.5 * (a + b)
    }
}

proptest! {
    #[test]
    fn walls_end_where_the_implicit_surfaces_are(
        numbers in any_lens(), x in -22.0f64..22.0, y in -15.0f64..15.0,
    ) {
        let held = numbers.held();
        let wall = held.wall(Point::new(x, y)).unwrap();
        // Twenty millimetres either way.
        let (from, to) = (held.to_lens([x, y, -20.0]), held.to_lens([x, y, 20.0]));
        for (back, depth) in [(false, wall.front_depth), (true, wall.back_depth)] {
            let found = -20.0 + 40.0 * Implicit::of(&numbers, back).met(from, to);
            prop_assert!((found - depth.mm()).abs() < 2e-10, "{found} {depth:?}");
        }
    }

    #[test]
    fn the_axis_is_the_fronts_normal_at_the_block_point(numbers in any_lens()) {
        let held = Cutting::new(numbers.lens(), Point::new(numbers.vertex.0, numbers.vertex.1), &block(CuttingAxis::FrontNormal)).unwrap();
        let at = held.to_lens([0.0, 0.0, 0.0]);
        let front = Implicit::of(&numbers, false);
        prop_assert!(front.at(at).abs() < 1e-10, "the block point lies on the front");
        let h = 1e-3;
        let slope = [0, 1, 2].map(|i| {
            let mut step = [0.0; 3];
            step[i] = h;
            let plus = front.at([0, 1, 2].map(|k| at[k] + step[k]));
            let minus = front.at([0, 1, 2].map(|k| at[k] - step[k]));
            (plus - minus) / (2.0 * h)
        });
        let length = dot(slope, slope).sqrt();
        let [right, up, viewer] = held.axis_in_lens();
        for (axis, normal) in [(-right, slope[0]), (-up, slope[1]), (viewer, slope[2])] {
            prop_assert!((axis - normal / length).abs() < 1e-8);
        }
        // The vertex stands where it was wanted, in the plane square to the axis.
        let [x, y, _] = held.from_lens([0.0, 0.0, 0.0]);
        prop_assert!((x - numbers.vertex.0).abs() < 1e-11 && (y - numbers.vertex.1).abs() < 1e-11);
        // Least turn: the direction square to both axes is the same in both systems.
        let square = cross([0.0, 0.0, 1.0], [-right, -up, viewer]);
        let seen = [0, 1, 2].map(|i| {
            let (o, p) = (held.from_lens([0.0; 3]), held.from_lens(square));
            p[i] - o[i]
        });
        for (before, after) in square.iter().zip(seen) {
            prop_assert!((before - after).abs() < 1e-13);
        }
    }

    #[test]
    fn along_the_lens_axis_the_block_point_is_the_fronts_point_beside_the_vertex(numbers in any_lens()) {
        let (x, y) = numbers.vertex;
        let held = Cutting::new(numbers.lens(), Point::new(x, y), &block(CuttingAxis::LensAxis)).unwrap();
        prop_assert_eq!(held.axis_in_lens(), [0.0, 0.0, 1.0]);
        prop_assert_eq!(held.block_point(), Point::ORIGIN);
        let at = held.to_lens([0.0, 0.0, 0.0]);
        prop_assert!((at[0] + x).abs() < 1e-13 && (at[1] + y).abs() < 1e-13);
        prop_assert!(Implicit::of(&numbers, false).at(at).abs() < 1e-10);
        prop_assert!(held.front_depth(Point::ORIGIN).unwrap().abs() < 1e-12);
    }

    #[test]
    fn lens_and_cutting_coordinates_are_one_space(numbers in any_lens(), p in prop::array::uniform3(-30.0f64..30.0)) {
        let held = numbers.held();
        let back = held.from_lens(held.to_lens(p));
        for (a, b) in p.iter().zip(back) {
            prop_assert!((a - b).abs() < 1e-12);
        }
    }

    #[test]
    fn without_decentration_nothing_leans(numbers in any_lens(), x in -22.0f64..22.0, y in -15.0f64..15.0) {
        let straight = Numbers { vertex: (0.0, 0.0), front_normal: false, ..numbers };
        let (one, other) = (straight.held(), Numbers { front_normal: true, ..straight }.held());
        prop_assert_eq!(other.axis_in_lens(), [0.0, 0.0, 1.0]);
        let (a, b) = (one.wall(Point::new(x, y)).unwrap(), other.wall(Point::new(x, y)).unwrap());
        prop_assert!((a.thickness() - b.thickness()).abs().mm() < 1e-11);
        // And the block point on the optical centre is that case.
        let at_centre = job::rules::Block { at: BlockAt::OpticalCentre, ..block(CuttingAxis::FrontNormal) };
        let held = Cutting::new(numbers.lens(), Point::new(4.0, -3.0), &at_centre).unwrap();
        let c = held.wall(Point::new(x + 4.0, y - 3.0)).unwrap();
        prop_assert!((a.front_depth - c.front_depth).abs().mm() < 1e-11);
        prop_assert!((a.back_depth - c.back_depth).abs().mm() < 1e-11);
        prop_assert_eq!(held.block_point(), Point::new(4.0, -3.0));
    }

    #[test]
    fn a_worked_thickness_is_the_wall(numbers in any_lens(), x in -22.0f64..22.0, y in -15.0f64..15.0) {
        let held = numbers.held();
        let at = Point::new(x, y);
        let mut w = Working::on();
        w.figure("", "thickness");
        let worked = held.thickness(&mut w, at).unwrap();
        prop_assert!((worked - held.wall(at).unwrap().thickness()).abs().mm() < 1e-11);
        prop_assert_eq!(Ok(worked), held.thickness(&mut Working::off(), at));
    }
}

/// Issue: a blank decentred 9 mm on a front of 8 D on its own index, 1.586, leans 7 degrees and its wall lands 0.6 mm
/// sideways, that is for a wall of 5 mm.
#[test]
fn nine_millimetres_on_eight_dioptres_lean_seven_degrees() {
    let numbers = Numbers { sphere_d: -2.5, index: 1.586, given_d: 8.0, centre_mm: 1.8, vertex: (9.0, 0.0), ..PLATE };
    let held = numbers.held();
    // asin(9/73.25) by hand.
    let [right, up] = held.lean_deg(&mut Working::off());
    assert!((right + 7.0576).abs() < 1e-3 && up == 0.0, "{right} {up}");
    // The normal of a front that bulges leans away from the vertex: block point on the viewer's left, axis to the left.
    assert!(held.axis_in_lens()[0] < 0.0);
    let wall = held.wall(Point::new(-26.0, 0.0)).unwrap();
    let end = |depth: Mm| held.to_lens([-26.0, 0.0, depth.mm()])[0];
    let sideways = end(wall.back_depth) - end(wall.front_depth);
    assert!((sideways / wall.thickness().mm() - 9.0 / 73.25).abs() < 1e-12);
    assert!((5.0 * sideways / wall.thickness().mm() - 0.6).abs() < 0.05);
    // The back end lies nearer to the optical centre, on the viewer's right.
    assert!(sideways > 0.0);
}

#[test]
fn a_block_point_beyond_the_front_is_refused() {
    let numbers = Numbers { sphere_d: 12.0, index: 1.523, given_d: 14.0, centre_mm: 8.0, vertex: (38.0, 0.0), ..PLATE };
    // The front's radius is 523/14 = 37.4 mm.
    let refused = Cutting::new(numbers.lens(), Point::new(38.0, 0.0), &numbers.block());
    assert!(matches!(refused, Err(lens::NoLens::BlockPoint { .. })), "{refused:?}");
}
