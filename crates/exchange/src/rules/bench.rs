//! How this bench works: least thicknesses, size, bevel, blocking, placing.

use job::FrameMaterial;
use job::rules::{
    Bevel, Block, BlockAt, CuttingAxis, Groove, Least, Lies, Placement, RightLeft, Size, SizeUnit, Wheels,
};
use units::Mm;

use super::section::Section;
use super::{DIOPTRES, LENGTH, PERCENT, PRISM, SMALL};
use crate::limits::Limits;

pub(super) fn least(s: &Section<'_, '_>, base: Option<Least>) -> Option<Least> {
    let mm = |key, pick: fn(Least) -> Mm| s.mm(key, SMALL, base.map(pick));
    let least = (
        mm("groove_stop_mm", |l| l.groove_stop),
        mm("groove_ask_mm", |l| l.groove_ask),
        mm("bevel_ask_mm", |l| l.bevel_ask),
        mm("drilled_stop_mm", |l| l.drilled_stop),
        mm("drilled_most_ask_mm", |l| l.drilled_most_ask),
        mm("hole_wall_ask_mm", |l| l.hole_wall_ask),
        mm("hole_edge_ask_mm", |l| l.hole_edge_ask),
        mm("front_shoulder_mm", |l| l.front_shoulder),
        mm("back_shoulder_mm", |l| l.back_shoulder),
    );
    s.end();
    Some(Least {
        groove_stop: least.0?,
        groove_ask: least.1?,
        bevel_ask: least.2?,
        drilled_stop: least.3?,
        drilled_most_ask: least.4?,
        hole_wall_ask: least.5?,
        hole_edge_ask: least.6?,
        front_shoulder: least.7?,
        back_shoulder: least.8?,
    })
}

pub(super) fn size(s: &Section<'_, '_>, base: Option<&Size>) -> Option<Size> {
    let unit = s.word("unit", SizeUnit::WORDS, base.map(|b| b.unit));
    let step = s.mm("step_mm", SMALL, base.map(|b| b.step));
    let right_left = s.word("right_left", RightLeft::WORDS, base.map(|b| b.right_left));
    let mut longer_3d = base.map_or_else(Vec::new, |b| b.longer_3d.clone());
    if let Some(table) = s.table.as_ref().and_then(|t| t.table("longer_3d_mm")) {
        for &(word, material) in FrameMaterial::WORDS {
            if let Some(longer) = table.mm(word, Limits::from_to(-3.0, 3.0, "mm")) {
                longer_3d.retain(|(m, _)| *m != material);
                longer_3d.push((material, longer));
            }
        }
        table.end();
    }
    s.end();
    Some(Size { unit: unit?, step: step?, right_left: right_left?, longer_3d })
}

pub(super) fn bevel(s: &Section<'_, '_>, base: Option<Bevel>) -> Option<Bevel> {
    let angle_deg = s.number("angle_deg", Limits::between(30.0, 180.0, "degrees"), base.map(|b| b.angle_deg));
    let height = s.mm("height_mm", SMALL, base.map(|b| b.height));
    let safety = s.mm("safety_mm", SMALL, base.map(|b| b.safety));
    let gap_given = s.mm("gap_given_mm", SMALL, base.map(|b| b.gap_given));
    let small = s.table.as_ref().and_then(|t| t.mm("small_height_mm", SMALL));
    let step = s.mm("step_mm", SMALL, base.map(|b| b.step));
    let line = s.edge_run(base.map(|b| b.line));
    s.end();
    Some(Bevel {
        angle_deg: angle_deg?,
        height: height?,
        safety: safety?,
        gap_given: gap_given?,
        small_height: small.or_else(|| base.and_then(|b| b.small_height)),
        step: step?,
        line: line?,
    })
}

pub(super) fn groove(s: &Section<'_, '_>, base: Option<Groove>) -> Option<Groove> {
    let width = s.mm("width_mm", SMALL, base.map(|b| b.width));
    let depth = s.mm("depth_mm", SMALL, base.map(|b| b.depth));
    let wall = s.mm("wall_mm", SMALL, base.map(|b| b.wall));
    let line = s.edge_run(base.map(|b| b.line));
    s.end();
    Some(Groove { width: width?, depth: depth?, wall: wall?, line: line? })
}

pub(super) fn wheel(s: &Section<'_, '_>, base: Option<Wheels>) -> Option<Wheels> {
    let diameter = Limits::between(0.0, 1000.0, "mm");
    let rough = s.mm("rough_mm", diameter, base.map(|b| b.rough));
    let bevel = s.mm("bevel_mm", diameter, base.map(|b| b.bevel));
    let left = s.mm("left_mm", SMALL, base.map(|b| b.left));
    let thinned = s.mm("thinned_mm", SMALL, base.map(|b| b.thinned));
    s.end();
    Some(Wheels { rough: rough?, bevel: bevel?, left: left?, thinned: thinned? })
}

pub(super) fn block(s: &Section<'_, '_>, base: Option<&Block>) -> Option<Block> {
    let axis = s.word("axis", CuttingAxis::WORDS, base.map(|b| b.axis));
    let at = s.word("at", BlockAt::WORDS, base.map(|b| b.at));
    let lies = s.word("lies", Lies::WORDS, base.map(|b| b.lies));
    let diameters = s.table.as_ref().and_then(|t| t.value("diameters_mm")).map(|value| {
        let mut diameters: Vec<Mm> =
            value.list().iter().filter_map(|v| v.number(Limits::between(0.0, 60.0, "mm"))).map(Mm::new).collect();
        diameters.sort_by(|a, b| a.mm().total_cmp(&b.mm()));
        if diameters.is_empty() {
            value.wrong::<()>("the diameters of the blocks on this bench", "write [16.0, 20.0, 24.0]");
        }
        diameters
    });
    let diameters = diameters.or_else(|| base.map(|b| b.diameters.clone()));
    let clear_least = s.mm("clear_least_mm", SMALL, base.map(|b| b.clear_least));
    let clear_wanted = s.mm("clear_wanted_mm", SMALL, base.map(|b| b.clear_wanted));
    let clamp_least = s.mm("clamp_least_mm", LENGTH, base.map(|b| b.clamp_least));
    s.end();
    Some(Block {
        axis: axis?,
        at: at?,
        lies: lies?,
        diameters: diameters?,
        clear_least: clear_least?,
        clear_wanted: clear_wanted?,
        clamp_least: clamp_least?,
    })
}

pub(super) fn placement(s: &Section<'_, '_>, base: Option<Placement>) -> Option<Placement> {
    let lower_aspheric = s.yes("lower_aspheric", base.map(|b| b.lower_aspheric));
    let lower_spheric = s.yes("lower_spheric", base.map(|b| b.lower_spheric));
    let curve_match_d = s.number("curve_match_d", DIOPTRES, base.map(|b| b.curve_match_d));
    let pd_prism = s.number("pd_prism_cm_per_m", PRISM, base.map(|b| b.pd_prism_cm_per_m));
    let image_size = s.number("image_size_percent", PERCENT, base.map(|b| b.image_size_percent));
    s.end();
    Some(Placement {
        lower_aspheric: lower_aspheric?,
        lower_spheric: lower_spheric?,
        curve_match_d: curve_match_d?,
        pd_prism_cm_per_m: pd_prism?,
        image_size_percent: image_size?,
    })
}
