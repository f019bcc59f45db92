//! What to order where the shelf has nothing: power, prism, curve, least diameter with decentration, thickness; and the
//! semi-finished blanks in stock that a surfacer could make it of.

use std::sync::Arc;

use job::prescription::InUp;
use job::{Blank, BlankState, EdgeKind, Finding, FrontCurve, IndexLine, LensForm, TorusSide, Treatments, kinds};
use lens::{Cutting, HalfExponent, NoLens};
use optics::curves::TOOLING_INDEX;
use outline::Point;
use units::maths::{abs, hypot};
use units::{Angle, Dioptre, Mm, Working};

use crate::candidate::{Fit, Making, PRISM_MET_CM_PER_M, Wanted, as_prism, cutting, surfacing};
use crate::choice::edge_ask;
use crate::plan::{Bench, CurveFrom, CurveWanted, EyePlan, OrderThickness, Place, Reason, SemiFinished, ToOrder};
use crate::said::{at, fixed, mm1, mm2, signed2};
use crate::shelf::Shelf;

/// Unusable rim that an ordered blank is taken to have, mm of radius: the shelf's own default.
const RIM_MM: f64 = 1.0;
/// Blanks are made up to this size, mm: reference facts, `blank.nominal-diameters`, common practice.
const LARGEST_MM: f64 = 80.0;
/// More ground prism than this in one lens few suppliers take without being asked, cm/m: common practice, no source.
const PRISM_ASK_CM_PER_M: f64 = 10.0;
/// A lens thicker than this is to be asked for before it is ordered, mm: common practice, no source.
const THICK_ASK_MM: f64 = 15.0;
/// A shift for prism that an aspheric lens bears: as for stock blanks, common practice, no source.
const TOKEN_SHIFT_MM: f64 = 0.5;
/// A shift beyond this saves no blank: nobody wears the prism it costs, mm; common practice, no source.
const FARTHEST_RESCUE_MM: f64 = 10.0;
/// Directions in which the greatest thickness is looked for.
const DIRECTIONS: u32 = 72;
/// What lies in the material of a semi-finished blank; every other treatment is put on after surfacing: common practice.
const IN_THE_MATERIAL: Treatments = Treatments::PHOTOCHROMIC.with(Treatments::POLARISED);

/// Why no order can be written, with what would help.
#[derive(Debug, Clone)]
pub(crate) struct CannotOrder {
    why: NoLens,
    mend: String,
}

/// Figures what to ask a supplier for.
///
/// A prism that decentration gives is left to it while the blank stays of a size that is made; otherwise it is asked for
/// ground, and so it always is where the lens is aspheric.
pub(crate) fn figure(
    w: &mut Working,
    want: &Wanted<'_>,
    fellow: Option<&Fit>,
    bench: &Bench<'_>,
    shelf: &Shelf,
) -> Result<ToOrder, CannotOrder> {
    let form = fellow.map_or(LensForm::Spheric, |fit| fit.blank.form);
    let form = if form == LensForm::Aspheric { form } else { LensForm::Spheric };
    let curve = curve_to_match(want, fellow);
    let blank = Blank { form, ..usual_blank(want.order, want.power) };
    let lens = Ordered { blank: &blank, curve_1530_d: curve.curve_1530.dioptres(), index: want.material.n_d };
    let placed = want.placed(form);
    let shift =
        hypot((placed.vertex.inwards - placed.reference.inwards).mm(), (placed.vertex.up - placed.reference.up).mm());
    let may_shift = placed.prism_off() <= PRISM_MET_CM_PER_M && (form == LensForm::Spheric || shift <= TOKEN_SHIFT_MM);
    let none = InUp::default();
    let decentred = match (may_shift, want.prism == none) {
        (true, true) => Some((placed.vertex, none)),
        (true, false) => lens
            .made(&mut Working::off(), want, (placed.vertex, none))
            .is_ok_and(|made| made.least_diameter(want).mm() <= LARGEST_MM)
            .then_some((placed.vertex, none)),
        (false, _) => None,
    };
    let (vertex, ground) = decentred.unwrap_or((placed.reference, want.prism));
    let made = lens.made(w, want, (vertex, ground)).map_err(cannot)?;
    let minus = want.power.minus_form();
    let treatments = fellow.map_or(want.order.lens.treatments, |fit| fit.blank.treatments);
    let series = fellow.and_then(|fit| fit.blank.series.clone());
    let semi_finished = semi_finished(want, (form, &curve, treatments), (vertex, ground), bench, shelf);
    Ok(ToOrder {
        ordered: want.power,
        sphere: minus.sphere(),
        cylinder: minus.cylinder(),
        material: want.order.lens.material.clone(),
        index: want.material.n_d,
        form,
        series: series.or_else(|| want.order.lens.mate.as_ref().and_then(|mate| mate.series.clone())),
        treatments,
        treatment_names: want.rules.treatments.of(treatments).map(str::to_owned).collect(),
        front_curve: curve,
        least_diameter: made.least_diameter(want),
        decentration: vertex,
        thickness: made.thickness,
        thinnest_edge: made.thinnest,
        greatest: made.greatest,
        prism: ground,
        semi_finished,
        cautions: cautions(want, form, ground, &made),
    })
}

