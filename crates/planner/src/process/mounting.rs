//! Into this frame, and out of it again: with heat only where its material bears heat.

use job::process::LensFamily;
use job::{Eye, FrameMaterial, Mounting, OutlineFrom};
use units::maths::{cos_deg, sin_deg};

use super::source::{
    COMMON, FRAME_PLASTICS, NITRATE, RIM_FORMING, RIMLESS_NUTS, RIMLESS_TIGHT, STRAIN, Source, WARPAGE, WARPAGE_LIMIT,
    WRAP,
};
use super::{Job, Line, Made, Step};
use crate::said::{fixed, mm2, signed2};

/// What a frame material is to the hands.
pub(super) struct Row {
    /// Whether a rim of it is warmed to take a lens, and how.
    pub(super) warm: Option<&'static str>,
    /// What follows once the lens is in, or what else to know of it.
    after: &'static str,
    /// Who says so.
    sources: &'static [Source],
}

/// The row of a frame material; none is left out.
pub(super) const fn row(material: FrameMaterial) -> Row {
    match material {
        FrameMaterial::Acetate => Row {
            warm: Some("to about 57 degrees C"),
            after: "chill it to set; bubbles mean too hot",
            sources: &[FRAME_PLASTICS, COMMON],
        },
        FrameMaterial::Propionate => Row {
            warm: Some("a little more than acetate, which takes 57 degrees C"),
            after: "it cannot be shrunk onto a small lens",
            sources: &[FRAME_PLASTICS, COMMON],
        },
        FrameMaterial::Epoxy => Row {
            warm: Some("to 80 to 88 degrees C"),
            after: "hold it in shape until it is cold, or it springs back",
            sources: &[FRAME_PLASTICS, COMMON],
        },
        FrameMaterial::Polyamide => {
            Row { warm: None, after: "or as the frame's maker says", sources: &[FRAME_PLASTICS, COMMON] }
        }
        FrameMaterial::Nitrate => {
            Row { warm: None, after: "where it will not go in, cut a step smaller", sources: &[NITRATE, COMMON] }
        }
        FrameMaterial::Metal => Row {
            warm: None,
            after: "the barrel just closes: a gap = lens too large, closed too soon = too small",
            sources: &[COMMON, RIM_FORMING],
        },
        FrameMaterial::Unknown => {
            Row { warm: None, after: "find out what the rim is made of first", sources: &[COMMON] }
        }
    }
}

/// What the frame of a job is made of.
pub(super) fn material(job: &Job<'_>) -> FrameMaterial {
    job.order.frame.material.unwrap_or(FrameMaterial::Unknown)
}

/// Whether this job's rims are warmed to take the lenses.
pub(super) fn warmed(job: &Job<'_>) -> bool {
    job.order.frame.mounting == Mounting::FullRim && row(material(job)).warm.is_some()
}

/// Try, mount, strain, and out again.
pub(super) fn steps(job: &Job<'_>, steps: &mut Vec<Line>) {
    let minutes = &job.rules.process.minutes;
    let (says, sources) = try_in(job);
    steps.push(job.line(Step::TryIn, says, minutes.try_in, &sources));
    let (says, sources) = mount(job);
    steps.push(job.line(Step::Mount, says, minutes.mount(job.order.frame.mounting), &sources));
    if let Some((says, sources)) = strain(job) {
        steps.push(job.line(Step::Strain, says, minutes.strain, &sources));
    }
    steps.push(job.line(Step::TakeOut, take_out(job), 0.0, &[COMMON]));
}

fn try_in(job: &Job<'_>) -> (String, Vec<Source>) {
    let size = &job.rules.size;
    let recut = format!("recut by at most {} mm of {}", mm2(size.step.mm()), size.unit.word());
    let mut sources = vec![COMMON];
    let mut says = match job.order.frame.mounting {
        Mounting::FullRim => {
            format!("turns by hand = too small, bows the rim = too large; {recut}")
        }
        Mounting::NylonCord => format!("against bar and demonstration lens; {recut}"),
        Mounting::GroovedRim => format!("the rim lies in the groove all round and just closes; {recut}"),
        Mounting::Drilled => "holes and outline against the demonstration lens, right against left".to_owned(),
    };
    let wrap = job.order.frame.face_form_deg.filter(|&deg| deg >= job.rules.process.wrap_deg);
    if let Some(deg) = wrap {
        let limit = fixed(job.rules.process.wrap_deg, 0);
        says.push_str(&format!("; a wrap of {} degrees a side (from {limit}): expect to cut twice", fixed(deg, 0)));
        sources.push(WRAP);
    } else if inherited(job) {
        says.push_str("; the outline is not of this rim: expect to cut twice");
    }
    (says, sources)
}

/// Whether the lens has to find its size in a rim that was not traced.
fn inherited(job: &Job<'_>) -> bool {
    let in_rim = matches!(job.order.frame.mounting, Mounting::FullRim | Mounting::GroovedRim);
    let elsewhere =
        |from| matches!(from, OutlineFrom::EarlierTrace | OutlineFrom::PrintedSizes | OutlineFrom::DemoLens);
    in_rim && job.order.frame.outline_from.is_some_and(elsewhere)
}

