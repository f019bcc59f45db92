//! One blank tried for one eye: does it serve, and if not, why.

use std::sync::Arc;

use job::blank::CheckThickness;
use job::prescription::InUp;
use job::rules::Rules;
use job::{Blank, BlankState, Eye, FrontCurve, LensForm, Material, Order, TorusSide, Treatments, Uncut};
use lens::{CutOutline, Cutting, Given, HalfExponent, NoLens, Surfacing, TorusForm, Walls};
use optics::{OrderedPower, PowerMatrix, Prism};
use outline::Point;
use units::maths::{abs, hypot};
use units::{Angle, Dioptre, Mm, Power, Working};

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
    pub vertex: Place,
    pub prism: PrismPlan,
}

/// A prism that is missed by less than this at the reference point is met, cm/m: below what a focimeter shows.
pub(crate) const PRISM_MET_CM_PER_M: f64 = 0.005;

impl Placed {
    /// How far the prism made is from the one ordered, cm/m.
    pub(crate) fn prism_off(&self) -> f64 {
        hypot(self.prism.residual.base_in.cm_per_m(), self.prism.residual.base_up.cm_per_m())
    }
}

/// What a lens is made to from a blank as it lies.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Making<'a> {
    pub blank: &'a Blank,
    /// Direction of the packet's 0-180 line, degrees.
    pub turn_deg: f64,
    /// The power that the lens has.
    pub power: OrderedPower,
    /// Its refractive index.
    pub index: f64,
    /// Prism ground into it, as it lies.
    pub ground: Prism,
    /// How a thickness correction grows with the distance from the vertex.
    pub half: HalfExponent,
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
    /// The power that it has: the label's, which is the ordered one, or as read.
    pub power: OrderedPower,
    pub placed: Placed,
    pub figures: Figures,
    pub cutting: Cutting,
    pub margin: Mm,
    /// Thinnest square edge, from samples; the plan refines it.
    pub thinnest: Mm,
}

impl Fit {
    /// What the lens is made to.
    pub(crate) fn making(&self, eye: Eye) -> Making<'_> {
        Making {
            blank: &self.blank,
            turn_deg: self.turn_deg,
            power: self.power,
            index: self.figures.index,
            ground: as_prism(eye, self.placed.prism.ground),
            half: HalfExponent::Two,
        }
    }
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
    if blank.middle_in == Mm::ZERO && blank.middle_up == Mm::ZERO && ground_of(blank) == InUp::default() {
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
    let (ground, wanted) = (as_prism(want.eye, ground_of(blank)), as_prism(want.eye, want.prism));
    if let (None, Some(base), Some(wanted)) = (in_form.cylinder(), ground.base(), wanted.base())
        && !has(Treatments::GRADIENT)
        && !has(Treatments::POLARISED)
    {
        // A sphere may be turned until its prism has the base that is ordered.
        return Ok(vec![Angle::from_rad(wanted.rad() - base.rad()).direction_deg()]);
    }
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
    let placed = placed(want, blank, turn_deg, want.matrix);
    let ground = as_prism(want.eye, placed.prism.ground).amount().cm_per_m();
    if ground > 0.0 && want.prism == InUp::default() && !named {
        // Decentred it would do; but a lens with prism is kept for those who need one: common practice, no source.
        return Err((Reason::Prism, ground));
    }
    if placed.prism_off() > PRISM_MET_CM_PER_M && !named {
        return Err((Reason::Prism, placed.prism_off()));
    }
    let shift =
        hypot((placed.vertex.inwards - placed.reference.inwards).mm(), (placed.vertex.up - placed.reference.up).mm());
    let fixed_place = blank.form == LensForm::Aspheric || blank.treatments.has(Treatments::GRADIENT);
    if fixed_place && shift > TOKEN_SHIFT_MM {
        return Err((Reason::CannotShift, shift));
    }
    let fit = fit(want, row, blank, turn_deg, want.power, placed).map_err(|_| (Reason::Surfaces, 0.0))?;
    if fit.margin < Mm::ZERO && !named {
        return Err((Reason::TooSmall, -fit.margin.mm()));
    }
    if fit.thinnest <= Mm::ZERO && !named {
        return Err((Reason::TooThin, -fit.thinnest.mm()));
    }
    Ok(fit)
}

