//! What a supplier is asked for, as records of ISO 16284.
//!
//! Labels are those of our label table, whose marks say how sure we are of each: the standard's own text was not read.
//! What a list between two parties would have to settle (material numbers, coating words) goes into a remark for a
//! person to read, never into a code.

use job::prescription::InUp;
use job::{Eye, Eyes, Order, PerEye};
use planner::Plan;
use planner::plan::{EyePlan, ToOrder};
use units::{Angle, Mm};

use crate::records::{LONGEST_WRITTEN, Problem, Record};

/// Records of a surfacing order.
#[derive(Debug, Clone, PartialEq)]
pub struct SurfacingOrder {
    /// In the order in which they are written.
    pub records: Vec<Record>,
    /// The eyes that are to be ordered.
    pub eyes: Eyes,
}

impl SurfacingOrder {
    /// Labels whose meaning or form is known from memory alone and not surely, to be confirmed by whoever reads them; in
    /// the order in which they stand.
    #[must_use]
    pub fn unsure(&self) -> Vec<&str> {
        let from_memory =
            |record: &&Record| record.known().is_none_or(|label| matches!(label.mark, "memory medium" | "memory low"));
        self.records.iter().filter(from_memory).map(Record::label).fold(Vec::new(), |mut found, label| {
            if !found.contains(&label) {
                found.push(label);
            }
            found
        })
    }
}

/// The records for what a plan says to order; `None` where there is nothing to order.
///
/// Powers stand as ordered, centre and diameter never less than figured, the front curve on 1.530. A field of an eye that
/// is not ordered is empty.
///
/// # Errors
/// A record that may not be written: a fault of this program, since all its texts come from values that were read.
pub fn surfacing_order(plan: &Plan, order: &Order) -> Result<Option<SurfacingOrder>, Problem> {
    let asked = PerEye::from_fn(|eye| plan.eyes[eye].as_ref().and_then(|e| Some((e, e.to_order.as_ref()?))));
    let eyes = match (asked.right, asked.left) {
        (Some(_), Some(_)) => Eyes::Both,
        (Some(_), None) => Eyes::Right,
        (None, Some(_)) => Eyes::Left,
        (None, None) => return Ok(None),
    };
    let mut sheet = Sheet { records: Vec::new(), asked };
    sheet.one("REQ", "FIL")?;
    sheet.one("JOB", order.number.as_str())?;
    sheet.one("DO", if eyes == Eyes::Both { "B" } else { eyes.made().first().map_or("", |eye| eye.letter()) })?;
    sheet.powers()?;
    sheet.pair("PRVM", |eye, _, ask| Some(fixed(amount_and_base(eye, ask.prism)?.0, 2)))?;
    sheet.pair("PRVA", |eye, _, ask| Some(fixed(amount_and_base(eye, ask.prism)?.1, 1)))?;
    // Where decentration gives a prescribed prism the optical centre is not before the pupil, and the place says it alone.
    let pd = |eye: &EyePlan, ask: &ToOrder| Some(mm(eye.pd?)).filter(|_| !by_decentration(eye, ask));
    let near = order.lens.purpose != job::LensUse::Distance;
    sheet.pair(if near { "NPD" } else { "IPD" }, |_, eye, ask| pd(eye, ask))?;
    sheet.frame()?;
    sheet.lens()?;
    for (eye, asked) in asked.iter() {
        if let Some((plan, ask)) = asked {
            sheet.remark(&remark(eye, plan, ask))?;
        }
    }
    Ok(Some(SurfacingOrder { records: sheet.records, eyes }))
}

struct Sheet<'a> {
    records: Vec<Record>,
    asked: PerEye<Option<(&'a EyePlan, &'a ToOrder)>>,
}

