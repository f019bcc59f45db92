//! From the records of a frame to typed traces.

use job::{Eye, Finding, PerEye, kinds};
use outline::{HeightSamples, NotAnOutline, Samples};
use planner::{EyeTrace, Traced};
use units::{Angle, Mm};

use crate::records::{self, Code, Problem, Reading, Spacing, Trace};

/// Why a record file gives no trace: its faults, or points that are no outline.
#[derive(Debug, Clone, PartialEq)]
pub enum NoTrace {
    /// The file cannot be read as records.
    Records(Vec<Problem>),
    /// There is no trace in it.
    None,
    /// The points of an eye are no outline.
    Points {
        /// Which eye.
        eye: Eye,
        /// The line of its format record.
        line: usize,
        /// Why.
        reason: NotAnOutline,
    },
}

/// Line by line: what, where, how to mend it.
impl core::fmt::Display for NoTrace {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Records(problems) => {
                for (i, problem) in problems.iter().enumerate() {
                    if i > 0 {
                        writeln!(f)?;
                    }
                    let column = problem.column.map_or(String::new(), |c| format!(":{c}"));
                    write!(f, "{}{column}: {}\nhint: {}", problem.line, problem.what, problem.mend)?;
                }
                Ok(())
            }
            Self::None => f.write_str(
                "1: there is no trace in this file\nhint: export the frame's shape as text (format 1) with the tracer",
            ),
            Self::Points { eye, line, reason } => {
                write!(f, "{line}: the {eye} trace gives no outline: {reason}\nhint: {}", reason.hint())
            }
        }
    }
}
impl std::error::Error for NoTrace {}

/// Reads a record file and takes its traces.
///
/// # Errors
/// [`NoTrace`] where the file is refused or has no usable trace.
pub fn read_traced(bytes: &[u8]) -> Result<Traced, NoTrace> {
    let reading = records::read(bytes);
    if !reading.errors.is_empty() {
        return Err(NoTrace::Records(reading.errors));
    }
    traced(&reading)
}

fn traced(reading: &Reading) -> Result<Traced, NoTrace> {
    if reading.traces.is_empty() {
        return Err(NoTrace::None);
    }
    let mut eyes = PerEye { right: None, left: None };
    for eye in Eye::BOTH {
        if let Some(trace) = reading.trace(eye) {
            eyes[eye] = Some(eye_trace(reading, trace)?);
        }
    }
    Ok(Traced {
        eyes,
        between_lenses: reading.number("DBL").value().filter(|&d| d > 0.0).map(Mm::new),
        notes: notes(reading),
    })
}

fn eye_trace(reading: &Reading, trace: &Trace) -> Result<EyeTrace, NoTrace> {
    let points = |reason| NoTrace::Points { eye: trace.eye, line: trace.line, reason };
    let mm = |values: &[f64]| values.iter().map(|&v| Mm::new(v)).collect::<Vec<_>>();
    let angles = |degrees: &[f64]| degrees.iter().map(|&d| Angle::from_deg(d)).collect::<Vec<_>>();
    let radii = mm(&trace.radii_mm);
    let samples = match trace.spacing {
        Spacing::Even => Samples::even(&radii),
        Spacing::Uneven => Samples::uneven(&angles(&trace.angles_deg), &radii),
    };
    let samples = samples.map_err(points)?;
    let heights = match &trace.heights {
        None => None,
        Some(heights) => Some(HeightSamples::uneven(&angles(&heights.angles_deg), &mm(&heights.mm)).map_err(points)?),
    };
    // A pair label with one field: whether right counts for both is not for a reader to say, so it does not.
    let stated = |label: &str| match trace.eye {
        Eye::Right => reading.pair(label).right.value(),
        Eye::Left => reading.pair(label).left.value(),
    };
    let length = |label: &str| stated(label).filter(|&v| v > 0.0).map(Mm::new);
    Ok(EyeTrace {
        samples,
        heights,
        frame_curve_d: stated("FCRV"),
        stated_box: (length("HBOX"), length("VBOX")),
        stated_circumference: length("CIRC"),
        tilt_deg: stated("ZTILT"),
    })
}

/// Warnings of the reader that the bench should hear of. Size, step and swap are judged again on the smoothed outline,
/// or here where only the raw points show them.
fn notes(reading: &Reading) -> Vec<Finding> {
    let mut notes = Vec::new();
    for warning in &reading.warnings {
        let kind = match warning.code {
            Code::RadiusStep => &kinds::TRACE_STEP,
            Code::RadiusRange => &kinds::TRACE_RADIUS,
            Code::BoxMismatch | Code::CircumferenceMismatch | Code::EyesDiffer | Code::EyesDoubtful => continue,
            _ => &kinds::RECORD_READ_LOOSELY,
        };
        notes.push(
            Finding::new(kind, "outline", format!("line {}", warning.line))
                .says(format!("line {}: {}", warning.line, warning.what), warning.mend),
        );
    }
    notes
}