/// The blank that was taken, with what was read on it in place of what its label says.
///
/// A sphere that was read without its cylinder keeps the label's cylinder. The axis is taken as it was read: where the
/// blank may be turned, that is how it was marked up. A curve, a thickness or a diameter that was not read stays the
/// label's.
pub(crate) fn as_read(want: &Wanted<'_>, fit: &Fit, uncut: &Uncut) -> Result<Fit, NoLens> {
    let mut blank = (*fit.blank).clone();
    let mut turn_deg = fit.turn_deg;
    let power = match uncut.power {
        None => fit.power,
        Some(read) if uncut.cylinder_read => read,
        Some(read) => OrderedPower::new(read.sphere(), fit.power.cylinder()),
    };
    // In the order's form: whoever marks the lens has the order beside him, and an axis is of one form only.
    let in_plus = want.power.cylinder().is_some_and(|(cylinder, _)| cylinder > Power::ZERO);
    let power = if in_plus { power.plus_form() } else { power.minus_form() };
    let axis = |power: OrderedPower| power.minus_form().cylinder().map(|(_, axis)| axis.deg());
    if let (Some(was), Some(is)) = (axis(fit.power), axis(power)) {
        // The nearer way round: an axis is the same half a turn on.
        turn_deg += (is - was + 270.0).rem_euclid(180.0) - 90.0;
    }
    if let Some(prism) = uncut.prism {
        // Read as the lens lies: turned back onto the packet.
        blank.prism = Some(turned_in_up(want.eye, prism, -turn_deg));
    }
    blank.centre = uncut.centre.or(blank.centre);
    let read_anew = uncut.power.is_some() || uncut.centre.is_some() || uncut.front_curve_1530_d.is_some();
    blank.check = match uncut.check {
        Some(check) => Some(CheckThickness { deg: check.deg.map(|deg| deg - turn_deg), ..check }),
        // The label's check thickness belongs to the label's centre, curve and power.
        None => blank.check.filter(|_| !read_anew),
    };
    if let Some(curve_d) = uncut.front_curve_1530_d {
        blank.front_curve = Some(FrontCurve { curve_d, index: optics::curves::TOOLING_INDEX });
    }
    if let Some(diameter) = uncut.diameter {
        blank.usable = blank.usable.map(|usable| diameter - (blank.nominal - usable));
        blank.nominal = diameter;
    }
    let matrix = PowerMatrix::of(&mut Working::off(), power.computed());
    let placed = placed(want, &blank, turn_deg, matrix);
    self::fit(want, fit.row, &Arc::new(blank), turn_deg, power, placed)
}

/// Why a blank gives no lens for this shape, whichever way it is turned; `None` where it gives one.
pub(crate) fn no_lens(want: &Wanted<'_>, blank: &Arc<Blank>) -> Option<NoLens> {
    let turn_deg = *turns(want, blank).ok()?.first()?;
    let placed = placed(want, blank, turn_deg, want.matrix);
    fit(want, 0, blank, turn_deg, want.power, placed).err()
}

/// Where a blank as it lies must stand: its own prism counts, decentration gives the rest.
pub(crate) fn placed(want: &Wanted<'_>, blank: &Blank, turn_deg: f64, matrix: PowerMatrix) -> Placed {
    let base = want.placed(blank.form);
    let ground = ground_in_lens(want.eye, blank, turn_deg);
    if ground == InUp::default() && matrix == want.matrix {
        return *base;
    }
    let (vertex, prism, _) =
        crate::placing::vertex(&mut Working::off(), want.eye, matrix, base.reference, want.prism, ground);
    Placed { reference: base.reference, vertex, prism }
}

/// The lens of a blank as it lies, in the machine.
pub(crate) fn fit(
    want: &Wanted<'_>,
    row: usize,
    blank: &Arc<Blank>,
    turn_deg: f64,
    power: OrderedPower,
    placed: Placed,
) -> Result<Fit, NoLens> {
    let figures = figures(blank, want.material, want.rules, power);
    let ground = as_prism(want.eye, placed.prism.ground);
    let making = Making { blank, turn_deg, power, index: figures.index, ground, half: HalfExponent::Two };
    let cutting = cutting(want, &making, figures.front_curve_1530_d.value, figures.centre.value, placed.vertex)?;
    let (middle, usable) = (middle_in_lens(want.eye, blank, turn_deg), blank.nominal / 2.0 - blank.unusable_rim());
    let walls = Walls::of(&cutting, &want.cut)?;
    let coverage = lens::coverage(&cutting, &want.cut, &walls, middle, usable, want.rules.blank_allowance);
    let (margin, thinnest) = (coverage.margin, walls.thinnest());
    Ok(Fit { row, blank: blank.clone(), turn_deg, power, placed, figures, cutting, margin, thinnest })
}

