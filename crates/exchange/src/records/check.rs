//! What a trace is checked for before anyone relies on it: wrong unit, bad points, wrong box, swapped eyes.
//!
//! All limits are ours. A check warns; only what cannot be a shape at all is refused, and that earlier.

use job::{Eye, PerEye};
use units::maths;

use super::problem::{Code, Problems};
use super::record::Sent;
use super::trace::{Spacing, Trace};

/// Radii expected, mm.
const RADIUS_MM: (f64, f64) = (5.0, 60.0);
/// Step between neighbours expected at 400 points, mm; fewer points may step further.
const STEP_MM_AT_400: f64 = 1.5;
/// Difference of the box expected, mm.
const BOX_MM: f64 = 0.5;
/// Mean difference of right and mirrored left expected, mm.
const EYES_MM: f64 = 1.0;
/// Raw points that are 0.02 mm noisy add 0.5 mm of length at 400 points; twice that is no noise any more.
const CIRCUMFERENCE_MM: f64 = 1.0;
/// A steep front is up to 3 percent longer in space than flat, and `CIRC` may mean either.
const SPACE_SHARE: f64 = 0.03;
/// With fewer points the chords cut too much off the length.
const FEWEST_FOR_LENGTH: usize = 100;
/// By how much a corner must be the longest before its direction says anything, mm: well above what a tracer repeats to.
const LONGEST_BY_MM: f64 = 0.5;

/// The figures of the records that a trace is held against.
pub(super) struct Stated {
    pub(super) box_width: PerEye<Sent<f64>>,
    pub(super) box_height: PerEye<Sent<f64>>,
    pub(super) circumference: PerEye<Sent<f64>>,
    pub(super) longest_deg: PerEye<Sent<f64>>,
}

/// What the points of a trace say by themselves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RawSizes {
    /// Box width of the points, mm.
    pub width_mm: f64,
    /// Box height of the points, mm.
    pub height_mm: f64,
    /// Length of the closed polygon through the points, flat, mm; noise makes it too long.
    pub perimeter_mm: f64,
    /// Longest distance from the box centre, mm.
    pub longest_mm: f64,
    /// Its direction, degrees in [0, 360).
    pub longest_deg: f64,
}

impl Trace {
    /// Box, perimeter and longest radius of the bare points, unsmoothed: for checking, not for cutting.
    #[must_use]
    pub fn raw_sizes(&self) -> RawSizes {
        let points = self.points();
        let (mut left, mut right, mut low, mut high) = (f64::MAX, f64::MIN, f64::MAX, f64::MIN);
        let mut perimeter_mm = 0.0;
        let mut before = points.last().copied().unwrap_or_default();
        for (x, y) in &points {
            (left, right) = (left.min(*x), right.max(*x));
            (low, high) = (low.min(*y), high.max(*y));
            perimeter_mm += maths::hypot(x - before.0, y - before.1);
            before = (*x, *y);
        }
        if points.is_empty() {
            (left, right, low, high) = (0.0, 0.0, 0.0, 0.0);
        }
        let middle = ((left + right) / 2.0, (low + high) / 2.0);
        let mut longest = (0.0, 0.0, 0.0);
        for (x, y) in &points {
            let (x, y) = (x - middle.0, y - middle.1);
            let square = x * x + y * y;
            if square > longest.0 {
                longest = (square, x, y);
            }
        }
        let deg = maths::atan2_deg(longest.2, longest.1);
        RawSizes {
            width_mm: right - left,
            height_mm: high - low,
            perimeter_mm,
            longest_mm: maths::sqrt(longest.0),
            longest_deg: if deg < 0.0 { deg + 360.0 } else { deg },
        }
    }

    /// Points in the plane of the trace, mm, from its pole.
    fn points(&self) -> Vec<(f64, f64)> {
        let n = self.radii_mm.len();
        if self.spacing == Spacing::Uneven {
            let point = |(deg, radius): (&f64, &f64)| (radius * maths::cos_deg(*deg), radius * maths::sin_deg(*deg));
            return self.angles_deg.iter().zip(&self.radii_mm).map(point).collect();
        }
        // Turned on by one step at a time: a fifth of the time of as many sines, and good to 1e-12 over a turn.
        let (step_sin, step_cos) = (maths::sin_deg(360.0 / n as f64), maths::cos_deg(360.0 / n as f64));
        let (mut sin, mut cos) = (0.0, 1.0);
        let turned = |radius: &f64| {
            let point = (radius * cos, radius * sin);
            (sin, cos) = (sin * step_cos + cos * step_sin, cos * step_cos - sin * step_sin);
            point
        };
        self.radii_mm.iter().map(turned).collect()
    }
}