/// The front curve that the lens should have, and whose it is.
///
/// A fellow lens of another power justifies another curve: then the lens's own usual curve is taken as far as the powers
/// justify it.
fn curve_to_match(want: &Wanted<'_>, fellow: Option<&Fit>) -> CurveWanted {
    let lens = &want.order.lens;
    let usual = lens::assumed_front_curve(want.power.computed(), want.rules.doubt.front_curve_d);
    if let Some(ordered) = lens.front_curve_d[want.eye] {
        return CurveWanted { curve_1530: Dioptre::new(ordered), from: CurveFrom::Order };
    }
    if let Some(fit) = fellow {
        let theirs = fit.figures.front_curve_1530_d.value;
        let justified = crate::pair::curve_difference_justified(want.power, fit.power);
        let curve = usual.value.clamp(theirs - justified, theirs + justified);
        return CurveWanted { curve_1530: Dioptre::new(curve), from: CurveFrom::Fellow };
    }
    if let Some(mate) = lens.mate.as_ref().and_then(|mate| mate.front_curve) {
        return CurveWanted { curve_1530: on_1530(mate), from: CurveFrom::Mate };
    }
    CurveWanted { curve_1530: Dioptre::new(usual.value), from: CurveFrom::Usual }
}

fn on_1530(curve: FrontCurve) -> Dioptre {
    let stated = Dioptre::new(curve.curve_d);
    if abs(curve.index - TOOLING_INDEX) < 5e-4 {
        stated
    } else {
        optics::curves::marked_curve_of_true(&mut Working::off(), stated, curve.index)
    }
}

/// A lens to be ordered, all but its thickness and its place.
#[derive(Clone, Copy)]
struct Ordered<'a> {
    blank: &'a Blank,
    curve_1530_d: f64,
    index: f64,
}

/// The lens as it would come.
struct Made {
    thickness: OrderThickness,
    /// Thinnest square edge.
    thinnest: Mm,
    /// Greatest thickness along the lens axis over the shape.
    greatest: Mm,
    /// Greatest distance from the vertex to the wall, square to the lens axis.
    reach: Mm,
}

impl Made {
    fn least_diameter(&self, want: &Wanted<'_>) -> Mm {
        (self.reach + want.rules.blank_allowance + Mm::new(RIM_MM)) * 2.0
    }
}

impl Ordered<'_> {
    /// As thin as material, mounting and order allow, its vertex and ground prism as given.
    fn made(&self, w: &mut Working, want: &Wanted<'_>, (vertex, ground): (Place, InUp)) -> Result<Made, NoLens> {
        let making = Making {
            blank: self.blank,
            turn_deg: 0.0,
            power: want.power,
            index: self.index,
            ground: as_prism(want.eye, ground),
            half: HalfExponent::Two,
        };
        let figured = |centre: Mm| {
            let held = cutting(want, &making, self.curve_1530_d, centre.mm(), vertex)?;
            let walls = lens::Walls::of(&held, &want.cut)?;
            let thinnest = lens::edge_extremes(&held, &want.cut, &walls).thinnest.thickness;
            Ok::<_, NoLens>((held, walls, thinnest))
        };
        let least = want.material.least_centre.unwrap_or(Mm::new(2.0));
        let ordered = want.order.lens.centre[want.eye];
        let as_thin = figured(ordered.unwrap_or(least));
        let edge = least_edge(want);
        let (thickness, (held, walls, thinnest)) = match (ordered, as_thin) {
            (Some(centre), lens) => (OrderThickness::Centre(centre), lens?),
            (None, Ok(lens)) if lens.2 >= edge => (OrderThickness::Centre(least), lens),
            (None, _) => {
                w.figure(want.eye.word(), "to_order.centre_mm");
                let (x, y) = vertex.xy(want.eye);
                let (at, surfacing) = (Point::new(x, y), surfacing(&making, self.curve_1530_d));
                let centre = lens::centre_for_thinnest_edge(w, &surfacing, at, &want.rules.block, &want.cut, edge)?;
                (OrderThickness::CentreForEdge { centre, edge }, figured(centre)?)
            }
        };
        let cover = lens::coverage(&held, &want.cut, &walls, Point::ORIGIN, Mm::ZERO, want.rules.blank_allowance);
        Ok(Made {
            thickness,
            thinnest,
            greatest: greatest(&held, want).max(thickness.centre()),
            reach: cover.greatest_distance,
        })
    }
}

