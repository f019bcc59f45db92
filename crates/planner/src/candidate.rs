//! One blank tried for one eye: does it serve, and if not, why.

use std::sync::Arc;

use job::prescription::InUp;
use job::rules::Rules;
use job::{Blank, BlankState, Eye, LensForm, Material, Order, TorusSide, Treatments};
use lens::{CutOutline, Cutting, Given, Surfacing, TorusForm, Walls};
use optics::{OrderedPower, PowerMatrix, Prism};
use outline::Point;
use units::maths::{abs, hypot};
use units::{Dioptre, Mm, Power, Working};

use crate::assumed::{Figures, figures};
use crate::plan::{Place, PrismPlan, Reason};
use crate::shelf::minus_thousandths;

/// A decentration for prism up to this is a token one that an aspheric lens bears: common practice, no source.
const TOKEN_SHIFT_MM: f64 = 0.5;
/// A polarising film may stand off the level by this, degrees: trade press, in the reference facts.
const FILM_LEVEL_DEG: f64 = 3.0;

/// Where things stand on one eye for a lens of one form.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Placed {
    pub reference: Place,
    pub centre: Place,
    pub prism: PrismPlan,
}

/// What every blank is tried against.
#[derive(Debug, Clone)]
pub(crate) struct Wanted<'a> {
    pub order: &'a Order,
    pub rules: &'a Rules,
    pub material: &'a Material,
    pub eye: Eye,
    pub power: OrderedPower,
    pub matrix: PowerMatrix,
    pub prism: InUp,
    pub cut: Arc<CutOutline>,
    /// For spheric (and unknown) and for aspheric lenses.
    pub spheric: Placed,
    pub aspheric: Placed,
}

impl Wanted<'_> {
    pub(crate) const fn placed(&self, form: LensForm) -> &Placed {
        match form {
            LensForm::Aspheric => &self.aspheric,
            LensForm::Spheric | LensForm::Unknown => &self.spheric,
        }
    }
}

/// A blank that serves.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    pub row: usize,
    pub blank: Arc<Blank>,
    pub turn_deg: f64,
    pub figures: Figures,
    pub cutting: Cutting,
    pub margin: Mm,
    /// Thinnest square edge, from samples; the plan refines it.
    pub thinnest: Mm,
}

/// Why a blank does not serve, and by how much.
pub(crate) type Miss = (Reason, f64);

/// Tries a row. `left` is how many pieces there are. A blank that the order names is shown as it would come out even
/// where it is too small or too thin (`named`): then its margin or its thinnest edge is negative.
pub(crate) fn try_blank(
    want: &Wanted<'_>,
    row: usize,
    blank: &Arc<Blank>,
    left: u32,
    named: bool,
) -> Result<Fit, Miss> {
    by_label(want, blank, left)?;
    let mut best: Option<Fit> = None;
    let mut miss: Option<Miss> = None;
    let mut turns = turns(want, blank)?;
    if blank.middle_in == Mm::ZERO && blank.middle_up == Mm::ZERO {
        // Half a turn changes nothing: a torus looks the same, and the blank's middle is its optical centre.
        turns.truncate(1);
    }
    for turn_deg in turns {
        match try_turned(want, row, blank, turn_deg, named) {
            // Of two turns that serve, the one with more margin, then the smaller.
            Ok(fit) if best.as_ref().is_none_or(|b| fit.margin.mm() > b.margin.mm() + 1e-9) => best = Some(fit),
            Ok(_) => {}
            Err(other) => {
                let nearer = miss.is_none_or(|m| (other.0, other.1) < (m.0, m.1));
                if nearer {
                    miss = Some(other);
                }
            }
        }
    }
    // There is always a turn to try, so that a blank that does not serve has a reason.
    best.ok_or(miss.unwrap_or((Reason::CannotTurn, 180.0)))
}

/// What the label alone tells.
fn by_label(want: &Wanted<'_>, blank: &Blank, left: u32) -> Result<(), Miss> {
    if blank.kind != want.order.lens.kind {
        return Err((Reason::Kind, 0.0));
    }
    if blank.material != want.order.lens.material {
        return Err((Reason::Material, 0.0));
    }
    let apart = power_apart(want.power, blank.power);
    if apart > 0 {
        return Err((Reason::Power, f64::from(apart) / 1000.0));
    }
    if blank.state == BlankState::SemiFinished {
        return Err((Reason::SemiFinished, 0.0));
    }
    if blank.eye.is_some_and(|eye| eye != want.eye) {
        return Err((Reason::OtherEye, 0.0));
    }
    let lacks = want.order.lens.treatments.without(blank.treatments);
    let unwanted = blank.treatments.without(want.order.lens.treatments).without(Treatments::UNNOTICED);
    if !lacks.is_empty() || !unwanted.is_empty() {
        return Err((Reason::Treatments, f64::from(lacks.count() + unwanted.count())));
    }
    if blank.for_order.as_ref().is_some_and(|number| *number != want.order.number) {
        return Err((Reason::Reserved, 0.0));
    }
    if left == 0 {
        return Err((Reason::NoneLeft, 0.0));
    }
    // Prism ground into stock is not figured yet.
    if blank.prism.is_some_and(|p| p != InUp::default()) {
        return Err((Reason::Surfaces, 0.0));
    }
    Ok(())
}

/// The greater of the two meridians' differences, thousandths of a dioptre, axes left out.
fn power_apart(one: OrderedPower, other: OrderedPower) -> i32 {
    let ((s, c), (t, d)) = (minus_thousandths(one), minus_thousandths(other));
    (s - t).abs().max((s + c - t - d).abs())
}

