//! Trace sets: radii by angle for each eye, with heights where they were sent.
//!
//! Polar, seen from the front: angles grow anticlockwise from the viewer's right, so 0 degrees is nasal for the right
//! eye and temporal for the left (memory, high; one file of real data agrees). Even sets start at 0 and do not repeat
//! the first point (memory, high). The pole need not be the boxed centre.

use job::Eye;

use super::problem::{Code, Problem, Problems};
use super::record::{Record, Sent};
use super::sets::{Content, Set, gather};
use super::write::LONGEST_WRITTEN;

/// What was traced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// A frame: the bottom of its groove (memory, medium).
    Frame,
    /// A pattern.
    Pattern,
    /// A lens.
    Lens,
    /// Not said.
    Unknown,
}

impl Source {
    /// `F`, `P`, `L`, or nothing.
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::Frame => "F",
            Self::Pattern => "P",
            Self::Lens => "L",
            Self::Unknown => "",
        }
    }
}

/// How the angles of a set were sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spacing {
    /// Point i of n at 360 i / n degrees.
    Even,
    /// Angles sent beside the values.
    Uneven,
}

impl Spacing {
    /// `E` or `U`.
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::Even => "E",
            Self::Uneven => "U",
        }
    }
}

/// The shape of one eye as traced. Angles rise in [0, 360); two equal ones in succession are a doubled point.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// The wearer's eye.
    pub eye: Eye,
    /// What was traced.
    pub source: Source,
    /// How the angles were sent.
    pub spacing: Spacing,
    /// Angle of each radius, degrees, anticlockwise from the viewer's right.
    pub angles_deg: Vec<f64>,
    /// Radii from the pole of the trace, mm, above zero.
    pub radii_mm: Vec<f64>,
    /// Heights, where they were sent; their number and angles are their own.
    pub heights: Option<Heights>,
    /// Line of its format record; 0 where it was not read from a file.
    pub line: usize,
}

/// Heights of a traced rim. Sign and zero are **not settled**: neither may be trusted before the data were looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Heights {
    /// How the angles were sent.
    pub spacing: Spacing,
    /// Angle of each height, degrees.
    pub angles_deg: Vec<f64>,
    /// Heights as sent, mm.
    pub mm: Vec<f64>,
}

/// Angle of point i of n in an even set, degrees.
pub(super) fn even_angle(i: usize, n: usize) -> f64 {
    360.0 * i as f64 / n as f64
}

