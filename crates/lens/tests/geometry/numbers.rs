//! Lenses to test with.

use job::rules::{Block, BlockAt, CuttingAxis, Lies};
use lens::{Cutting, Given, HalfExponent, Lens, Surfacing, TorusForm};
use optics::{Prism, SpheroCylinder};
use outline::Point;
use proptest::prelude::*;
use units::{Angle, CmPerM, Dioptre, Mm, Working};

pub(crate) fn block(axis: CuttingAxis) -> Block {
    Block {
        axis,
        at: BlockAt::BoxedCentre,
        lies: Lies::FrontUp,
        diameters: Vec::new(),
        clear_least: Mm::ZERO,
        clear_wanted: Mm::ZERO,
        clamp_least: Mm::ZERO,
    }
}

/// A lens by its numbers, so that a test can mirror and turn them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Numbers {
    pub(crate) sphere_d: f64,
    pub(crate) cylinder_d: f64,
    pub(crate) axis_deg: f64,
    pub(crate) index: f64,
    /// Power of the front, or of the back where the front carries the cylinder.
    pub(crate) given_d: f64,
    pub(crate) toric_front: bool,
    pub(crate) barrel: bool,
    pub(crate) centre_mm: f64,
    pub(crate) prism_cm_per_m: f64,
    pub(crate) base_deg: f64,
    /// The vertex, from the boxed centre.
    pub(crate) vertex: (f64, f64),
    pub(crate) front_normal: bool,
    /// Conic constants of front and back.
    pub(crate) conic: [f64; 2],
    /// What the thickness correction adds in the mean at [`CHECK_MM`] from the vertex, and half its exponent.
    pub(crate) deeper_mm: f64,
    pub(crate) half: HalfExponent,
}

/// Where a blank's check thickness is taken, mm from the vertex.
pub(crate) const CHECK_MM: f64 = 25.0;

/// A lens of no power to start from.
pub(crate) const PLATE: Numbers = Numbers {
    sphere_d: 0.0,
    cylinder_d: 0.0,
    axis_deg: 180.0,
    index: 1.5,
    given_d: 0.0,
    toric_front: false,
    barrel: false,
    centre_mm: 2.0,
    prism_cm_per_m: 0.0,
    base_deg: 0.0,
    vertex: (0.0, 0.0),
    front_normal: true,
    conic: [0.0; 2],
    deeper_mm: 0.0,
    half: HalfExponent::Two,
};

impl Numbers {
    pub(crate) fn surfacing(&self) -> Surfacing {
        let d = Dioptre::new;
        Surfacing {
            power: SpheroCylinder::new(d(self.sphere_d), d(self.cylinder_d), Angle::from_deg(self.axis_deg)),
            index: self.index,
            given: if self.toric_front { Given::Back(d(-self.given_d)) } else { Given::Front(d(self.given_d)) },
            form: if self.barrel { TorusForm::Barrel } else { TorusForm::Tyre },
            ground: Prism::towards(CmPerM::new(self.prism_cm_per_m), Angle::from_deg(self.base_deg)),
            conic: self.conic,
        }
    }

    pub(crate) fn lens(&self) -> Lens {
        let lens = self.surfacing().lens(&mut Working::off(), Mm::new(self.centre_mm)).unwrap();
        if self.deeper_mm == 0.0 {
            return lens;
        }
        let check = mean_thickness(&lens, CHECK_MM) + self.deeper_mm;
        lens.corrected(Mm::new(check), Mm::new(CHECK_MM), None, self.half).unwrap()
    }

    pub(crate) fn block(&self) -> Block {
        block(if self.front_normal { CuttingAxis::FrontNormal } else { CuttingAxis::LensAxis })
    }

    pub(crate) fn held(&self) -> Cutting {
        Cutting::new(self.lens(), Point::new(self.vertex.0, self.vertex.1), &self.block()).unwrap()
    }

    /// Whether no surface is more curved than a radius of 38 mm, which reaches round the shapes of these tests.
    fn reaches(&self) -> bool {
        let ends = 1.0 + self.conic[0].max(self.conic[1]).max(0.0);
        self.given_d + self.sphere_d.abs() + self.cylinder_d.abs() < 26.0 * (self.index - 1.0) / ends.sqrt()
    }