/// Greatest thickness along the lens axis at both ends of the wall.
fn greatest(held: &Cutting, want: &Wanted<'_>) -> Mm {
    let outline = want.cut.outline();
    let along = (0..DIRECTIONS).flat_map(|i| {
        let place = outline.point(outline.towards(Angle::from_deg(360.0 / f64::from(DIRECTIONS) * f64::from(i))));
        [held.front_depth(place), held.back_depth(place)].into_iter().flatten().filter_map(move |depth| {
            let [x, y, _] = held.to_lens([place.x, place.y, depth]);
            held.lens().thickness_along_axis(x, y)
        })
    });
    Mm::new(along.fold(0.0, f64::max))
}

/// The thinnest edge to be left: what the order wants, else what mounting and material do.
fn least_edge(want: &Wanted<'_>) -> Mm {
    let of_material = match want.order.lens.edge {
        EdgeKind::Bevel => want.material.least_edge_bevelled,
        EdgeKind::Groove => want.material.least_edge_grooved,
        EdgeKind::Flat => want.material.least_edge_drilled,
    };
    let asked = edge_ask(want.order, want.rules, want.material.least_edge_drilled);
    want.order.lens.least_edge[want.eye].unwrap_or_else(|| asked.max(of_material.unwrap_or(asked)))
}

/// What to settle with the supplier before such a lens is ordered.
fn cautions(want: &Wanted<'_>, form: LensForm, ground: InUp, made: &Made) -> Vec<String> {
    let mut said = Vec::new();
    let diameter = made.least_diameter(want).mm();
    if diameter > LARGEST_MM {
        said.push(format!(
            "no blank is that large ({} mm is): choose a smaller frame, or one whose boxed centres stand nearer to the eyes",
            fixed(LARGEST_MM, 0)
        ));
    }
    let prism = as_prism(want.eye, ground).amount().cm_per_m();
    if prism > PRISM_ASK_CM_PER_M {
        said.push(format!(
            "ask whether {} prism dioptres can be ground into one lens; sharing it between the eyes, or a press-on prism, is the prescriber's to decide",
            mm2(prism)
        ));
    }
    if made.greatest.mm() > THICK_ASK_MM {
        said.push(format!(
            "it would be {} mm thick: ask whether that can be made; a smaller frame, a higher index or a lenticular helps",
            mm1(made.greatest.mm())
        ));
    }
    let wanted = least_edge(want);
    if made.thinnest < wanted - Mm::new(0.005) {
        said.push(format!(
            "the centre ordered leaves an edge of {} mm, where {} are wanted: order a thicker centre, or answer for the edge",
            mm2(made.thinnest.mm()),
            mm2(wanted.mm())
        ));
    }
    if form == LensForm::Aspheric {
        said.push("aspheric as its fellow; its thickness is figured with spherical surfaces".to_owned());
    }
    said
}

fn cannot(why: NoLens) -> CannotOrder {
    let what = match why {
        NoLens::NotSettled { .. } => "no centre is thick enough for this power in this shape",
        _ => "the curve that this power takes ends inside this shape",
    };
    let mend = format!(
        "{what}: choose a smaller frame, a flatter front (front_curve_d) or a higher index, or ask for a lenticular"
    );
    CannotOrder { why, mend }
}