/// The directions in which the packet's 0-180 line may lie so that the cylinder stands at its axis, smallest first.
fn turns(want: &Wanted<'_>, blank: &Blank) -> Result<Vec<f64>, Miss> {
    let axis = |power: OrderedPower| power.cylinder().map(|(_, axis)| axis);
    if let Some(fixed) = blank.fixed_axis {
        let power = OrderedPower::new(blank.power.sphere(), blank.power.cylinder().map(|(c, _)| (c, fixed)));
        return match (axis(want.power.minus_form()), axis(power.minus_form())) {
            (Some(wanted), Some(has)) if wanted != has => {
                Err((Reason::CannotTurn, f64::from(wanted.half_degrees_to(has)) / 2.0))
            }
            _ => Ok(vec![0.0]),
        };
    }
    // The row's axis as written lies on the packet's line: take the order in the row's form.
    let plus_row = blank.power.cylinder().is_some_and(|(c, _)| c > Power::ZERO);
    let in_form = if plus_row { want.power.plus_form() } else { want.power.minus_form() };
    let turned = match axis(in_form) {
        Some(axis) if axis.half_degrees() == 360 => vec![0.0, 180.0],
        Some(axis) => vec![axis.deg(), axis.deg() + 180.0],
        None => vec![0.0, 180.0],
    };
    let has = |t: Treatments| blank.treatments.has(t);
    if has(Treatments::GRADIENT) {
        return if turned[0] == 0.0 {
            Ok(vec![0.0])
        } else {
            Err((Reason::CannotTurn, turned[0].min(180.0 - turned[0])))
        };
    }
    if has(Treatments::POLARISED) {
        let film = blank.polarised_deg.unwrap_or(180.0);
        let off = |turn: f64| {
            let deg = (film + turn) % 180.0;
            deg.min(180.0 - deg)
        };
        let level: Vec<f64> = if in_form.cylinder().is_some() {
            turned.iter().copied().filter(|&t| off(t) <= FILM_LEVEL_DEG).collect()
        } else {
            // A sphere may be turned until its film is level.
            let turn = (360.0 - film) % 180.0;
            vec![turn, turn + 180.0]
        };
        return if level.is_empty() { Err((Reason::CannotTurn, off(turned[0]))) } else { Ok(level) };
    }
    Ok(turned)
}

fn try_turned(want: &Wanted<'_>, row: usize, blank: &Arc<Blank>, turn_deg: f64, named: bool) -> Result<Fit, Miss> {
    let placed = want.placed(blank.form);
    let shift =
        hypot((placed.centre.inwards - placed.reference.inwards).mm(), (placed.centre.up - placed.reference.up).mm());
    let fixed_place = blank.form == LensForm::Aspheric || blank.treatments.has(Treatments::GRADIENT);
    if fixed_place && shift > TOKEN_SHIFT_MM {
        return Err((Reason::CannotShift, shift));
    }
    let figures = figures(blank, want.material, want.rules, want.power);
    let cutting = cutting(want, blank, &figures, figures.front_curve_1530_d.value, figures.centre.value, placed.centre)
        .ok_or((Reason::Surfaces, 0.0))?;
    let (middle, usable) = (middle_in_lens(want.eye, blank, turn_deg), blank.nominal / 2.0 - blank.unusable_rim());
    let walls = Walls::of(&cutting, &want.cut).map_err(|_| (Reason::Surfaces, 0.0))?;
    let coverage = lens::coverage(&cutting, &want.cut, &walls, middle, usable, want.rules.blank_allowance);
    let margin = coverage.margin;
    if margin < Mm::ZERO && !named {
        return Err((Reason::TooSmall, -margin.mm()));
    }
    let thinnest = walls.thinnest();
    if thinnest <= Mm::ZERO && !named {
        return Err((Reason::TooThin, -thinnest.mm()));
    }
    Ok(Fit { row, blank: blank.clone(), turn_deg, figures, cutting, margin, thinnest })
}

/// How a blank is surfaced, for a front curve on 1.530.
pub(crate) fn surfacing(want: &Wanted<'_>, blank: &Blank, index: f64, front_1530_d: f64) -> Surfacing {
    let front = optics::curves::true_power_of_marked(&mut Working::off(), Dioptre::new(front_1530_d), index);
    let given = match blank.torus {
        TorusSide::Front if want.power.cylinder().is_some() => Given::FlatterFront(front),
        TorusSide::Front | TorusSide::Back => Given::Front(front),
    };
    Surfacing { power: want.power.computed(), index, given, form: TorusForm::Tyre, ground: Prism::NONE }
}

/// The lens in the machine, its optical centre where it belongs; none where surfaces do not meet.
pub(crate) fn cutting(
    want: &Wanted<'_>,
    blank: &Blank,
    figures: &Figures,
    front_1530_d: f64,
    centre_mm: f64,
    optical_centre: Place,
) -> Option<Cutting> {
    let lens =
        surfacing(want, blank, figures.index, front_1530_d).lens(&mut Working::off(), Mm::new(centre_mm)).ok()?;
    let (x, y) = optical_centre.xy(want.eye);
    Cutting::new(lens, Point::new(x, y), &want.rules.block).ok()
}

/// The blank's middle in the lens's own plane, from the vertex, as turned.
pub(crate) fn middle_in_lens(eye: Eye, blank: &Blank, turn_deg: f64) -> Point {
    let (x, y) = (blank.middle_in.mm() * eye.nasal(), blank.middle_up.mm());
    let (sin, cos) = (units::maths::sin_deg(turn_deg), units::maths::cos_deg(turn_deg));
    Point::new(x * cos - y * sin, x * sin + y * cos)
}

/// How far a blank's front curve is from one that is wanted, D on 1.530.
pub(crate) fn curve_off(fit: &Fit, wanted: Option<f64>) -> f64 {
    wanted.map_or(0.0, |w| abs(fit.figures.front_curve_1530_d.value - w))
}
