//! The glass of the invented shelf: how thick a maker would make such a blank.
//!
//! Written out here, apart from the program's own lens crate, so that the demo does not rest on what it shows.

use units::maths::{abs, max, sqrt};

/// A blank's labelled power, minus-cylinder form, dioptres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Label {
    pub(crate) sphere_d: f64,
    pub(crate) cylinder_d: f64,
}

impl Label {
    /// Sphere and half the cylinder.
    pub(crate) fn equivalent_d(self) -> f64 {
        self.sphere_d + self.cylinder_d / 2.0
    }
}

/// A lens with a spherical front of this marked curve (index 1.530) and the back that the label asks for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Glass {
    pub(crate) index: f64,
    pub(crate) front_1530_d: f64,
    pub(crate) centre_mm: f64,
}

/// Vogel's rule, as the trade press gives it: equivalent + 6 D for plus, half of it + 6 D for minus.
pub(crate) fn usual_front_d(label: Label) -> f64 {
    let equivalent = label.equivalent_d();
    if equivalent > 0.0 { equivalent + 6.0 } else { equivalent / 2.0 + 6.0 }
}

impl Glass {
    /// Thickness along the axis at so many mm from the vertex, in a meridian of this back vertex power.
    ///
    /// F2 = F'v - F1 / (1 - t F1 / n); sag = c y^2 / (1 + sqrt(1 - c^2 y^2)), exact for a circular arc.
    pub(crate) fn thickness_mm(self, power_d: f64, at_mm: f64) -> f64 {
        // A marked curve is a radius: r = 530 / curve.
        let front = self.front_1530_d / 530.0;
        let front_d = front * 1000.0 * (self.index - 1.0);
        let back_d = power_d - front_d / (1.0 - self.centre_mm / 1000.0 / self.index * front_d);
        let back = back_d / (1000.0 * (1.0 - self.index));
        self.centre_mm - sag(front, at_mm) + sag(back, at_mm)
    }
}

fn sag(curvature: f64, at_mm: f64) -> f64 {
    curvature * at_mm * at_mm / (1.0 + sqrt(1.0 - curvature * curvature * at_mm * at_mm))
}

/// The centre that leaves this edge at the rim in the most positive meridian, and is no thinner than `least_mm`; to a
/// tenth, upwards.
pub(crate) fn centre_mm(index: f64, front_1530_d: f64, label: Label, rim_mm: f64, edge_mm: f64, least_mm: f64) -> f64 {
    let mut centre_mm = least_mm;
    // Each round corrects nearly all of the error: the back's curve depends little on the thickness.
    for _ in 0..40 {
        let glass = Glass { index, front_1530_d, centre_mm };
        let short = edge_mm - glass.thickness_mm(label.sphere_d, rim_mm);
        let next = max(least_mm, centre_mm + short);
        if abs(next - centre_mm) < 1e-9 {
            break;
        }
        centre_mm = next;
    }
    (centre_mm * 10.0 - 1e-6).ceil() / 10.0
}