/// Rows of the shelf with one surface done that could be surfaced to it, the nearest curve first, then the smallest.
///
/// Each is tried with its own front curve and index: material, kind, eye, form, what lies in the material, curve within
/// the rules' match, diameter with its middle on the vertex, and its stated centre against the greatest thickness along
/// the axis. Treatments that are put on after surfacing are not looked for.
fn semi_finished(
    want: &Wanted<'_>,
    (form, curve, treatments): (LensForm, &CurveWanted, Treatments),
    place: (Place, InUp),
    bench: &Bench<'_>,
    shelf: &Shelf,
) -> Vec<SemiFinished> {
    let mut serve: Vec<(usize, SemiFinished)> = Vec::new();
    for row in shelf.semi_finished() {
        let blank = shelf.row(row);
        let left = bench.left.map_or(blank.quantity, |left| left[row]);
        let belongs = blank.material == want.order.lens.material
            && blank.kind == want.order.lens.kind
            && left > 0
            && blank.eye.is_none_or(|eye| eye == want.eye)
            && blank.for_order.as_ref().is_none_or(|number| *number == want.order.number)
            && (blank.form == LensForm::Aspheric) == (form == LensForm::Aspheric);
        let unwanted = blank.treatments.without(treatments).without(Treatments::UNNOTICED);
        let lacks = treatments.without(blank.treatments);
        if !belongs || !unwanted.is_empty() || lacks.without(IN_THE_MATERIAL) != lacks {
            continue;
        }
        let (Some(front), Some(centre)) = (blank.front_curve.map(on_1530), blank.centre) else { continue };
        let off = front - curve.curve_1530;
        if off.dioptres().abs() > want.rules.placement.curve_match_d + 1e-9 {
            continue;
        }
        let index = crate::assumed::index(blank, want.material);
        let lens = Ordered { blank, curve_1530_d: front.dioptres(), index };
        let Ok(made) = lens.made(&mut Working::off(), want, place) else { continue };
        let usable = blank.nominal / 2.0 - blank.unusable_rim();
        let margin = usable - want.rules.blank_allowance - made.reach;
        let spare = centre - made.greatest;
        if margin >= Mm::ZERO && spare >= Mm::ZERO {
            let blank = Arc::clone(blank);
            serve.push((row, SemiFinished { blank, margin, curve_off: off, spare }));
        }
    }
    serve.sort_by(|(r, a), (s, b)| {
        let off = |one: &SemiFinished| one.curve_off.dioptres().abs();
        off(a).total_cmp(&off(b)).then(a.margin.mm().total_cmp(&b.margin.mm())).then(r.cmp(s))
    });
    serve.into_iter().map(|(_, one)| one).collect()
}

impl OrderThickness {
    /// Centre thickness to ask for.
    #[must_use]
    pub const fn centre(self) -> Mm {
        match self {
            Self::Centre(centre) | Self::CentreForEdge { centre, .. } => centre,
        }
    }
}

impl ToOrder {
    /// Centre thickness as it is asked for: hundredths of a millimetre, never less than figured.
    #[must_use]
    pub fn centre_asked(&self) -> Mm {
        Mm::new((self.thickness.centre().mm() * 100.0 - 1e-6).ceil() / 100.0)
    }

    /// Diameter as it is asked for: whole millimetres, never less than figured.
    #[must_use]
    pub fn diameter_asked(&self) -> Mm {
        Mm::new((self.least_diameter.mm() - 1e-6).ceil())
    }

    /// The blank that a supplier would send for it: whole millimetres across, hundredths thick, never less than asked.
    pub(crate) fn as_blank(&self, order: &job::Order, eye_plan: &EyePlan, sku: String) -> Blank {
        let ground = self.prism != InUp::default();
        let matched = self.front_curve.from != CurveFrom::Usual;
        let curve_d = self.front_curve.curve_1530.dioptres();
        Blank {
            sku,
            series: self.series.clone(),
            form: self.form,
            treatments: self.treatments,
            prism: Some(self.prism),
            // Prism and cylinder are ground to one another: such a lens may not be turned.
            fixed_axis: self.ordered.cylinder().map(|(_, axis)| axis).filter(|_| ground),
            eye: ground.then_some(eye_plan.eye),
            nominal: self.diameter_asked(),
            centre: Some(self.centre_asked()),
            front_curve: matched.then_some(FrontCurve { curve_d, index: TOOLING_INDEX }),
            quantity: 1,
            ..usual_blank(order, eye_plan.power)
        }
    }
}

