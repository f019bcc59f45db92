//! The shapes of a frame: its traces smoothed, measured, and held against one another.

use std::sync::{Arc, OnceLock};

use job::rules::{RightLeft, Rules};
use job::{Eye, Finding, PerEye, kinds};
use lens::CutOutline;
use outline::{Depth, Flattened, NotAnOutline, Outline, Smoothed, circumference_in_space};
use units::maths::abs;
use units::{Angle, Mm, Working, step};

use crate::said::{at, fixed, mm1, mm2, signed2};
use crate::traced::{EyeTrace, Traced};

/// A trace noisier than this deserves a question, mm: from the design's accuracy of good tracers.
const NOISY_MM: f64 = 0.03;
/// Mean difference of right and mirrored left from which eyes may have been swapped, mm: own choice.
const SWAPPED_MM: f64 = 1.0;
/// Circumferences that differ by less are one shape, mm: common practice, no source.
const SAME_CIRCUMFERENCE_MM: f64 = 0.3;
/// Circumferences that differ by more ask for truing and tracing again, mm: common practice, no source.
const RETRACE_MM: f64 = 0.8;
/// A part of the turn without points from which it is mentioned, degrees: own choice; 36 points stand 10 apart.
const GAP_DEG: f64 = 12.0;
/// A rim that leans by more against its own plane is turned flat, degrees: design.
const LEANS_DEG: f64 = 3.0;
/// A stated box or circumference this far off is mentioned, mm: own choice.
const STATED_MM: f64 = 0.5;

/// The shape of one eye of a frame, smoothed and measured.
#[derive(Debug, Clone)]
pub struct Shape {
    /// The traced outline.
    pub outline: Outline,
    /// The outline sampled for cutting, where nothing is added to it.
    pub cut: Arc<CutOutline>,
    /// The same for the outline grown by the first offset that was asked for: every order of a frame asks for the same.
    grown: OnceLock<(Mm, Option<Arc<CutOutline>>)>,
    /// Its box.
    pub boxed: outline::Boxed,
    /// Its length, smoothed and flat.
    pub circumference: Mm,
    /// Length of the straight lines between the raw points.
    pub circumference_raw: Mm,
    /// Its area in mm2.
    pub area_mm2: f64,
    /// Depth of the rim, where the records have heights.
    pub depth: Option<outline::Depth>,
    /// Its length in space, where the records have heights.
    pub circumference_3d: Option<Mm>,
    /// Its length laid on the sphere of the frame curve that the records state, where there are no heights.
    pub on_stated_curve: Option<Mm>,
    /// Frame curve on 1.530: from heights, else as the records state it.
    pub frame_curve_d: Option<f64>,
    /// Tilt that the records report; never added.
    pub tilt_deg: Option<f64>,
    /// Whether it is the mirror image of the fellow eye's trace.
    pub mirrored: bool,
    /// Noise of the trace as estimated.
    pub noise: Mm,
}

/// The shapes of a frame, both eyes, whatever order they serve.
#[derive(Debug, Clone)]
pub struct FrameShapes {
    /// Each eye's shape; both are there, one perhaps mirrored.
    pub eyes: PerEye<Arc<Shape>>,
    /// Distance between lenses, as the records state it.
    pub between_lenses: Option<Mm>,
    /// Doubts about the trace.
    pub doubts: Vec<Finding>,
    /// Right against mirrored left, where both were traced.
    pub difference: Option<outline::Difference>,
}

/// Why a trace gives no shape.
#[derive(Debug, Clone, PartialEq)]
pub struct NoShape {
    /// The eye; `None` where the file has no trace at all.
    pub eye: Option<Eye>,
    /// The reason; `None` where the file has no trace at all.
    pub reason: Option<NotAnOutline>,
}

impl core::fmt::Display for NoShape {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match (&self.eye, &self.reason) {
            (Some(eye), Some(reason)) => write!(f, "the {eye} trace gives no outline: {reason}"),
            _ => f.write_str("there is no trace in this file"),
        }
    }
}
impl std::error::Error for NoShape {}

impl NoShape {
    /// How to mend it.
    #[must_use]
    pub fn hint(&self) -> String {
        match &self.reason {
            Some(reason) => reason.hint(),
            None => "export the frame's shape as text with the tracer".to_owned(),
        }
    }
}