impl Trace {
    /// The trace of the other eye, mirrored: its radius at angle t is this one's at 180 - t; heights alike.
    ///
    /// An even set of an odd number of points becomes uneven, since its mirror has no point at 0 degrees.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let (spacing, angles_deg, radii_mm) = mirror(self.spacing, &self.angles_deg, &self.radii_mm);
        let heights = self.heights.as_ref().map(|heights| {
            let (spacing, angles_deg, mm) = mirror(heights.spacing, &heights.angles_deg, &heights.mm);
            Heights { spacing, angles_deg, mm }
        });
        Self { eye: self.eye.other(), source: self.source, spacing, angles_deg, radii_mm, heights, line: self.line }
    }

    /// Radius in any direction, mm: between two points in proportion to the angle. For comparing and checking; a
    /// lens is cut to a smoothed curve.
    #[must_use]
    pub fn radius_at(&self, deg: f64) -> f64 {
        at_angle(self.spacing, &self.angles_deg, &self.radii_mm, deg)
    }

    /// The records that carry this trace: format record, radii, angles where uneven, then the heights alike.
    ///
    /// Radii and heights are rounded to 0.01 mm, angles to 0.01 degree, as text format 1 has them.
    ///
    /// # Errors
    /// What a reader would refuse: `trace-count`, `bad-radius`, `angle-range`, `angles-not-rising`, and
    /// `angles-not-even` where the angles of an even set are not even.
    pub fn to_records(&self) -> Result<Vec<Record>, Problem> {
        let radii = hundredths(&self.radii_mm);
        if let Some(at) = radii.iter().position(|radius| *radius <= 0) {
            let what = format!("{} eye: radius {} of {} is not above zero", self.eye.letter(), at + 1, radii.len());
            return Err(refused(Code::BadRadius, what, "leave the point out"));
        }
        let mut records = Vec::new();
        let to = &mut records;
        self.set_records(to, ["TRCFMT", "R", "A"], self.spacing, &self.angles_deg, &radii)?;
        if let Some(heights) = &self.heights {
            let values = hundredths(&heights.mm);
            self.set_records(to, ["ZFMT", "Z", "ZA"], heights.spacing, &heights.angles_deg, &values)?;
        }
        Ok(records)
    }

    fn set_records(
        &self,
        to: &mut Vec<Record>,
        [format, data, angle]: [&'static str; 3],
        spacing: Spacing,
        angles_deg: &[f64],
        values: &[i64],
    ) -> Result<(), Problem> {
        let eye = self.eye.letter();
        let n = values.len();
        if n < 3 || angles_deg.len() != n {
            let what = format!("{eye} eye: {n} {data} with {} angles; as many, and at least 3", angles_deg.len());
            return Err(refused(Code::TraceCount, what, "give each point its angle"));
        }
        let source = self.source.letter();
        let end = if source.is_empty() { "" } else { ";" };
        let text = format!("{format}=1;{n};{};{eye}{end}{source}", spacing.letter());
        to.push(Record::from_raw(0, format.into(), text.into_bytes(), format.len() + 1));
        push_list(to, data, values);
        match spacing {
            Spacing::Even => {
                let even = |(i, deg): (usize, &f64)| (deg - even_angle(i, n)).abs() < 0.005;
                if let Some(at) = angles_deg.iter().enumerate().position(|point| !even(point)) {
                    let what = format!("{eye} eye: angle {} of {n} is not {} degrees", at + 1, even_angle(at, n));
                    return Err(refused(Code::AnglesNotEven, what, "mark the set as uneven"));
                }
            }
            Spacing::Uneven => {
                let angles = hundredths(angles_deg);
                if angles.iter().any(|angle| !(0..36_000).contains(angle)) {
                    let what = format!("{eye} eye: angles run from 0 to 359.99 degrees");
                    return Err(refused(Code::AngleRange, what, "bring the angles into one turn"));
                }
                if angles.windows(2).any(|two| two[0] > two[1]) {
                    let what = format!("{eye} eye: the angles do not rise");
                    return Err(refused(
                        Code::AnglesNotRising,
                        what,
                        "trace the frame again: the points do not go round it in order",
                    ));
                }
                push_list(to, angle, &angles);
            }
        }
        Ok(())
    }
}

impl Heights {
    /// Height in any direction, mm, as sent: between two points in proportion to the angle, round the closed curve.
    #[must_use]
    pub fn at(&self, deg: f64) -> f64 {
        at_angle(self.spacing, &self.angles_deg, &self.mm, deg)
    }
}

fn refused(code: Code, what: String, mend: &'static str) -> Problem {
    Problem { code, line: 0, column: None, what, mend }
}

/// Rounded to whole hundredths; what is no number becomes 0, which no radius may be.
fn hundredths(values: &[f64]) -> Vec<i64> {
    values.iter().map(|value| (value * 100.0).round() as i64).collect()
}

/// A list in records of the same label, each as long as the writer allows.
fn push_list(to: &mut Vec<Record>, label: &'static str, values: &[i64]) {
    let mut text = format!("{label}=");
    for value in values {
        let value = value.to_string();
        let first = text.ends_with('=');
        if !first && text.len() + 1 + value.len() > LONGEST_WRITTEN {
            let full = core::mem::replace(&mut text, format!("{label}={value}"));
            to.push(Record::from_raw(0, label.into(), full.into_bytes(), label.len() + 1));
            continue;
        }
        if !first {
            text.push(';');
        }
        text.push_str(&value);
    }
    to.push(Record::from_raw(0, label.into(), text.into_bytes(), label.len() + 1));
}