pub(super) fn check_traces(traces: &[Trace], stated: &Stated, problems: &mut Problems) {
    let mut sizes: PerEye<Option<(&Trace, RawSizes)>> = PerEye { right: None, left: None };
    for trace in traces {
        let raw = trace.raw_sizes();
        check_radii(trace, problems);
        check_sizes(trace, raw, stated, problems);
        sizes[trace.eye] = Some((trace, raw));
    }
    if !check_alike(&sizes, problems) {
        check_sides(&sizes, &stated.longest_deg, problems);
    }
}

fn check_radii(trace: &Trace, problems: &mut Problems) {
    let (line, eye, n) = (trace.line, trace.eye.letter(), trace.radii_mm.len());
    let outside = |radius: &f64| !(RADIUS_MM.0..=RADIUS_MM.1).contains(radius);
    if let Some(at) = trace.radii_mm.iter().position(outside) {
        let what = format!(
            "{eye} eye: {} of {n} radii outside {} to {} mm, the first {:.2} mm at {:.2} degrees",
            trace.radii_mm.iter().filter(|radius| outside(radius)).count(),
            RADIUS_MM.0,
            RADIUS_MM.1,
            trace.radii_mm[at],
            trace.angles_deg[at],
        );
        problems.warn(Code::RadiusRange, line, None, what, "a bad point, or radii not in 0.01 mm: trace again");
    }
    let most = STEP_MM_AT_400 * 400.0 / n as f64;
    let mut before = trace.radii_mm.last().copied().unwrap_or_default();
    let (mut steps, mut worst, mut worst_deg) = (0, 0.0, 0.0);
    for (radius, deg) in trace.radii_mm.iter().zip(&trace.angles_deg) {
        let step = (radius - before).abs();
        if step > most {
            steps += 1;
            if step > worst {
                (worst, worst_deg) = (step, *deg);
            }
        }
        before = *radius;
    }
    if steps > 0 {
        let what = format!(
            "{eye} eye: {steps} step(s) between neighbouring radii over {most:.2} mm, the worst {worst:.2} mm at \
             {worst_deg:.2} degrees"
        );
        problems.warn(Code::RadiusStep, line, None, what, "a bad point, or radii not in 0.01 mm: trace again");
    }
}

fn check_sizes(trace: &Trace, raw: RawSizes, stated: &Stated, problems: &mut Problems) {
    let (line, eye) = (trace.line, trace.eye.letter());
    let mut differs = Vec::new();
    for (word, label, found, stated) in [
        ("width", "HBOX", raw.width_mm, stated.box_width[trace.eye]),
        ("height", "VBOX", raw.height_mm, stated.box_height[trace.eye]),
    ] {
        if let Sent::Value(stated) = stated
            && (found - stated).abs() > BOX_MM
        {
            differs.push(format!("box {word} of the points {found:.2} mm, {label} {stated:.2} mm"));
        }
    }
    if !differs.is_empty() {
        let what = format!("{eye} eye: {}", differs.join("; "));
        problems.warn(Code::BoxMismatch, line, None, what, "measure the box; trace again, or correct the record");
    }
    if let Sent::Value(stated) = stated.circumference[trace.eye]
        && trace.radii_mm.len() >= FEWEST_FOR_LENGTH
    {
        let flat = raw.perimeter_mm;
        if stated < flat - CIRCUMFERENCE_MM || stated > flat * (1.0 + SPACE_SHARE) + CIRCUMFERENCE_MM {
            let what = format!("{eye} eye: flat perimeter of the points {flat:.2} mm, CIRC {stated:.2} mm");
            let mend = "CIRC may mean flat or in space; this fits neither: trace again, or correct the record";
            problems.warn(Code::CircumferenceMismatch, line, None, what, mend);
        }
    }
}

