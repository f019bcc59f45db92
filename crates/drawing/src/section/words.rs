//! What a section says in words.

use job::EdgeKind;

use crate::figure;
use crate::scene::Weight;
use crate::sheet::LABEL;
use crate::typeface::wrapped;

use super::profile::{Cut, Profile};
use super::{Of, Part, WORDS};

/// Beside the drawing, in lines.
pub(super) fn beside(of: &Of<'_>, profile: &Profile<'_>, seated: Option<f64>) -> Vec<String> {
    sentences(of, profile, seated).iter().flat_map(|s| wrapped(s, Weight::Regular, LABEL, WORDS)).collect()
}

/// How the apex stands to the rim: "0.09 behind the rim".
pub(crate) fn stands(gap: f64) -> String {
    let words = figure::thickness(gap.abs());
    if words == "0.00" {
        return "level with the rim".to_owned();
    }
    format!("{words} {} the rim", if gap > 0.0 { "behind" } else { "before" })
}

fn sentences(of: &Of<'_>, profile: &Profile<'_>, seated: Option<f64>) -> Vec<String> {
    let mut said = Vec::new();
    let mm = figure::thickness;
    match of.cut {
        Cut::Bevel { steep, height, step } => {
            let deg = 2.0 * libm::atan(steep).to_degrees();
            said.push(format!("Bevel {}\u{b0}, {} high.", figure::short(deg), mm(height)));
            if let Some([front, back]) = profile.sides() {
                for (name, side) in [("front", front), ("back", back)] {
                    if !side.wall && side.corner.0 < height {
                        let reach = mm(side.corner.0);
                        said.push(format!("Its {name} face ends on the {name} surface, {reach} in."));
                    }
                }
            }
            if step > 0.0 {
                said.push(format!("Stepped: behind it the edge stands {} further in.", mm(step)));
            }
        }
        Cut::Groove { width, depth } => {
            said.push(format!("Groove {} wide, {} deep.", mm(width), mm(depth)));
            if let Some(row) = profile.row {
                said.push(format!(
                    "Its middle {} behind the front, {} before the back.",
                    mm(row.to_front.mm()),
                    mm(row.to_back.mm())
                ));
            }
        }
        Cut::Flat if of.order.lens.edge == EdgeKind::Bevel => {
            said.push("Square edge: without the rim's depth nobody knows where a bevel runs.".to_owned());
        }
        Cut::Flat => said.push("Flat edge.".to_owned()),
    }
    if let (Some(_), Some(gap)) = (seated, profile.row.and_then(|row| row.gap)) {
        let what = if matches!(of.cut, Cut::Groove { .. }) { "Groove" } else { "Apex" };
        said.push(format!("{what} {}.", stands(gap.mm())));
    }
    if let (Some(groove), Some(sits)) = (of.order.frame.rim_groove, of.lens.edge_line.as_ref().and_then(|l| l.sits))
        && seated.is_some()
    {
        said.push(format!(
            "Rim's groove {} deep, {} wide, drawn as a V.",
            mm(groove.depth.mm()),
            mm(groove.width.mm())
        ));
        if sits.short.mm() >= 0.005 {
            let by = sits.stopped_by.word();
            said.push(format!("The apex stays {} above its bottom, stopped by the {by}.", mm(sits.short.mm())));
        }
    }
    said
}

/// For those who hear it read.
pub(super) fn said(of: &Of<'_>, part: &Part<'_>) -> String {
    let mm = figure::thickness;
    let (front, back) = part.profile.square;
    let mut words = format!("At {:03}: square edge {} mm", part.at.deg, mm(back - front));
    if let Some(row) = part.profile.row {
        let names = if matches!(of.cut, Cut::Groove { .. }) {
            ["groove from front", "groove from back"]
        } else {
            ["front shoulder", "back shoulder"]
        };
        words.push_str(&format!(
            ", {} {} mm, {} {} mm",
            names[0],
            mm(row.to_front.mm()),
            names[1],
            mm(row.to_back.mm())
        ));
        if let Some(visible) = row.visible.filter(|_| matches!(of.cut, Cut::Bevel { .. })) {
            words.push_str(&format!(", visible edge {} mm", mm(visible.mm())));
        }
    }
    format!("{words}. {}", sentences(of, &part.profile, part.seated).join(" "))
}
