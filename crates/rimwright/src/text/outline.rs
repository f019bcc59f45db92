//! A trace in words: sizes, depth, right against left, doubts.

use planner::FrameShapes;
use planner::plan::Shape;

use super::findings;
use super::page::Page;
use super::words::{at, one, signed, two};

/// What is in a trace.
pub(crate) fn outline(page: &mut Page, frame: &FrameShapes) {
    findings::show(page, &frame.doubts);
    page.sides("in mm");
    let mut row = |label: &str, of: &dyn Fn(&Shape) -> Option<String>| {
        page.spine(label, of(&frame.eyes.right).as_deref(), of(&frame.eyes.left).as_deref());
    };
    row("traced", &|s| Some(if s.mirrored { "no: mirrored" } else { "yes" }.to_owned()));
    row("box", &|s| Some(format!("{} \u{d7} {}", two(s.boxed.width.mm()), two(s.boxed.height.mm()))));
    row("effective diameter", &|s| {
        let boxed = &s.boxed;
        Some(format!("{} at {}", two(boxed.effective_diameter.mm()), at(boxed.effective_diameter_at.direction_deg())))
    });
    row("circumference flat", &|s| Some(two(s.circumference.mm())));
    row("of the raw points", &|s| Some(two(s.circumference_raw.mm())));
    row("in space", &|s| s.circumference_3d.map(|l| two(l.mm())));
    row("area", &|s| Some(format!("{} mm2", one(s.area_mm2))));
    row("frame curve", &|s| s.frame_curve_d.map(|c| format!("{} D on 1.530", signed(c))));
    row("tilt in the file", &|s| s.tilt_deg.map(|t| format!("{} degrees, not added", one(t))));
    row("noise", &|s| Some(format!("{:.3}", s.noise.mm())));
    page.gap();
    if let Some(between) = frame.between_lenses {
        page.line(&format!("Distance between lenses {} mm.", one(between.mm())));
    }
    if let Some(difference) = &frame.difference {
        page.wrapped(
            "",
            &format!(
                "Right against mirrored left: {:.3} mm rms, {} mm at {} at the most.",
                difference.rms.mm(),
                two(difference.worst.mm().abs()),
                at(difference.worst_at.direction_deg())
            ),
        );
    }
}