/// Smooths and measures the traces of a frame.
///
/// # Errors
/// [`NoShape`] where a trace is no outline, or there is none.
pub fn figure(traced: &Traced, rules: &Rules) -> Result<FrameShapes, NoShape> {
    let mut doubts = traced.notes.clone();
    let one = |eye: Eye, doubts: &mut Vec<Finding>| -> Result<Option<Shape>, NoShape> {
        let Some(trace) = &traced.eyes[eye] else { return Ok(None) };
        one_eye(eye, trace, rules, doubts).map(Some).map_err(|reason| NoShape { eye: Some(eye), reason: Some(reason) })
    };
    let right = one(Eye::Right, &mut doubts)?;
    let left = one(Eye::Left, &mut doubts)?;
    let mut difference = None;
    let eyes = match (right, left) {
        (None, None) => return Err(NoShape { eye: None, reason: None }),
        (Some(right), Some(left)) => {
            difference = Some(against(&right, &left, &mut doubts));
            match rules.size.right_left {
                RightLeft::Mirror if are_one_shape(&right, &left) => PerEye { left: right.mirrored(), right },
                RightLeft::Own | RightLeft::Mirror => PerEye { right, left },
            }
        }
        (Some(right), None) => {
            doubts.push(mirrored_note(Eye::Left));
            PerEye { left: right.mirrored(), right }
        }
        (None, Some(left)) => {
            doubts.push(mirrored_note(Eye::Right));
            PerEye { right: left.mirrored(), left }
        }
    };
    let mut eyes = eyes;
    // Records often state one curve for the frame: it counts for both eyes where one has none of its own.
    let curve = eyes.right.frame_curve_d.or(eyes.left.frame_curve_d);
    for shape in [&mut eyes.right, &mut eyes.left] {
        if shape.frame_curve_d.is_none()
            && let Some(curve) = curve
        {
            shape.frame_curve_d = Some(curve);
            shape.on_stated_curve = on_sphere(&shape.outline, curve);
        }
    }
    Ok(FrameShapes { eyes: eyes.map(Arc::new), between_lenses: traced.between_lenses, doubts, difference })
}

impl Shape {
    /// The shape of an outline that is known exactly: no trace, no noise, no depth.
    #[must_use]
    pub fn exact(outline: Outline) -> Self {
        let circumference = outline.circumference();
        Self {
            cut: Arc::new(CutOutline::new(outline.clone())),
            grown: OnceLock::new(),
            boxed: outline.boxed(),
            circumference,
            circumference_raw: circumference,
            area_mm2: outline.area(),
            depth: None,
            circumference_3d: None,
            on_stated_curve: None,
            frame_curve_d: None,
            tilt_deg: None,
            mirrored: false,
            noise: Mm::ZERO,
            outline,
        }
    }

    /// The outline that is cut, so much larger in radius; none where the outline has no such parallel curve.
    pub(crate) fn grown(&self, offset: Option<Mm>) -> Option<Arc<CutOutline>> {
        let Some(offset) = offset else { return Some(Arc::clone(&self.cut)) };
        let grow = || self.outline.offset(offset).ok().map(|outline| Arc::new(CutOutline::new(outline)));
        let (of, grown) = self.grown.get_or_init(|| (offset, grow()));
        if *of == offset { grown.clone() } else { grow() }
    }

    /// The fellow eye's shape: this one's mirror image.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let outline = self.outline.mirrored();
        Self {
            boxed: outline.boxed(),
            cut: Arc::new(CutOutline::new(outline.clone())),
            grown: OnceLock::new(),
            outline,
            depth: self.depth.as_ref().map(Depth::mirrored),
            mirrored: true,
            ..self.clone()
        }
    }

    /// Length of the outline in space: from heights, else on the sphere of a frame curve with its pole over the boxed
    /// centre; none without either.
    pub fn length_in_space(&self, w: &mut Working, eye: Eye, frame_curve_d: Option<f64>) -> Option<Mm> {
        w.figure(eye.word(), "box.circumference_3d_mm");
        if let Some(length) = self.circumference_3d {
            w.say(|| "Integrated along the smoothed outline and the smoothed heights of the trace.".to_owned());
            return Some(length);
        }
        let frame_curve = frame_curve_d.filter(|&c| c > 0.0)?;
        let radius =
            step!(w, radius = 530.0 / frame_curve; frame_curve["D"]; "mm", "frame curves are marked for index 1.530");
        w.say(|| {
            "No heights: integrated along the outline laid on that sphere, its pole over the boxed centre.".to_owned()
        });
        let stated = self.on_stated_curve.filter(|_| self.frame_curve_d == Some(frame_curve));
        stated.or_else(|| circumference_in_space(&self.outline, &Depth::sphere(Mm::new(radius)).ok()?))
    }
}

