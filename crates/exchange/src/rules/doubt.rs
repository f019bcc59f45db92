//! How far a figure may be off: instruments, pupillary distances, what a shelf row leaves open.

use job::rules::{Doubt, PdDoubt, Readings};
use units::Mm;

use super::section::Section;
use super::{DEGREES, DIOPTRES, PRISM, SMALL};

pub(super) fn readings(s: &Section<'_, '_>, base: Option<Readings>) -> Option<Readings> {
    let power_d = s.number("power_d", DIOPTRES, base.map(|b| b.power_d));
    let axis_deg = s.number("axis_deg", DEGREES, base.map(|b| b.axis_deg));
    let place = s.mm("place_mm", SMALL, base.map(|b| b.place));
    let prism = s.number("prism_cm_per_m", PRISM, base.map(|b| b.prism_cm_per_m));
    s.end();
    Some(Readings { power_d: power_d?, axis_deg: axis_deg?, place: place?, prism_cm_per_m: prism? })
}

pub(super) fn pd_doubt(s: &Section<'_, '_>, base: Option<PdDoubt>) -> Option<PdDoubt> {
    let mm = |key, pick: fn(PdDoubt) -> Mm| s.mm(key, SMALL, base.map(pick));
    let doubt = (
        mm("self_mm", |d| d.own),
        mm("pupillometer_mm", |d| d.pupillometer),
        mm("rule_examiner_mm", |d| d.rule_examiner),
        mm("rule_self_mm", |d| d.rule_self),
        mm("app_mm", |d| d.app),
        mm("unknown_mm", |d| d.unknown),
    );
    s.end();
    Some(PdDoubt {
        own: doubt.0?,
        pupillometer: doubt.1?,
        rule_examiner: doubt.2?,
        rule_self: doubt.3?,
        app: doubt.4?,
        unknown: doubt.5?,
    })
}

pub(super) fn doubt(s: &Section<'_, '_>, base: Option<Doubt>) -> Option<Doubt> {
    let front_curve_d = s.number("front_curve_d", DIOPTRES, base.map(|b| b.front_curve_d));
    let centre = s.mm("centre_mm", SMALL, base.map(|b| b.centre));
    let plus_blank_edge = s.mm("plus_blank_edge_mm", SMALL, base.map(|b| b.plus_blank_edge));
    let label_centre = s.mm("label_centre_mm", SMALL, base.map(|b| b.label_centre));
    let label_curve_d = s.number("label_curve_d", DIOPTRES, base.map(|b| b.label_curve_d));
    let read_centre = s.mm("read_centre_mm", SMALL, base.map(|b| b.read_centre));
    let read_curve_d = s.number("read_curve_d", DIOPTRES, base.map(|b| b.read_curve_d));
    s.end();
    Some(Doubt {
        front_curve_d: front_curve_d?,
        centre: centre?,
        plus_blank_edge: plus_blank_edge?,
        label_centre: label_centre?,
        label_curve_d: label_curve_d?,
        read_centre: read_centre?,
        read_curve_d: read_curve_d?,
    })
}