    /// The fellow lens: x becomes −x.
    pub(crate) fn mirrored(self) -> Self {
        let (x, y) = self.vertex;
        Self { axis_deg: 180.0 - self.axis_deg, base_deg: 180.0 - self.base_deg, vertex: (-x, y), ..self }
    }

    /// Everything turned anticlockwise about the boxed centre.
    pub(crate) fn turned(self, deg: f64) -> Self {
        let (sin, cos) = (units::maths::sin_deg(deg), units::maths::cos_deg(deg));
        let (x, y) = self.vertex;
        Self {
            axis_deg: self.axis_deg + deg,
            base_deg: self.base_deg + deg,
            vertex: (x * cos - y * sin, x * sin + y * cos),
            ..self
        }
    }
}

/// Mean thickness along the lens axis over 90 directions, mm.
pub(crate) fn mean_thickness(lens: &Lens, radius: f64) -> f64 {
    let sum: f64 = (0..90)
        .map(|i| Angle::from_deg(4.0 * f64::from(i)))
        .map(|a| lens.thickness_along_axis(radius * a.cos(), radius * a.sin()).unwrap())
        .sum();
    sum / 90.0
}

/// Half of them circles without a correction.
fn aspheric() -> impl Strategy<Value = ([f64; 2], f64, HalfExponent)> {
    let half = prop_oneof![Just(HalfExponent::One), Just(HalfExponent::Two), Just(HalfExponent::Three)];
    let constant = || prop_oneof![Just(0.0), -2.0f64..0.5, Just(-1.0)];
    let deeper = prop_oneof![Just(0.0), -0.4f64..0.4];
    (any::<bool>(), constant(), constant(), deeper, half).prop_map(|(circles, front, back, deeper, half)| {
        if circles { ([0.0; 2], 0.0, half) } else { ([front, back], deeper, half) }
    })
}

/// Lenses of the trade, up to strong ones: spheres, both tori on either surface, conics, biconics, corrected backs,
/// ground prism, decentred, both axes.
pub(crate) fn any_lens() -> impl Strategy<Value = Numbers> {
    let power = (-10.0f64..6.0, -4.0f64..0.0, 0.0f64..180.0, any::<bool>());
    let form = (1.45f64..1.75, 3.0f64..6.0, any::<bool>(), any::<bool>(), any::<bool>(), 1.0f64..6.0);
    let prism = (0.0f64..6.0, 0.0f64..360.0, any::<bool>());
    (power, form, prism, aspheric(), -7.0f64..7.0, -5.0f64..5.0)
        .prop_map(|(power, form, prism, (conic, deeper_mm, half), x, y)| {
            let (sphere_d, cylinder_d, axis_deg, spherical) = power;
            let (index, given_d, toric_front, barrel, front_normal, centre_mm) = form;
            let (prism_cm_per_m, base_deg, no_prism) = prism;
            Numbers {
                sphere_d,
                cylinder_d: if spherical { 0.0 } else { cylinder_d },
                axis_deg,
                index,
                given_d,
                // A front that is solved before a given back would be hollow for a strong minus: rarely made.
                toric_front: toric_front && sphere_d > -2.0,
                barrel,
                centre_mm,
                prism_cm_per_m: if no_prism { 0.0 } else { prism_cm_per_m },
                base_deg,
                vertex: (x, y),
                front_normal,
                conic,
                deeper_mm,
                half,
            }
        })
        .prop_filter("a surface that ends inside the shape", Numbers::reaches)
}

/// Lenses of almost no power, whose thickness turns on the fourth powers of the surfaces and may stand still in several
/// places.
pub(crate) fn nearly_plano() -> impl Strategy<Value = Numbers> {
    (any_lens(), -0.5f64..0.5, -0.5f64..0.0, 0.0f64..0.3, 3.0f64..9.0)
        .prop_map(|(numbers, sphere_d, cylinder_d, prism_cm_per_m, given_d)| Numbers {
            sphere_d,
            cylinder_d,
            prism_cm_per_m,
            given_d,
            toric_front: false,
            ..numbers
        })
        .prop_filter("a surface that ends inside the shape", Numbers::reaches)
}
