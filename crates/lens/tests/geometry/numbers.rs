//! Lenses to test with.

use job::rules::{Block, BlockAt, CuttingAxis, Lies};
use lens::{Cutting, Given, Lens, Surfacing, TorusForm};
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
}

impl Numbers {
    pub(crate) fn surfacing(&self) -> Surfacing {
        let d = Dioptre::new;
        Surfacing {
            power: SpheroCylinder::new(d(self.sphere_d), d(self.cylinder_d), Angle::from_deg(self.axis_deg)),
            index: self.index,
            given: if self.toric_front { Given::Back(d(-self.given_d)) } else { Given::Front(d(self.given_d)) },
            form: if self.barrel { TorusForm::Barrel } else { TorusForm::Tyre },
            ground: Prism::towards(CmPerM::new(self.prism_cm_per_m), Angle::from_deg(self.base_deg)),
            conic: [0.0; 2],
        }
    }

    pub(crate) fn lens(&self) -> Lens {
        self.surfacing().lens(&mut Working::off(), Mm::new(self.centre_mm)).unwrap()
    }

    pub(crate) fn block(&self) -> Block {
        block(if self.front_normal { CuttingAxis::FrontNormal } else { CuttingAxis::LensAxis })
    }

    pub(crate) fn held(&self) -> Cutting {
        Cutting::new(self.lens(), Point::new(self.vertex.0, self.vertex.1), &self.block()).unwrap()
    }

    /// Whether no surface is more curved than a radius of 38 mm, which reaches round the shapes of these tests.
    fn reaches(&self) -> bool {
        self.given_d + self.sphere_d.abs() + self.cylinder_d.abs() < 26.0 * (self.index - 1.0)
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

/// Lenses of the trade, up to strong ones: spheres, both tori on either surface, ground prism, decentred, both axes.
pub(crate) fn any_lens() -> impl Strategy<Value = Numbers> {
    let power = (-10.0f64..6.0, -4.0f64..0.0, 0.0f64..180.0, any::<bool>());
    let form = (1.45f64..1.75, 3.0f64..6.0, any::<bool>(), any::<bool>(), any::<bool>(), 1.0f64..6.0);
    let prism = (0.0f64..6.0, 0.0f64..360.0, any::<bool>());
    (power, form, prism, -7.0f64..7.0, -5.0f64..5.0)
        .prop_map(|(power, form, prism, x, y)| {
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