/// Right against mirrored left; true where they differ too much.
fn check_alike(sizes: &PerEye<Option<(&Trace, RawSizes)>>, problems: &mut Problems) -> bool {
    let (Some((right, _)), Some((left, _))) = (sizes.right, sizes.left) else { return false };
    let mirrored = mean_difference(right, |deg| left.radius_at(180.0 - deg));
    if mirrored <= EYES_MM {
        return false;
    }
    let straight = mean_difference(right, |deg| left.radius_at(deg));
    let guess = if straight <= EYES_MM {
        format!("; without mirroring {straight:.2} mm: one is a copy of the other")
    } else {
        String::new()
    };
    let what = format!("right and mirrored left differ by {mirrored:.2} mm in the mean{guess}");
    let mend = "eyes swapped, or not mirrored, or two frames: trace both eyes again";
    problems.warn(Code::EyesDiffer, left.line.max(right.line), None, what, mend);
    true
}

fn mean_difference(trace: &Trace, other: impl Fn(f64) -> f64) -> f64 {
    let sum: f64 = trace.angles_deg.iter().zip(&trace.radii_mm).map(|(deg, radius)| (radius - other(*deg)).abs()).sum();
    sum / trace.radii_mm.len() as f64
}

/// Eyes that were swapped as a pair still mirror one another. What shows it is a stated direction of the longest
/// radius that fits the other eye; or, where none is stated, a longest radius that points up and to the nose on every
/// eye, where frames have their upper temporal corner.
fn check_sides(sizes: &PerEye<Option<(&Trace, RawSizes)>>, stated: &PerEye<Sent<f64>>, problems: &mut Problems) {
    let mut evidence = Vec::new();
    let mut line = 0;
    for (eye, found) in sizes.iter() {
        let Some((trace, raw)) = found else { continue };
        let along = |deg: f64| trace.longest_along(*raw, deg);
        let towards_nose = if eye == Eye::Right { raw.longest_deg } else { 180.0 - raw.longest_deg };
        let fits_other = match (stated[eye], stated[eye.other()]) {
            (Sent::Value(own), other) => {
                let other = if let Sent::Value(other) = other { other } else { 180.0 - own };
                apart(raw.longest_deg, own) > 30.0
                    && apart(raw.longest_deg, other) < 15.0
                    && along(own) < raw.longest_mm - LONGEST_BY_MM
            }
            _ => {
                (10.0..80.0).contains(&towards_nose) && along(180.0 - raw.longest_deg) < raw.longest_mm - LONGEST_BY_MM
            }
        };
        if !fits_other {
            return;
        }
        line = trace.line;
        evidence.push(match stated[eye] {
            Sent::Value(own) => {
                format!("{} eye: longest radius at {:.0} degrees, FEDAX says {own:.0}", eye.letter(), raw.longest_deg)
            }
            _ => format!("{} eye: longest radius up and to the nose, {:.0} degrees", eye.letter(), raw.longest_deg),
        });
    }
    if !evidence.is_empty() {
        let mend = "hold the frame against the drawing: are right and left swapped?";
        problems.warn(Code::EyesDoubtful, line, None, evidence.join("; "), mend);
    }
}

impl Trace {
    /// Longest distance from the box centre within 10 degrees of this direction, mm.
    fn longest_along(&self, raw: RawSizes, deg: f64) -> f64 {
        let points = self.points();
        let low = points.iter().fold((f64::MAX, f64::MAX), |low, point| (low.0.min(point.0), low.1.min(point.1)));
        let middle = (low.0 + raw.width_mm / 2.0, low.1 + raw.height_mm / 2.0);
        let mut longest = 0.0;
        for (x, y) in points {
            let (x, y) = (x - middle.0, y - middle.1);
            if apart(maths::atan2_deg(y, x), deg) <= 10.0 {
                longest = f64::max(longest, maths::hypot(x, y));
            }
        }
        longest
    }
}

/// Angle between two directions, 0 to 180 degrees.
fn apart(one_deg: f64, other_deg: f64) -> f64 {
    let turn = (one_deg - other_deg).abs();
    let turn = turn - 360.0 * (turn / 360.0).floor();
    turn.min(360.0 - turn)
}
