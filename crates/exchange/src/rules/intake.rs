//! When an order deserves a question.

use job::rules::Intake;
use units::Mm;

use super::section::Section;
use super::{DEGREES, DIOPTRES, LENGTH, PRISM};
use crate::limits::Limits;

const YEARS: Limits = Limits::from_to(0.0, 120.0, "years");

pub(super) fn read(s: &Section<'_, '_>, base: Option<Intake>) -> Option<Intake> {
    let d = |key, pick: fn(Intake) -> f64| s.number(key, DIOPTRES, base.map(pick));
    let mm = |key, pick: fn(Intake) -> Mm| s.mm(key, LENGTH, base.map(pick));
    let years = |key: &'static str, pick: fn(Intake) -> i16| {
        let read = s.table.as_ref().and_then(|t| t.value(key)).and_then(|v| v.whole(YEARS));
        read.and_then(|y| i16::try_from(y).ok()).or(base.map(pick))
    };
    let opposite_sign_d = d("opposite_sign_d", |i| i.opposite_sign_d);
    let anisometropia_d = d("anisometropia_d", |i| i.anisometropia_d);
    let mirror_cylinder_d = d("mirror_cylinder_d", |i| i.mirror_cylinder_d);
    let mirror_deg = s.number("mirror_deg", DEGREES, base.map(|i| i.mirror_deg));
    let vertex_d = d("vertex_d", |i| i.vertex_d);
    let monocular_apart = mm("monocular_apart_mm", |i| i.monocular_apart);
    let monocular = s.range_mm("monocular_mm", base.map(|i| (i.monocular_least, i.monocular_most)));
    let binocular = s.range_mm("binocular_mm", base.map(|i| (i.binocular_least, i.binocular_most)));
    let height_apart = mm("height_apart_mm", |i| i.height_apart);
    let prism_pair = s.number("prism_pair_cm_per_m", PRISM, base.map(|i| i.prism_pair_cm_per_m));
    let prescription_years = years("prescription_years", |i| i.prescription_years);
    let child_years = years("child_years", |i| i.child_years);
    let box_width = s.range_mm("box_width_mm", base.map(|i| i.box_width));
    let box_height = s.range_mm("box_height_mm", base.map(|i| i.box_height));
    let between_lenses = s.range_mm("between_lenses_mm", base.map(|i| i.between_lenses));
    let add_d = s.range("add_d", DIOPTRES, base.map(|i| i.add_d));
    s.end();
    let ((monocular_least, monocular_most), (binocular_least, binocular_most)) = (monocular?, binocular?);
    Some(Intake {
        opposite_sign_d: opposite_sign_d?,
        anisometropia_d: anisometropia_d?,
        mirror_cylinder_d: mirror_cylinder_d?,
        mirror_deg: mirror_deg?,
        vertex_d: vertex_d?,
        monocular_apart: monocular_apart?,
        monocular_least,
        monocular_most,
        binocular_least,
        binocular_most,
        height_apart: height_apart?,
        prism_pair_cm_per_m: prism_pair?,
        prescription_years: prescription_years?,
        child_years: child_years?,
        box_width: box_width?,
        box_height: box_height?,
        between_lenses: between_lenses?,
        add_d: add_d?,
    })
}