/// Length of an outline on the sphere of a frame curve with its pole over the boxed centre.
fn on_sphere(outline: &Outline, frame_curve_d: f64) -> Option<Mm> {
    if frame_curve_d <= 0.0 {
        return None;
    }
    circumference_in_space(outline, &Depth::sphere(Mm::new(530.0 / frame_curve_d)).ok()?)
}

fn one_eye(eye: Eye, trace: &EyeTrace, rules: &Rules, doubts: &mut Vec<Finding>) -> Result<Shape, NotAnOutline> {
    let smoothed = Outline::smoothed(&trace.samples, rules.outline_noise)?;
    if let Some(flat) = turned_flat(trace, &smoothed) {
        let lean = flat.lean.deg();
        doubts.push(
            Finding::new(&kinds::RIM_TURNED_FLAT, "box.lean_deg", fixed(lean, 1))
                .of(eye)
                .limit(fixed(LEANS_DEG, 1))
                .unit("deg")
                .weighs(lean / 100.0)
                .says(
                    format!(
                        "the rim leaned by {} degrees in its trace; the outline is of the rim turned flat",
                        fixed(lean, 1)
                    ),
                    "see that the frame sat level in the tracer",
                ),
        );
        let flat = EyeTrace { samples: flat.samples, heights: Some(flat.heights), ..trace.clone() };
        return level(eye, &flat, Outline::smoothed(&flat.samples, rules.outline_noise)?, doubts);
    }
    level(eye, trace, smoothed, doubts)
}

/// The trace turned flat, where its rim leans by more than is left as it is.
fn turned_flat(trace: &EyeTrace, smoothed: &Smoothed) -> Option<Flattened> {
    let fit = trace.heights.as_ref()?.depth(&smoothed.outline, smoothed.trace_pole).ok()?;
    trace.samples.flattened(&smoothed.outline, &fit.depth, smoothed.trace_pole, Angle::from_deg(LEANS_DEG))
}

/// The shape of a trace that lies level.
fn level(eye: Eye, trace: &EyeTrace, smoothed: Smoothed, doubts: &mut Vec<Finding>) -> Result<Shape, NotAnOutline> {
    let outline = smoothed.outline;
    let boxed = outline.boxed();
    let circumference = outline.circumference();
    let noise = smoothed.noise_estimate;
    if noise.mm() > NOISY_MM {
        doubts.push(
            Finding::new(&kinds::OUTLINE_NOISY, "outline.noise_mm", fixed(noise.mm(), 3))
                .of(eye)
                .limit(fixed(NOISY_MM, 3))
                .unit("mm")
                .weighs(noise.mm())
                .says(
                    format!("the trace wobbles by {} mm", fixed(noise.mm(), 3)),
                    "clean the groove, see that the rim is closed and still, trace again",
                ),
        );
    }
    let (gap, gap_at) = smoothed.widest_gap;
    if gap.deg() > GAP_DEG {
        doubts.push(
            Finding::new(&kinds::TRACE_GAP, "outline.gap_deg", fixed(gap.deg(), 0))
                .of(eye)
                .limit(fixed(GAP_DEG, 0))
                .unit("deg")
                .weighs(gap.deg() / 100.0)
                .says(
                    format!(
                        "{} degrees of the outline round {} were not traced; the curve bridges them",
                        fixed(gap.deg(), 0),
                        at(gap_at.direction_deg())
                    ),
                    "trace again where the size must be exact there",
                ),
        );
    }
    for (figure, found, stated) in
        [("box.width_mm", boxed.width, trace.stated_box.0), ("box.height_mm", boxed.height, trace.stated_box.1)]
    {
        if let Some(stated) = stated.filter(|&s| (s - found).abs().mm() > STATED_MM) {
            doubts.push(
                Finding::new(&kinds::BOX_DIFFERS, figure, mm1(found.mm()))
                    .of(eye)
                    .limit(mm1(stated.mm()))
                    .unit("mm")
                    .weighs((stated - found).abs().mm())
                    .says(
                        format!("the points give {} mm, the records state {} mm", mm1(found.mm()), mm1(stated.mm())),
                        "the points are used; trace again if the frame says otherwise",
                    ),
            );
        }
    }
    let (depth, circumference_3d, mut frame_curve_d) = in_space(eye, trace, &outline, smoothed.trace_pole, doubts);
    if let Some(stated) = trace.stated_circumference {
        let off = |length: Mm| (stated - length).abs().mm();
        let nearest = circumference_3d.map_or(off(circumference), |l| off(l).min(off(circumference)));
        if nearest > STATED_MM {
            doubts.push(
                Finding::new(&kinds::CIRCUMFERENCE_DIFFERS, "box.circumference_mm", mm1(circumference.mm()))
                    .of(eye)
                    .limit(mm1(stated.mm()))
                    .unit("mm")
                    .weighs(nearest)
                    .says(
                        format!(
                            "the points give {} mm round, the records state {} mm",
                            mm1(circumference.mm()),
                            mm1(stated.mm())
                        ),
                        "the points are used; measure the lens after the first cut",
                    ),
            );
        }
    }
    frame_curve_d = frame_curve_d.or(trace.frame_curve_d);
    let on_stated_curve = if depth.is_none() { frame_curve_d.and_then(|c| on_sphere(&outline, c)) } else { None };
    Ok(Shape {
        circumference_raw: smoothed.raw_circumference,
        depth,
        circumference_3d,
        on_stated_curve,
        frame_curve_d,
        tilt_deg: trace.tilt_deg,
        noise,
        ..Shape::exact(outline)
    })
}