fn mirror(spacing: Spacing, angles_deg: &[f64], values: &[f64]) -> (Spacing, Vec<f64>, Vec<f64>) {
    let n = values.len().min(angles_deg.len());
    if spacing == Spacing::Even && n.is_multiple_of(2) {
        let mirrored = (0..n).map(|i| values[(n + n / 2 - i) % n]).collect();
        return (Spacing::Even, angles_deg.to_vec(), mirrored);
    }
    let mirrored_angle = |deg: f64| if deg <= 180.0 { 180.0 - deg } else { 540.0 - deg };
    let mut points: Vec<(f64, f64)> =
        angles_deg.iter().zip(values).rev().map(|(deg, value)| (mirrored_angle(*deg), *value)).collect();
    // Backwards the mirrored angles rise, from above 180 over the turn: the sort only moves the start.
    points.sort_by(|one, other| one.0.total_cmp(&other.0));
    let (angles, values) = points.into_iter().unzip();
    (Spacing::Uneven, angles, values)
}

/// Linear in the angle between neighbours, round the closed curve; zero for no points.
fn at_angle(spacing: Spacing, angles_deg: &[f64], values: &[f64], deg: f64) -> f64 {
    let n = values.len().min(angles_deg.len());
    if n == 0 || !deg.is_finite() {
        return 0.0;
    }
    let deg = deg - 360.0 * (deg / 360.0).floor();
    let following = |at: usize| if at + 1 < n { at + 1 } else { 0 };
    let (before, share) = match spacing {
        Spacing::Even => {
            let place = deg * n as f64 / 360.0;
            let before = (place as usize).min(n - 1);
            (before, place - before as f64)
        }
        Spacing::Uneven => {
            let after = angles_deg.partition_point(|angle| *angle <= deg);
            let before = if after > 0 { after - 1 } else { n - 1 };
            let from = angles_deg[before];
            let turn = |angle: f64| if angle < 0.0 { angle + 360.0 } else { angle };
            let gap = turn(angles_deg[following(before)] - from);
            (before, if gap > 0.0 { turn(deg - from) / gap } else { 0.0 })
        }
    };
    values[before] + share * (values[following(before)] - values[before])
}

/// Trace sets of a file, in order, each with its heights.
pub(super) fn read_traces(records: &[Record], problems: &mut Problems) -> Vec<Trace> {
    let mut traces: Vec<Trace> = Vec::new();
    let mut heights: Vec<(Eye, usize, Heights)> = Vec::new();
    for set in gather(records, problems) {
        let Set { content, line, eye, source, spacing, .. } = set;
        let Some((angles_deg, values)) = set.points(problems) else { continue };
        match content {
            Content::Radii => {
                if traces.iter().any(|trace| trace.eye == eye) {
                    let what = format!("{} eye: a second trace", eye.letter());
                    problems.warn(Code::RepeatedTrace, line, None, what, "the last one counts; delete the other");
                }
                traces.push(Trace { eye, source, spacing, angles_deg, radii_mm: values, heights: None, line });
            }
            Content::Heights => heights.push((eye, line, Heights { spacing, angles_deg, mm: values })),
        }
    }
    for (eye, line, found) in heights {
        // Those that follow the trace nearest belong to it; heights that come first belong to the eye's next trace.
        let before = traces.iter().rposition(|trace| trace.eye == eye && trace.line < line);
        let place = before.or_else(|| traces.iter().position(|trace| trace.eye == eye));
        match place.and_then(|at| traces.get_mut(at)) {
            Some(trace) => trace.heights = Some(found),
            None => {
                let what = format!("{} eye: heights without radii", eye.letter());
                problems.warn(Code::HeightsWithoutTrace, line, None, what, "send the radii of this eye as well");
            }
        }
    }
    traces
}

/// Whether every field is empty or `?`: a label that was asked for, and for which the sender has nothing.
pub(super) fn says_nothing(record: &Record) -> bool {
    record.fields().all(|field| matches!(field.integer(), Ok(Sent::Empty | Sent::Unknown)))
}
