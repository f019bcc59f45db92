//! `[frame]`: outline, mounting, and what the frame asks of the lens.

use job::Frame;
use job::FrameMaterial;
use job::frame::{Clearance, FrameOwner, Hole, Mounting, OutlineFrom, OutlineOf, RimGroove};

use super::EYES;
use crate::limits::{self, Limits};
use crate::toml_walk::{Table, Value};

/// Angles of a frame, per side or tilt.
const FACE_ANGLE: Limits = Limits::from_to(-30.0, 45.0, "degrees");
/// Distance between lenses.
const BETWEEN: Limits = Limits::between(0.0, 60.0, "mm");
/// An allowance of radius.
const ALLOWANCE: Limits = Limits::from_to(-3.0, 3.0, "mm");
/// The curve of a frame, on 1.530.
const FRAME_CURVE: Limits = Limits::from_to(0.0, 20.0, "D");
/// A rim's groove, or a hole.
const GROOVE: Limits = Limits::between(0.0, 10.0, "mm");

pub(super) fn read(table: &Table<'_, '_>) -> Option<Frame> {
    let outline = table.need("outline", table.text("outline"), "name the record file: outline = \"kestrel-50.txt\"");
    let mounting = table.need("mounting", table.word("mounting", Mounting::WORDS), "write mounting = \"full-rim\"");
    let holes: Vec<Option<Hole>> = table.list("holes").iter().map(hole).collect();
    let clearance: Vec<Option<Clearance>> = table.list("clearance").iter().map(clearance).collect();
    let outline_of = table.word("outline_of", OutlineOf::WORDS);
    let outline_from = table.word("outline_from", OutlineFrom::WORDS);
    let outline_allowance = table.mm("outline_allowance_mm", ALLOWANCE);
    let material = table.word("material", FrameMaterial::WORDS);
    let owner = table.word("owner", FrameOwner::WORDS);
    let distance_between_lenses = table.mm("distance_between_lenses_mm", BETWEEN);
    let frame_curve_d = table.number("frame_curve_d", FRAME_CURVE);
    let rim_groove = table.table("rim_groove").and_then(|t| rim_groove(&t));
    let face_form_deg = table.number("face_form_deg", FACE_ANGLE);
    let pantoscopic_deg = table.number("pantoscopic_deg", FACE_ANGLE);
    table.end();
    Some(Frame {
        outline: outline?.to_owned(),
        outline_of,
        outline_from,
        outline_allowance,
        mounting: mounting?,
        material,
        owner,
        distance_between_lenses,
        frame_curve_d,
        rim_groove,
        face_form_deg,
        pantoscopic_deg,
        holes: holes.into_iter().collect::<Option<_>>()?,
        clearance: clearance.into_iter().collect::<Option<_>>()?,
    })
}

fn rim_groove(table: &Table<'_, '_>) -> Option<RimGroove> {
    let depth = table.need("depth_mm", table.mm("depth_mm", GROOVE), "write its depth_mm");
    let width = table.need("width_mm", table.mm("width_mm", GROOVE), "write its width_mm");
    table.end();
    Some(RimGroove { depth: depth?, width: width? })
}

fn hole(value: &Value<'_, '_>) -> Option<Hole> {
    let table = value.table()?;
    let eye = table.need("eye", table.word("eye", EYES), "write eye = \"right\" or \"left\"");
    let inwards = table.need("in_mm", table.mm("in_mm", limits::SHIFT), "write how far in from the boxed centre");
    let up = table.need("up_mm", table.mm("up_mm", limits::SHIFT), "write how far up from the boxed centre");
    let diameter = table.need("diameter_mm", table.mm("diameter_mm", GROOVE), "write the hole's diameter");
    table.end();
    Some(Hole { eye: eye?, inwards: inwards?, up: up?, diameter: diameter? })
}

fn clearance(value: &Value<'_, '_>) -> Option<Clearance> {
    let table = value.table()?;
    let deg = table.need("deg", table.number("deg", limits::DIRECTION), "write its direction in degrees");
    let back = table.need("back_mm", table.mm("back_mm", Limits::from_to(0.0, 40.0, "mm")), "write the room it needs");
    let what = table.need("what", table.text("what"), "say what needs the room");
    table.end();
    Some(Clearance { deg: deg? % 360.0, back: back?, what: what?.to_owned() })
}
