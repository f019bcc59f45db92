//! One eye of the pair on the sheet.

use outline::Outline;
use planner::EyePlan;
use units::maths::{cos_deg, hypot, sin_deg};

use crate::scene::Spot;
use crate::seen::{Seen, course};

/// One eye on the sheet.
pub(super) struct Seat<'a> {
    pub(super) plan: &'a EyePlan,
    pub(super) seen: Seen,
    /// The outline that is cut, or traced where there is no blank.
    pub(super) outline: &'a Outline,
    /// Lines of equal thickness on the sheet.
    pub(super) contours: Vec<(f64, Vec<Spot>)>,
}

impl Seat<'_> {
    pub(super) fn place(&self, place: planner::Place) -> Spot {
        let (x, y) = place.xy(self.plan.eye);
        self.seen.at(x, y)
    }

    pub(super) fn rim(&self, deg: f64) -> Spot {
        self.seen.point(self.outline.point(deg.to_radians()))
    }

    /// The box on the sheet: left, top, right, bottom.
    pub(super) fn boxed(&self) -> (f64, f64, f64, f64) {
        let (w, h) = (0.5 * self.plan.shape.boxed.width.mm(), 0.5 * self.plan.shape.boxed.height.mm());
        let o = self.seen.origin;
        (o.x - w, o.y - h, o.x + w, o.y + h)
    }
}

/// Unit vector to the base of the ordered prism, y up.
pub(super) fn prism_base(plan: &EyePlan) -> Option<(f64, f64)> {
    let (x, y) = (plan.prism.ordered.base_in.cm_per_m() * plan.eye.nasal(), plan.prism.ordered.base_up.cm_per_m());
    let amount = hypot(x, y);
    (amount > 0.004).then(|| (x / amount, y / amount))
}

/// Where the axis line ends: 3.5 mm outside the outline at its named end, 2 mm at the other.
pub(super) fn axis_ends(seat: &Seat<'_>, centre: planner::Place, axis_deg: f64) -> (Spot, Spot) {
    let (x, y) = centre.xy(seat.plan.eye);
    let end = |deg: f64, beyond: f64| {
        let out = ray(seat.outline, x, y, deg) + beyond;
        seat.seen.at(x + out * cos_deg(deg), y + out * sin_deg(deg))
    };
    (end(axis_deg, 3.5), end(axis_deg + 180.0, 2.0))
}

/// How far it is from a place inside along a direction to the outline, mm; nought from outside.
pub(crate) fn ray(outline: &Outline, x: f64, y: f64, deg: f64) -> f64 {
    let (dx, dy) = (cos_deg(deg), sin_deg(deg));
    let points = course(outline);
    let mut best = 0.0;
    for (i, p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        let (ex, ey) = (q.x - p.x, q.y - p.y);
        let det = dx * -ey + ex * dy;
        if det.abs() < 1e-12 {
            continue;
        }
        let (fx, fy) = (p.x - x, p.y - y);
        let (along, share) = ((fx * -ey + ex * fy) / det, (dx * fy - dy * fx) / det);
        if (0.0..=1.0).contains(&share) && along > best {
            best = along;
        }
    }
    best
}