impl Sheet<'_> {
    fn one(&mut self, label: &str, field: &str) -> Result<(), Problem> {
        self.records.push(Record::new(label, [field])?);
        Ok(())
    }

    /// Right; left. Not written at all where neither eye has it.
    fn pair(&mut self, label: &str, of: impl Fn(Eye, &EyePlan, &ToOrder) -> Option<String>) -> Result<(), Problem> {
        let fields = Eye::BOTH.map(|eye| self.asked[eye].and_then(|(plan, ask)| of(eye, plan, ask)));
        if fields.iter().any(Option::is_some) {
            self.records.push(Record::new(label, fields.map(Option::unwrap_or_default))?);
        }
        Ok(())
    }

    fn powers(&mut self) -> Result<(), Problem> {
        self.pair("SPH", |_, _, ask| Some(ask.ordered.sphere().to_string()))?;
        self.pair("CYL", |_, _, ask| Some(ask.ordered.cylinder()?.0.to_string()))?;
        self.pair("AX", |_, _, ask| Some(ask.ordered.cylinder()?.1.to_string()))
    }

    /// The shape, so that the surfacer can see where the lens will be cut.
    fn frame(&mut self) -> Result<(), Problem> {
        self.pair("HBOX", |_, eye, _| Some(mm(eye.shape.boxed.width)))?;
        self.pair("VBOX", |_, eye, _| Some(mm(eye.shape.boxed.height)))?;
        self.pair("FED", |_, eye, _| Some(mm(eye.shape.boxed.effective_diameter)))?;
        self.pair("FEDAX", |_, eye, _| Some(fixed(eye.shape.boxed.effective_diameter_at.direction_deg(), 1)))?;
        let between = self.asked.iter().find_map(|(_, asked)| asked.as_ref()?.0.between_lenses);
        match between {
            Some(between) => self.one("DBL", &mm(between)),
            None => Ok(()),
        }
    }

    fn lens(&mut self) -> Result<(), Problem> {
        self.pair("LIND", |_, _, ask| Some(fixed(ask.index, 3)))?;
        self.pair("LTYPE", |_, _, ask| {
            Some(if ask.form == job::LensForm::Aspheric { "SV AS" } else { "SV" }.to_owned())
        })?;
        self.pair("TIND", |_, _, _| Some("1.530".to_owned()))?;
        self.pair("FRNT", |_, _, ask| Some(fixed(ask.front_curve.curve_1530.dioptres(), 2)))?;
        self.pair("DIA", |_, _, ask| Some(fixed(ask.diameter_asked().mm(), 0)))?;
        self.pair("CTHICK", |_, _, ask| Some(mm(ask.centre_asked())))?;
        self.pair("FCOCIN", |_, _, ask| Some(mm(ask.decentration.inwards)).filter(|_| ask.prism == InUp::default()))?;
        self.pair("FCOCUP", |_, _, ask| Some(mm(ask.decentration.up)).filter(|_| ask.prism == InUp::default()))?;
        self.pair("FCPRIN", |_, _, ask| Some(mm(ask.decentration.inwards)).filter(|_| ask.prism != InUp::default()))?;
        self.pair("FCPRUP", |_, _, ask| Some(mm(ask.decentration.up)).filter(|_| ask.prism != InUp::default()))
    }

    /// A remark, in as many records as its length needs.
    fn remark(&mut self, text: &str) -> Result<(), Problem> {
        let most = LONGEST_WRITTEN - "REM=".len();
        let mut line = String::new();
        for word in text.split_whitespace() {
            if !line.is_empty() && line.len() + 1 + word.len() > most {
                self.one("REM", &line)?;
                line.clear();
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        self.one("REM", &line)
    }
}

/// Whether a prescribed prism is left to the place of the optical centre.
fn by_decentration(plan: &EyePlan, ask: &ToOrder) -> bool {
    plan.prism.ordered != InUp::default() && ask.prism == InUp::default()
}

/// Material and treatments in words: what the labels for them hold is between two parties.
fn remark(eye: Eye, plan: &EyePlan, ask: &ToOrder) -> String {
    let series = ask.series.as_ref().map_or(String::new(), |series| format!(" - series {series}"));
    let treatments =
        if ask.treatment_names.is_empty() { "no treatment".to_owned() } else { ask.treatment_names.join(" + ") };
    let prism = if by_decentration(plan, ask) { " - the place of the optical centre gives the prism" } else { "" };
    let text = format!("{} eye: {}{series} - {} - {treatments}{prism}", eye.word(), ask.material, ask.form.word());
    plain(&text)
}

/// A text as a record may hold it: a series is free text of the shelf, a record plain ASCII without its own separators.
fn plain(text: &str) -> String {
    let taken = |c: char| c == ' ' || (c.is_ascii_graphic() && !matches!(c, ';' | '=' | ',' | '"' | '*' | '?'));
    text.chars().map(|c| if taken(c) { c } else { '.' }).collect()
}

/// Amount of a prism and the direction of its base for the viewer, degrees in [0, 360); `None` where there is none.
pub(crate) fn amount_and_base(eye: Eye, prism: InUp) -> Option<(f64, f64)> {
    let (x, y) = (prism.base_in.cm_per_m() * eye.nasal(), prism.base_up.cm_per_m());
    let amount = units::maths::hypot(x, y);
    (amount > 0.0).then(|| (amount, Angle::from_deg(units::maths::atan2_deg(y, x)).direction_deg()))
}

fn mm(length: Mm) -> String {
    fixed(length.mm(), 2)
}

/// Fixed decimals, never minus nothing.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) { text.trim_start_matches('-').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::CmPerM;

    #[test]
    fn the_base_points_where_the_viewer_sees_it() {
        let at = |eye, i, u| {
            amount_and_base(eye, InUp { base_in: CmPerM::new(i), base_up: CmPerM::new(u) }).map(|(a, d)| [a, d])
        };
        // The right eye's nose is to the viewer's right.
        assert_eq!(at(Eye::Right, 2.0, 0.0), Some([2.0, 0.0]));
        assert_eq!(at(Eye::Left, 2.0, 0.0), Some([2.0, 180.0]));
        assert_eq!(at(Eye::Left, 0.0, -1.5), Some([1.5, 270.0]));
        assert_eq!(at(Eye::Right, 3.0, 4.0).map(|[amount, _]| amount), Some(5.0));
        assert_eq!(at(Eye::Right, 0.0, 0.0), None);
    }

    #[test]
    fn any_text_can_be_written() {
        let text = plain("right eye: \u{e9}lan; \"x\"=1, *?\t");
        let record = Record::new("REM", [text.as_str()]).unwrap();
        assert_eq!(record.raw(), b"REM=right eye: .lan. .x..1. ...");
        assert!(crate::records::write(&[record]).is_ok());
    }

    #[test]
    fn nothing_is_never_minus_nothing() {
        assert_eq!([fixed(-0.001, 2), fixed(-0.006, 2), fixed(2.0, 0)], ["0.00", "-0.01", "2"]);
    }
}