/// A blank as suppliers make it, of which nothing is known but the power.
fn usual_blank(order: &job::Order, power: optics::OrderedPower) -> Blank {
    Blank {
        sku: String::new(),
        material: order.lens.material.clone(),
        series: None,
        lot: None,
        kind: order.lens.kind,
        form: LensForm::Spheric,
        power,
        fixed_axis: None,
        add: None,
        prism: None,
        eye: None,
        nominal: Mm::new(70.0),
        usable: None,
        middle_in: Mm::ZERO,
        middle_up: Mm::ZERO,
        centre: None,
        check: None,
        front_curve: None,
        index: None,
        index_line: IndexLine::D,
        treatments: order.lens.treatments,
        polarised_deg: None,
        for_order: None,
        received: None,
        quantity: 0,
        unit_cost: None,
        place: None,
        state: BlankState::Finished,
        torus: TorusSide::Back,
        front_conic: None,
        back_conic: None,
    }
}

/// The finding that no blank serves: what comes nearest, and what to order.
pub(crate) fn no_blank(
    want: &Wanted<'_>,
    shelf: &Shelf,
    eye_plan: &EyePlan,
    asked: &Result<ToOrder, CannotOrder>,
) -> Finding {
    let nearest = eye_plan.near_misses.first();
    let mut sentence = match nearest {
        Some(miss) => format!(
            "no blank on the shelf makes this lens; nearest is {}: {}",
            miss.blank.sku,
            miss.reason.sentence(miss.by)
        ),
        None => "no blank on the shelf comes near this lens".to_owned(),
    };
    let mut mend = match asked {
        Ok(asked) => order_words(want, asked),
        Err(no) => {
            sentence.push_str(&format!("; nor can it be ordered: {}", no.why));
            no.mend.clone()
        }
    };
    if let Some(rescue) =
        nearest.filter(|m| m.reason == Reason::TooSmall).and_then(|m| rescue_words(want, shelf, &m.blank))
    {
        sentence.push_str(&rescue.0);
        mend.push_str(&rescue.1);
    }
    let value = nearest.map_or_else(|| "none".to_owned(), |m| format!("{} {}", m.reason.word(), mm2(m.by)));
    Finding::new(&kinds::NO_BLANK, "blank.sku", value).of(want.eye).weighs(10.0).says(sentence, mend)
}

/// What to order, in a sentence's end.
fn order_words(want: &Wanted<'_>, asked: &ToOrder) -> String {
    let cylinder = asked.cylinder.map_or(String::new(), |(c, axis)| format!(" {c} x {axis}"));
    let prism = as_prism(want.eye, asked.prism).amount().cm_per_m();
    let ground = if prism > 0.0 { format!(" with {} prism dioptres ground", mm2(prism)) } else { String::new() };
    let thickness = match asked.thickness {
        OrderThickness::Centre(c) => format!("centre {} mm", mm2(c.mm())),
        OrderThickness::CentreForEdge { centre, edge } => {
            format!("centre {} mm for an edge of {} mm", mm2(centre.mm()), mm2(edge.mm()))
        }
    };
    let mut words = format!(
        "order {}{cylinder}{ground} in {}, {} mm or more, {thickness}, front {} on 1.530",
        asked.sphere,
        want.material.id,
        mm1(asked.least_diameter.mm()),
        signed2(asked.front_curve.curve_1530.dioptres())
    );
    for caution in &asked.cautions {
        words.push_str(&format!("; {caution}"));
    }
    if let Some(semi) = asked.semi_finished.first() {
        words.push_str(&format!("; or have {} surfaced", semi.blank.sku));
    }
    words
}

/// Where the nearest blank is short; and what a shift would save and cost, where one is worth a thought.
fn rescue_words(want: &Wanted<'_>, shelf: &Shelf, blank: &Arc<Blank>) -> Option<(String, String)> {
    let row = shelf.of_sku(&blank.sku).next()?;
    let fit = crate::candidate::try_blank(want, row, blank, 1, true).ok()?;
    let cover = crate::figures::coverage(want, &fit)?;
    let rescue = cover
        .rescue
        .filter(|rescue| hypot(rescue.shift.inwards.mm(), rescue.shift.up.mm()) <= FARTHEST_RESCUE_MM)
        .map_or(String::new(), |rescue| {
            format!(
                "; or move its optical centre {}, which costs {} prism dioptres in and {} up",
                crate::placing::place_words(rescue.shift),
                signed2(rescue.prism.base_in.cm_per_m()),
                signed2(rescue.prism.base_up.cm_per_m())
            )
        });
    Some((format!(" (at {})", at(cover.tightest_deg)), rescue))
}
