//! The rims: curves of our own, told by a few numbers, for a right eye (nose at the viewer's right).

use units::maths::{abs, atan2_deg, cos_deg, hypot, max, min, sin_deg, sqrt};

/// Points in mm from the middle of the form, anticlockwise, close enough for 0.00001 mm between them.
pub(crate) type Ring = Vec<(f64, f64)>;

/// Points of a ring.
const POINTS: usize = 14_400;

/// A form, before it is traced.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Form {
    /// x^2/a^2 + y^2/b^2 - s^2 x^2 y^2 / (a b)^2 = 1: an ellipse for s = 0, a rectangle for s = 1; then drawn in below
    /// by `taper` and raised towards the temple by `lift`, both shares.
    Soft { width_mm: f64, height_mm: f64, square: f64, taper: f64, lift: f64 },
    /// A rectangle whose corners are quarter circles.
    Rounded { width_mm: f64, height_mm: f64, corner_mm: f64 },
}

impl Form {
    /// The curve, its middle being the middle of its box.
    pub(crate) fn ring(self) -> Ring {
        let ring: Ring = (0..POINTS).map(|i| self.point(360.0 * i as f64 / POINTS as f64)).collect();
        let (x, y) = Sizes::of(&ring).middle;
        ring.into_iter().map(|(px, py)| (px - x, py - y)).collect()
    }

    fn point(self, deg: f64) -> (f64, f64) {
        let (cos, sin) = (cos_deg(deg), sin_deg(deg));
        match self {
            Self::Soft { width_mm, height_mm, square, taper, lift } => {
                let (a, b) = (width_mm / 2.0, height_mm / 2.0);
                let (u, v) = (cos * cos / (a * a), sin * sin / (b * b));
                let r = sqrt(2.0 / (u + v + sqrt((u + v) * (u + v) - 4.0 * square * square * u * v)));
                let (x, y) = (r * cos, r * sin);
                (x * (1.0 + taper * y / b), y - lift * b * (x / a) * (0.5 + 0.5 * y / b))
            }
            Self::Rounded { width_mm, height_mm, corner_mm } => {
                // The ray meets a side, or else the corner's circle.
                let (a, b) = (width_mm / 2.0, height_mm / 2.0);
                let (cx, cy) = (a - corner_mm, b - corner_mm);
                let (c, s) = (abs(cos), abs(sin));
                let side = if c * b > s * a { a / c } else { b / s };
                let (x, y) = (side * c, side * s);
                let r = if x <= cx || y <= cy {
                    side
                } else {
                    let along = cx * c + cy * s;
                    along + sqrt(along * along - (cx * cx + cy * cy) + corner_mm * corner_mm)
                };
                (r * cos, r * sin)
            }
        }
    }
}

/// A ring mirrored for the other eye, still anticlockwise.
pub(crate) fn mirrored(ring: &Ring) -> Ring {
    ring.iter().rev().map(|&(x, y)| (-x, y)).collect()
}

/// A ring grown by so much along its radii: rims of a pair are never quite alike.
pub(crate) fn grown(ring: &Ring, by_mm: impl Fn(f64) -> f64) -> Ring {
    let grow = |&(x, y): &(f64, f64)| {
        let share = 1.0 + by_mm(atan2_deg(y, x)) / hypot(x, y);
        (x * share, y * share)
    };
    ring.iter().map(grow).collect()
}

/// What a tracer states beside its points.
pub(crate) struct Sizes {
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    pub(crate) middle: (f64, f64),
    pub(crate) round_mm: f64,
    pub(crate) effective_diameter_mm: f64,
    pub(crate) effective_diameter_deg: f64,
}

impl Sizes {
    pub(crate) fn of(ring: &Ring) -> Self {
        let most = |pick: fn(f64, f64) -> f64, start| {
            ring.iter().fold((start, start), |(x, y), p| (pick(x, p.0), pick(y, p.1)))
        };
        let ((left, low), (right, high)) = (most(min, f64::MAX), most(max, f64::MIN));
        let middle = ((left + right) / 2.0, (low + high) / 2.0);
        let mut before = *ring.last().unwrap_or(&middle);
        let mut round_mm = 0.0;
        let mut longest = (0.0, 0.0);
        for &(x, y) in ring {
            round_mm += hypot(x - before.0, y - before.1);
            before = (x, y);
            let radius = hypot(x - middle.0, y - middle.1);
            if radius > longest.0 {
                longest = (radius, atan2_deg(y - middle.1, x - middle.0));
            }
        }
        Self {
            width_mm: right - left,
            height_mm: high - low,
            middle,
            round_mm,
            effective_diameter_mm: 2.0 * longest.0,
            effective_diameter_deg: (longest.1 + 360.0) % 360.0,
        }
    }
}

/// The radius of a ring in a direction, seen from a pole inside; the ring's directions from there must only grow.
pub(crate) struct Polar {
    by_direction: Vec<(f64, f64)>,
}

impl Polar {
    pub(crate) fn of(ring: &Ring, pole: (f64, f64)) -> Self {
        let polar = |&(x, y): &(f64, f64)| {
            let (x, y) = (x - pole.0, y - pole.1);
            ((atan2_deg(y, x) + 360.0) % 360.0, hypot(x, y))
        };
        let mut by_direction: Vec<(f64, f64)> = ring.iter().map(polar).collect();
        by_direction.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { by_direction }
    }

    pub(crate) fn radius(&self, deg: f64) -> f64 {
        let ring = &self.by_direction;
        let after = ring.partition_point(|p| p.0 <= deg);
        let (d0, r0) = ring[(after + ring.len() - 1) % ring.len()];
        let (d1, r1) = ring[after % ring.len()];
        let share = ((deg - d0 + 360.0) % 360.0) / ((d1 - d0 + 360.0) % 360.0);
        r0 + share * (r1 - r0)
    }
}