fn mount(job: &Job<'_>) -> (String, Vec<Source>) {
    let material = material(job);
    let row = row(material);
    match job.order.frame.mounting {
        Mounting::FullRim => {
            let first = job.each(|made| Some(corner(made.eye, made.lens.edge.thickest_deg)));
            let first = format!("thickest corner first ({})", first.unwrap_or_default());
            let says = match (row.warm, material) {
                (Some(warm), _) => {
                    let is_formed = job.lenses.iter().any(to_form);
                    let form = if is_formed { "bend it to the bevel while it is warm; " } else { "" };
                    format!("warm the rim evenly {warm}, not the lens; {form}{first}; press, do not force; {}", row.after)
                }
                (None, FrameMaterial::Metal) => {
                    let form = match job.each(curves) {
                        Some(of) if job.lenses.iter().any(to_form) => format!("form the rim to the bevel ({of}); "),
                        Some(_) => "the rim lies to the bevel as it is; ".to_owned(),
                        None => "see that the rim lies to the bevel; ".to_owned(),
                    };
                    format!("cold; open the screw; {form}close without force; {}", row.after)
                }
                (None, _) => format!("cold, by hand; {first}; press, do not force; {}", row.after),
            };
            (says, row.sources.to_vec())
        }
        Mounting::NylonCord => (
            "cold; bar first, ribbon under the cord, snap it in, draw the ribbon out: it just passes; a tired cord goes"
                .to_owned(),
            vec![COMMON],
        ),
        Mounting::GroovedRim => (
            match material {
                FrameMaterial::Metal => "cold; open the screw, lay the rim into the lens's groove, close without force",
                _ => "cold; lay the rim into the lens's groove all round; no force",
            }
            .to_owned(),
            vec![COMMON],
        ),
        Mounting::Drilled => (
            "cold; bushing in the hole, washer on the lens, screw snug, nothing distorted; both lenses in line"
                .to_owned(),
            vec![RIMLESS_NUTS, RIMLESS_TIGHT],
        ),
    }
}

/// Whether the bevel leaves the rim by so much that it has to be formed: what the plan's finding says, too.
fn to_form(made: &Made<'_>) -> bool {
    let seated = made.lens.edge_line.as_ref().and_then(|line| line.sized.seated.as_ref());
    seated.is_some_and(|seated| seated.gap_greatest.abs().mm() > crate::edge_line::TO_FORM_MM)
}

/// Frame and bevel curve, where both are known.
fn curves(made: &Made<'_>) -> Option<String> {
    let line = made.lens.edge_line.as_ref()?;
    Some(format!("frame {}, bevel {} D", signed2(line.frame_curve_d?), signed2(line.bevel_curve_d?)))
}

/// A corner in words, as the wearer is faced or seen from behind alike.
fn corner(eye: Eye, deg: f64) -> String {
    let height = if sin_deg(deg) < 0.0 { "lower" } else { "upper" };
    let side = if cos_deg(deg) * eye.nasal() < 0.0 { "temple" } else { "nose" };
    format!("{height} {side}")
}

fn strain(job: &Job<'_>) -> Option<(String, Vec<Source>)> {
    // Tempered glass shows its own pattern, cord strains nothing.
    let in_rim = "crossed polarisers: faint even halo right, ease bright corners; ";
    let warped = "front by lens measure: meridians within 1.00 D, as before it was mounted";
    match job.order.frame.mounting {
        Mounting::NylonCord => None,
        _ if job.family == LensFamily::Glass => None,
        Mounting::FullRim | Mounting::GroovedRim => {
            Some((format!("{in_rim}{warped}"), vec![STRAIN, WARPAGE, WARPAGE_LIMIT]))
        }
        Mounting::Drilled => {
            Some(("crossed polarisers: ease a screw that shows at its hole".to_owned(), vec![STRAIN, RIMLESS_TIGHT]))
        }
    }
}

fn take_out(job: &Job<'_>) -> &'static str {
    match (job.order.frame.mounting, material(job)) {
        (Mounting::FullRim | Mounting::GroovedRim, FrameMaterial::Metal) => {
            "open the screw; never lever between lens and rim"
        }
        (Mounting::FullRim, _) if warmed(job) => "warm the rim as before; press the lens to the front, nose side first",
        (Mounting::FullRim | Mounting::GroovedRim, _) => {
            "cold; press it to the front with the thumbs, rim held close by"
        }
        (Mounting::NylonCord, _) => "ribbon under the cord, draw it off, lens down out of the bar",
        (Mounting::Drilled, _) => "screws, then bushings; never lever between lens and metal",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The right eye stands on the viewer's left, so its temple lies at 180 degrees; the left eye's at 0.
    #[test]
    fn corners_are_named_by_nose_and_temple() {
        assert_eq!(corner(Eye::Right, 213.0), "lower temple");
        assert_eq!(corner(Eye::Left, 213.0), "lower nose");
        assert_eq!((corner(Eye::Right, 45.0), corner(Eye::Left, 45.0)), ("upper nose".into(), "upper temple".into()));
    }

    /// Acetate, propionate and epoxy are warmed; polyamide shrinks, nitrate burns, metal opens, and what is not known stays
    /// cold (trade cards on frame materials; CET article 18, 2002).
    #[test]
    fn only_three_materials_are_warmed() {
        use FrameMaterial as M;
        let warmed: Vec<M> = M::WORDS.iter().map(|&(_, m)| m).filter(|&m| row(m).warm.is_some()).collect();
        assert_eq!(warmed, [M::Acetate, M::Propionate, M::Epoxy]);
        assert!(M::WORDS.iter().all(|&(_, m)| !row(m).sources.is_empty()));
    }
}