/// Prism ground into a blank, as its row states it.
pub(crate) fn ground_of(blank: &Blank) -> InUp {
    blank.prism.unwrap_or_default()
}

/// Base in and up of one eye in the viewer's directions.
pub(crate) fn as_prism(eye: Eye, prism: InUp) -> Prism {
    Prism { x: prism.base_in * eye.nasal(), y: prism.base_up }
}

/// Prism ground into a blank, as the blank lies.
pub(crate) fn ground_in_lens(eye: Eye, blank: &Blank, turn_deg: f64) -> InUp {
    turned_in_up(eye, ground_of(blank), turn_deg)
}

/// A prism turned with the blank that has it.
fn turned_in_up(eye: Eye, prism: InUp, turn_deg: f64) -> InUp {
    if turn_deg == 0.0 || prism == InUp::default() {
        return prism;
    }
    let on_packet = as_prism(eye, prism);
    let (sin, cos) = (units::maths::sin_deg(turn_deg), units::maths::cos_deg(turn_deg));
    let x = on_packet.x * cos - on_packet.y * sin;
    InUp { base_in: x * eye.nasal(), base_up: on_packet.x * sin + on_packet.y * cos }
}

/// How a lens is surfaced, for a front curve on 1.530.
pub(crate) fn surfacing(making: &Making<'_>, front_1530_d: f64) -> Surfacing {
    let front = optics::curves::true_power_of_marked(&mut Working::off(), Dioptre::new(front_1530_d), making.index);
    let given = match making.blank.torus {
        TorusSide::Front if making.power.cylinder().is_some() => Given::FlatterFront(front),
        TorusSide::Front | TorusSide::Back => Given::Front(front),
    };
    Surfacing {
        power: making.power.computed(),
        index: making.index,
        given,
        form: TorusForm::Tyre,
        ground: making.ground,
        conic: [making.blank.front_conic, making.blank.back_conic].map(Option::unwrap_or_default),
    }
}

/// The lens that a blank becomes, its surfaces solved; steps of the open figure.
pub(crate) fn lens_of(
    w: &mut Working,
    making: &Making<'_>,
    front_1530_d: f64,
    centre_mm: f64,
) -> Result<lens::Lens, NoLens> {
    let lens = surfacing(making, front_1530_d).lens(w, Mm::new(centre_mm))?;
    match making.correction() {
        None => Ok(lens),
        Some(check) => {
            let lens = lens.corrected(check.thickness, check.radius, making.check_direction(), making.half)?;
            w.say(|| {
                format!(
                    "The back's sagitta is corrected so that the lens is {} mm thick {} mm from its vertex, as measured: an interpolation, no claim about the surface.",
                    check.thickness.mm(),
                    check.radius.mm()
                )
            });
            Ok(lens)
        }
    }
}

impl Making<'_> {
    /// The check thickness that corrects the lens: of a blank that is not known to be spheric, and whose centre is known
    /// (beside an assumed centre it would tell nothing of the form).
    pub(crate) fn correction(&self) -> Option<CheckThickness> {
        self.blank.check.filter(|_| self.blank.form != LensForm::Spheric && self.blank.centre.is_some())
    }

    /// Where it was measured, as the blank lies.
    fn check_direction(&self) -> Option<Angle> {
        self.blank.check.and_then(|c| c.deg).map(|deg| Angle::from_deg(deg + self.turn_deg))
    }
}

/// The lens in the machine, its vertex where it belongs.
pub(crate) fn cutting(
    want: &Wanted<'_>,
    making: &Making<'_>,
    front_1530_d: f64,
    centre_mm: f64,
    vertex: Place,
) -> Result<Cutting, NoLens> {
    let lens = lens_of(&mut Working::off(), making, front_1530_d, centre_mm)?;
    let (x, y) = vertex.xy(want.eye);
    Cutting::new(lens, Point::new(x, y), &want.rules.block)
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
