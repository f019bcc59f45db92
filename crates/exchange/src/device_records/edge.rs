//! What an edger is told of rim, material and edge.
//!
//! Codes are written only where one of them says just what the order says. Left out are `LMATID` and `POLISH`
//! (nothing in a plan answers them) and `BSIZ` and `CSIZ` (the size is in the trace already: a device would add it
//! again).

use job::order::BevelKind;
use job::rules::Rules;
use job::{Beside, EdgeKind, EdgeRun, FrameMaterial, MaterialId, Mounting, Order};

use super::sheet::{Sheet, mm};
use super::{Cut, Mark};
use crate::records::Problem;
use crate::surfacing_order::fixed;

/// Class and index of the lens material.
pub(super) fn material(sheet: &mut Sheet<'_>) -> Result<(), Problem> {
    let classes = sheet.cut.map(|cut| cut.and_then(|cut| class(&cut.lens.blank.material)));
    if let Some(mark) = classes.iter().filter_map(|(_, class)| class.map(|(_, mark)| mark)).max() {
        sheet.pair("LMATTYPE", mark, |cut| Some(classes[cut.eye.eye]?.0.to_owned()))?;
    }
    sheet.pair("LIND", Mark::High, |cut| Some(fixed(cut.lens.index, 3)))
}

/// The class of a material by its chemistry; none for what no class was said to hold. From which index on a resin
/// counts as high differs from shop to shop: the sulphur resins are taken for it.
fn class(material: &MaterialId) -> Option<(&'static str, Mark)> {
    match material.as_str().rsplit_once('-').map_or(material.as_str(), |(chemistry, _)| chemistry) {
        "adc" | "pmma" => Some(("1", Mark::Medium)),
        "polycarbonate" => Some(("2", Mark::Medium)),
        "crown" | "glass" => Some(("3", Mark::Medium)),
        "thiourethane" | "episulfide" => Some(("5", Mark::Low)),
        "urethane-urea" => Some(("6", Mark::Low)),
        _ => None,
    }
}

/// The rim. A cord in a groove and a rim in one are none of the kinds that the codes name.
pub(super) fn rim(sheet: &mut Sheet<'_>, order: &Order) -> Result<(), Problem> {
    let code = match (order.frame.mounting, order.frame.material) {
        (Mounting::Drilled, _) => "3",
        (Mounting::FullRim, Some(FrameMaterial::Metal)) => "2",
        // The one that springs back to its shape when it is warmed.
        (Mounting::FullRim, Some(FrameMaterial::Epoxy)) => "4",
        (Mounting::FullRim, Some(material)) if material != FrameMaterial::Unknown => "1",
        _ => return Ok(()),
    };
    sheet.pair("FTYP", Mark::Medium, |_| Some(code.to_owned()))
}

/// How the bevel or the groove runs round the edge, where a code says just that; a share of the edge with its
/// percentage.
fn runs(sheet: &mut Sheet<'_>) -> Result<(), Problem> {
    let run = |cut: &Cut<'_>| cut.lens.edge_line.as_ref().map(|line| line.run);
    let code = |run: EdgeRun| match run {
        EdgeRun::Along(Beside::Front) => Some("1"),
        EdgeRun::Share(_) => Some("2"),
        EdgeRun::Along(Beside::Rim) => Some("3"),
        EdgeRun::Along(Beside::Back) => Some("5"),
        // A distance has no code of its own, and a curve stands under its own label.
        EdgeRun::FromFront(_) | EdgeRun::Curve(_) => None,
    };
    sheet.pair("BEVP", Mark::Low, |cut| Some(code(run(cut)?)?.to_owned()))?;
    sheet.pair("BEVM", Mark::Low, |cut| match run(cut)? {
        EdgeRun::Share(share) => Some(fixed(share * 100.0, 1)),
        _ => None,
    })
}

/// Rim, edge, groove, safety bevel, and the curve that the bevel follows.
pub(super) fn kind(sheet: &mut Sheet<'_>, order: &Order, rules: &Rules) -> Result<(), Problem> {
    rim(sheet, order)?;
    let edge = match (order.lens.edge, order.lens.bevel) {
        (EdgeKind::Bevel, None | Some(BevelKind::V)) => Some(("1", Mark::Data)),
        (EdgeKind::Bevel, Some(BevelKind::Small)) => Some(("4", Mark::Low)),
        (EdgeKind::Bevel, Some(BevelKind::Stepped)) => None,
        (EdgeKind::Flat, _) => Some(("2", Mark::Medium)),
        (EdgeKind::Groove, _) => Some(("3", Mark::Medium)),
    };
    match edge {
        Some((code, mark)) => sheet.pair("ETYP", mark, |_| Some(code.to_owned()))?,
        None => sheet.unsaid("the stepped bevel (no code for it is known)"),
    }
    runs(sheet)?;
    if order.lens.edge == EdgeKind::Bevel {
        sheet.pair("BEVC", Mark::Medium, |cut| Some(fixed(cut.lens.edge_line.as_ref()?.bevel_curve_d?, 2)))?;
    }
    if order.lens.edge == EdgeKind::Groove {
        sheet.pair("GDEPTH", Mark::Medium, |_| Some(mm(rules.groove.depth)))?;
        sheet.pair("GWIDTH", Mark::Medium, |_| Some(mm(rules.groove.width)))?;
    }
    sheet.pair("PINB", Mark::Medium, |_| Some(mm(rules.bevel.safety)))?;
    if order.lens.edge == EdgeKind::Bevel {
        // In a rim the front shoulder is too narrow to give any of it away.
        return Ok(());
    }
    sheet.pair("FPINB", Mark::Medium, |_| Some(mm(rules.bevel.safety)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_class_is_a_chemistry_and_what_has_none_has_no_class() {
        let code = |id: &str| class(&MaterialId::new(id)).map(|(code, _)| code);
        // reference: material class 1 plastic, 2 polycarbonate, 3 glass, 5 high index, 6 urethane-like of index 1.53.
        for (id, expected) in [
            ("adc-1.498", Some("1")),
            ("polycarbonate-1.586", Some("2")),
            ("crown-1.523", Some("3")),
            ("glass-1.80", Some("3")),
            ("thiourethane-1.67", Some("5")),
            ("urethane-urea-1.53", Some("6")),
            ("mid-1.56", None),
            ("our-own", None),
            ("glass", Some("3")),
        ] {
            assert_eq!(code(id), expected, "{id}");
        }
        // Every material that is built in has a class, but the family that is not one resin.
        let without: Vec<String> = crate::built_in_rules()
            .materials
            .iter()
            .filter(|material| class(&material.id).is_none())
            .map(|material| material.id.to_string())
            .collect();
        assert_eq!(without, ["mid-1.56"]);
    }
}
