//! Where the lens lies over its blank, and what of it lies beyond.

use outline::Point;
use planner::{EyePlan, LensPlan};
use units::maths::{cos_deg, hypot, sin_deg};

use crate::scene::Spot;
use crate::seen::{Seen, parameters};

/// The lens over its blank, in its own plane: mm from the vertex, x to the viewer's right, y up.
pub(super) struct Over<'a> {
    pub(super) plan: &'a EyePlan,
    pub(super) lens: &'a LensPlan,
    /// Front end of the wall.
    pub(super) front: Vec<(f64, f64)>,
    /// Back end of the wall.
    pub(super) back: Vec<(f64, f64)>,
    pub(super) middle: (f64, f64),
    pub(super) boxed_centre: (f64, f64),
    /// The middle dot: the vertex.
    pub(super) dot: (f64, f64),
    /// The end of the wall that reaches farthest.
    pub(super) tightest: (f64, f64),
    /// Radius of the graduated ring about the vertex.
    pub(super) ring: f64,
}

impl<'a> Over<'a> {
    pub(super) fn new(plan: &'a EyePlan, lens: &'a LensPlan) -> Self {
        let cutting = &lens.cutting;
        let end = |p: Point, back: bool| {
            let depth = if back { cutting.back_depth(p) } else { cutting.front_depth(p) };
            let [x, y, _] = cutting.to_lens([p.x, p.y, depth.unwrap_or(0.0)]);
            (x, y)
        };
        let at = |place: planner::Place| {
            let (x, y) = place.xy(plan.eye);
            end(Point::new(x, y), false)
        };
        let outline = lens.cut.outline();
        let parameters = parameters(outline);
        let course = |back: bool| parameters.iter().map(|&t| end(outline.point(t), back)).collect::<Vec<_>>();
        let middle = at(lens.middle);
        let rim = outline.point(lens.coverage.tightest_deg.to_radians());
        let away = |p: (f64, f64)| hypot(p.0 - middle.0, p.1 - middle.1);
        let (front, back) = (end(rim, false), end(rim, true));
        Self {
            plan,
            lens,
            front: course(false),
            back: course(true),
            middle,
            boxed_centre: end(Point::ORIGIN, false),
            dot: plan.vertex.map_or((0.0, 0.0), at),
            tightest: if away(front) >= away(back) { front } else { back },
            ring: hypot(middle.0, middle.1) + 0.5 * lens.blank.nominal.mm() + 1.6,
        }
    }

    pub(super) fn margin(&self) -> f64 {
        self.lens.coverage.margin.mm()
    }

    pub(super) fn short(&self) -> bool {
        self.margin() < 0.0
    }

    pub(super) fn enlarged(&self) -> bool {
        self.margin() < super::ENLARGED_BELOW
    }

    /// Radius to which the blank may be used, allowance taken off.
    pub(super) fn useful(&self) -> f64 {
        self.lens.coverage.usable_radius.mm() - self.lens.coverage.allowance.mm()
    }

    pub(super) fn nominal(&self) -> f64 {
        0.5 * self.lens.blank.nominal.mm()
    }

    /// Unit vector from the blank's middle to the tightest point.
    pub(super) fn towards_tightest(&self) -> (f64, f64) {
        let (dx, dy) = (self.tightest.0 - self.middle.0, self.tightest.1 - self.middle.1);
        let away = hypot(dx, dy).max(1e-9);
        (dx / away, dy / away)
    }

    pub(super) fn leans(&self) -> bool {
        hypot(self.lens.block.tilt_in_deg, self.lens.block.tilt_up_deg) > 2.0
    }
}

impl Over<'_> {
    pub(super) fn tightest_at_back(&self) -> bool {
        let rim = self.lens.cut.outline().point(self.lens.coverage.tightest_deg.to_radians());
        let depth = self.lens.cutting.back_depth(rim).unwrap_or(0.0);
        let [x, y, _] = self.lens.cutting.to_lens([rim.x, rim.y, depth]);
        hypot(x - self.tightest.0, y - self.tightest.1) < 1e-9
    }
}

/// The parts of the shape that lie beyond what may be used, as closed runs on the sheet.
pub(super) fn outside(over: &Over<'_>, seen: Seen) -> Vec<Vec<Spot>> {
    let limit = over.useful();
    let away = |p: (f64, f64)| hypot(p.0 - over.middle.0, p.1 - over.middle.1);
    let far: &[(f64, f64)] = if over.tightest_at_back() { &over.back } else { &over.front };
    let n = far.len();
    let Some(start) = (0..n).find(|&i| away(far[i]) <= limit) else { return vec![spots(far, seen)] };
    let crossing = |p: (f64, f64), q: (f64, f64)| {
        let (a, b) = (away(p) - limit, away(q) - limit);
        let k = a / (a - b);
        (p.0 + (q.0 - p.0) * k, p.1 + (q.1 - p.1) * k)
    };
    let mut parts = Vec::new();
    let mut part: Vec<(f64, f64)> = Vec::new();
    for i in 0..n {
        let (p, q) = (far[(start + i) % n], far[(start + i + 1) % n]);
        match (away(p) > limit, away(q) > limit) {
            (false, true) => part = vec![crossing(p, q), q],
            (true, true) => part.push(q),
            (true, false) => {
                part.push(crossing(p, q));
                close_along(&mut part, over.middle, limit);
                parts.push(spots(&part, seen));
            }
            (false, false) => {}
        }
    }
    parts
}

/// Closes a part along the circle of what may be used.
fn close_along(part: &mut Vec<(f64, f64)>, middle: (f64, f64), radius: f64) {
    let (Some(&first), Some(&last)) = (part.first(), part.last()) else { return };
    let deg = |p: (f64, f64)| units::maths::atan2_deg(p.1 - middle.1, p.0 - middle.0);
    let (from, mut to) = (deg(last), deg(first));
    while to > from {
        to -= 360.0;
    }
    // The way back runs clockwise, less than half a turn; a longer one means that the part was met the other way round.
    if from - to > 180.0 {
        to += 360.0;
    }
    for i in 1..24 {
        let at = from + (to - from) * f64::from(i) / 24.0;
        part.push((middle.0 + radius * cos_deg(at), middle.1 + radius * sin_deg(at)));
    }
}

pub(super) fn spots(points: &[(f64, f64)], seen: Seen) -> Vec<Spot> {
    points.iter().map(|&(x, y)| seen.at(x, y)).collect()
}