/// Depth of the rim, its length in space, and the curve that its heights give.
fn in_space(
    eye: Eye,
    trace: &EyeTrace,
    outline: &Outline,
    pole: outline::Point,
    doubts: &mut Vec<Finding>,
) -> (Option<Depth>, Option<Mm>, Option<f64>) {
    let Some(heights) = &trace.heights else { return (None, None, None) };
    let Ok(fit) = heights.depth(outline, pole) else { return (None, None, None) };
    if !fit.decided {
        doubts.push(Finding::new(&kinds::DEPTH_UNDECIDED, "frame_curve_d", "flat").of(eye).weighs(0.1).says(
            "the rim is nearly flat; whether its heights count towards the viewer cannot be told from them",
            "write frame_curve_d into the order, or answer that the rim is flat",
        ));
    } else if fit.turned {
        doubts.push(
            Finding::new(&kinds::DEPTH_TURNED, "frame_curve_d", signed2(fit.frame_curve_d())).of(eye).says(
                "the heights of this trace grow towards the viewer where others grow towards the face; they were turned over",
                "nothing to do, if the frame curves towards the face",
            ),
        );
    }
    let length = circumference_in_space(outline, &fit.depth);
    let frame_curve_d = fit.frame_curve_d();
    (Some(fit.depth), length, Some(frame_curve_d))
}

/// Whether the rules may cut both lenses to one shape: rims of nearly one circumference.
fn are_one_shape(right: &Shape, left: &Shape) -> bool {
    abs((right.circumference - left.circumference).mm()) < SAME_CIRCUMFERENCE_MM
}

fn against(right: &Shape, left: &Shape, doubts: &mut Vec<Finding>) -> outline::Difference {
    let difference = right.outline.compared_with(&left.outline.mirrored());
    if difference.mean.mm() > SWAPPED_MM {
        doubts.push(
            Finding::new(&kinds::OUTLINE_SWAPPED, "outline.right_left_mean_mm", mm2(difference.mean.mm()))
                .limit(mm2(SWAPPED_MM))
                .unit("mm")
                .weighs(difference.mean.mm())
                .says(
                    format!(
                        "right and mirrored left differ by {} mm on the mean, most at {}",
                        mm2(difference.mean.mm()),
                        at(difference.worst_at.direction_deg())
                    ),
                    "see which trace is of which rim, and that the left one was not mirrored twice",
                ),
        );
    }
    let apart = (right.circumference - left.circumference).mm();
    if abs(apart) > SAME_CIRCUMFERENCE_MM {
        let (kind, mend) = if abs(apart) > RETRACE_MM {
            (&kinds::RETRACE, "true the frame, close both screws, trace again")
        } else {
            (&kinds::CIRCUMFERENCES_DIFFER, "each lens gets its own shape; tell the owner")
        };
        doubts.push(
            Finding::new(kind, "box.circumference_mm", mm2(apart))
                .limit(mm2(if abs(apart) > RETRACE_MM { RETRACE_MM } else { SAME_CIRCUMFERENCE_MM }))
                .unit("mm")
                .weighs(abs(apart))
                .says(
                    format!(
                        "the right rim is {} mm {} round than the left",
                        mm2(abs(apart)),
                        if apart > 0.0 { "longer" } else { "shorter" }
                    ),
                    mend,
                ),
        );
    }
    difference
}

fn mirrored_note(eye: Eye) -> Finding {
    Finding::new(&kinds::OUTLINE_MIRRORED, "outline", "mirrored")
        .of(eye)
        .says(format!("the {eye} outline is the other eye's, mirrored"), "trace both rims where size must be exact")
}
