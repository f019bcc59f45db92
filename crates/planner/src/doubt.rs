//! Doubt carried through: how far each stated error of an input moves each figure, and the one input that is worth
//! measuring again.
//!
//! Every end of a doubt is the lens made again with that input, not a slope times an error. Extremes of the edge are
//! looked for from 24 directions and those of the plan, and closed in on; mass is that of the plan with the integral
//! of the change of thickness added.

use job::blank::CheckThickness;
use job::rules::Rules;
use job::{Blank, EdgeKind, Eye, FarPd, LensUse, Mounting, Order, PerEye, Uncut};
use lens::{Cutting, HalfExponent, Wall};
use optics::PowerMatrix;
use outline::Point;
use units::maths::{abs, cos_deg};
use units::{Angle, Mm, Working};

use crate::candidate::{Making, as_prism, lens_of, middle_in_lens};
use crate::pair::pd_doubt;
use crate::placing::prism_at;
use crate::plan::{Bench, EyePlan, LensPlan, PairPlan, Place, Spread, WorthMeasuring};
use crate::said::{mm1, mm2};

/// The words of the inputs.
pub(crate) const PD: &str = "pd";
pub(crate) const CENTRE: &str = "centre";
pub(crate) const FRONT_CURVE: &str = "front-curve";
pub(crate) const TRACE: &str = "trace";
/// Inputs that the shelf leaves open keep the name of the figure that was assumed.
const ASSUMED_CENTRE: &str = "blank.centre_mm";
const ASSUMED_CURVE: &str = "blank.front_curve_1530_d";

const THINNEST: &str = "edge.thinnest_mm";
const THICKEST: &str = "edge.thickest_mm";
const MASS: &str = "mass_g";
const MARGIN: &str = "coverage.margin_mm";
const AT_REFERENCE: &str = "thickness.reference_point_mm";
const CENTRE_IN: &str = "optical_centre.in_mm";
const RESIDUAL_IN: &str = "prism.residual.base_in_cm_per_m";
const HORIZONTAL: &str = "pair.horizontal_imbalance_cm_per_m";
/// The figures of a lens that an input can move.
const FIGURES: [&str; 5] = [THINNEST, THICKEST, MASS, MARGIN, AT_REFERENCE];

/// A figure that moves by less than this, in its own unit, has not moved: no instrument of a bench reads it.
const NOT_MOVED: f64 = 0.001;
/// A centre below which there is no lens to speak of, mm.
const LEAST_CENTRE_MM: f64 = 0.1;
/// Directions from which the edge and the farthest point are looked for.
const DIRECTIONS: usize = 24;
/// Steps with which an extreme is closed in on, radians, each a parabola through three places.
const CLOSING_IN: [f64; 2] = [0.13, 0.03];
/// Places along a ray, as shares of it, at which the mass's change is integrated: Gauss-Legendre with two places over the
/// square of the share, exact for changes that go with its powers 2, 4 and 6. Square roots of (1 -+ 1/sqrt 3)/2.
const ALONG: [f64; 2] = [0.459_700_843_380_983_1, 0.888_073_833_977_115_3];

/// Adds to every lens how far its figures move with what is stated about its inputs.
pub(crate) fn carry(order: &Order, bench: &Bench<'_>, eyes: &mut PerEye<Option<EyePlan>>) {
    let pd = pd_doubt(order, bench.rules);
    for eye in Eye::BOTH {
        let Some(eye_plan) = &mut eyes[eye] else { continue };
        let Some(lens) = &eye_plan.lens else { continue };
        let spread = of_lens(order, bench, pd, eye_plan, lens);
        if let Some(lens) = &mut eye_plan.lens {
            lens.spread.extend(spread);
        }
    }
}

fn of_lens(order: &Order, bench: &Bench<'_>, pd: Option<Mm>, eye_plan: &EyePlan, lens: &LensPlan) -> Vec<Spread> {
    let Some(again) = Again::new(bench.rules, eye_plan, lens) else { return Vec::new() };
    let (curve, centre, vertex) = (lens.front_curve_1530.dioptres(), lens.thickness.vertex.mm(), again.vertex);
    let mut spread = Vec::new();
    if let Some(moves) = pd.and_then(|pd| pupil_moves(order, eye_plan, pd)) {
        let shifted = moves.map(|by| Place { inwards: vertex.inwards + by, up: vertex.up });
        again.over(&mut spread, PD, moves.map(|by| (curve, centre, by)));
        push(&mut spread, CENTRE_IN, PD, vertex.inwards.mm(), shifted.map(|p| Some(p.inwards.mm())));
        // The pair made as planned, before the pupil where it then is.
        let power = PowerMatrix::of(&mut Working::off(), lens.power.computed());
        let residual = moves.map(|by| {
            let pupil = Place { inwards: again.reference.inwards + by, up: again.reference.up };
            let made = (vertex, eye_plan.prism.ground);
            let prism = prism_at(&mut Working::off(), eye_plan.eye, power, pupil, made, eye_plan.prism.ordered);
            Some(prism.residual.base_in.cm_per_m())
        });
        push(&mut spread, RESIDUAL_IN, PD, eye_plan.prism.residual.base_in.cm_per_m(), residual);
    }
    let known = |figure: &str| lens.assumed.iter().all(|a| a.figure != figure);
    let off = centre_doubt(bench.rules, bench.uncut[eye_plan.eye].as_ref()).mm();
    if known(ASSUMED_CENTRE) && off > 0.0 {
        let ends = [(centre - off).max(LEAST_CENTRE_MM), centre + off];
        again.over(&mut spread, CENTRE, ends.map(|centre| (curve, centre, Mm::ZERO)));
    }
    let off = curve_doubt(bench.rules, bench.uncut[eye_plan.eye].as_ref());
    if known(ASSUMED_CURVE) && off > 0.0 {
        again.over(&mut spread, FRONT_CURVE, [curve - off, curve + off].map(|curve| (curve, centre, Mm::ZERO)));
    }
    if eye_plan.shape.noise > Mm::ZERO {
        again.over_trace(&mut spread, eye_plan.shape.noise.mm());
    }
    spread
}

/// How far a centre thickness may be off that a label or a caliper states.
fn centre_doubt(rules: &Rules, uncut: Option<&Uncut>) -> Mm {
    if uncut.is_some_and(|u| u.centre.is_some()) { rules.doubt.read_centre } else { rules.doubt.label_centre }
}

/// How far a front curve may be off that a label or a lens measure states, D on 1.530.
fn curve_doubt(rules: &Rules, uncut: Option<&Uncut>) -> f64 {
    if uncut.is_some_and(|u| u.front_curve_1530_d.is_some()) {
        rules.doubt.read_curve_d
    } else {
        rules.doubt.label_curve_d
    }
}

/// How far the point before the pupil lies further in at the low and at the high end of the pupillary distance.
fn pupil_moves(order: &Order, eye_plan: &EyePlan, doubt: Mm) -> Option<[Mm; 2]> {
    let used = eye_plan.pd?;
    let far = match order.wearer.far_pd {
        Some(FarPd::Monocular(pd)) => pd[eye_plan.eye],
        Some(FarPd::Binocular(pd)) => Some(pd / 2.0),
        Some(FarPd::BoxedCentres) | None => None,
    };
    // A near distance that is figured from the far one is off in proportion.
    let share = match far {
        Some(far) if order.lens.purpose != LensUse::Distance && order.wearer.near_pd[eye_plan.eye].is_none() => {
            used / far
        }
        _ => 1.0,
    };
    let along = cos_deg(order.frame.face_form_deg.unwrap_or(0.0));
    let by = doubt / 2.0 * (share / along);
    Some([by, by * -1.0])
}

/// Keeps the two ends of a figure, the planned one among them; nothing where it does not move.
fn push(spread: &mut Vec<Spread>, figure: &'static str, cause: &str, planned: f64, ends: [Option<f64>; 2]) {
    let among = |pick: fn(f64, f64) -> f64| ends.iter().flatten().fold(planned, |a, &b| pick(a, b));
    let (low, high) = (among(f64::min), among(f64::max));
    if high - low > NOT_MOVED {
        spread.push(Spread { figure, low, high, cause: cause.to_owned() });
    }
}

/// What a planned lens was made to.
pub(crate) fn making<'a>(eye_plan: &EyePlan, lens: &'a LensPlan) -> Making<'a> {
    Making {
        blank: &lens.blank,
        turn_deg: lens.turn_deg,
        power: lens.power,
        index: lens.index,
        ground: as_prism(eye_plan.eye, eye_plan.prism.ground),
        half: HalfExponent::Two,
    }
}

/// The blank of a planned lens with another centre: a thickness stated away from its middle goes with it.
pub(crate) fn with_centre(blank: &Blank, by: Mm) -> Blank {
    let mut blank = blank.clone();
    blank.centre = blank.centre.map(|centre| centre + by);
    blank.check = blank.check.map(|check| CheckThickness { thickness: check.thickness + by, ..check });
    blank
}

/// A planned lens, ready to be made again with another curve, centre or place.
struct Again<'a> {
    rules: &'a Rules,
    eye: Eye,
    lens: &'a LensPlan,
    making: Making<'a>,
    vertex: Place,
    reference: Place,
    /// Where the extremes of the edge and the farthest point are looked for first, radians, with the outline there.
    rim: Vec<(f64, Point)>,
    inside: Inside,
}

/// Places inside a planned lens at which a change of its volume is integrated, each with its share of the area, mm2, and
/// the planned thickness, mm.
pub(crate) struct Inside(Vec<(Point, f64, f64)>);

impl Inside {
    pub(crate) fn of(eye_plan: &EyePlan, lens: &LensPlan) -> Option<Self> {
        let outline = lens.cut.outline();
        let rim = (0..DIRECTIONS).map(|i| outline.point(outline.towards(Angle::from_deg(even_deg(i)))));
        Self::within(rim, eye_plan, lens)
    }

    fn within(rim: impl Iterator<Item = Point>, eye_plan: &EyePlan, lens: &LensPlan) -> Option<Self> {
        let mut inside = Vec::with_capacity(DIRECTIONS * ALONG.len());
        for rim in rim {
            for along in ALONG {
                let at = Point::new(rim.x * along, rim.y * along);
                let share = rim.x * rim.x + rim.y * rim.y;
                inside.push((at, share, lens.cutting.wall(at)?.thickness().mm()));
            }
        }
        let area = match eye_plan.size_offset {
            None => eye_plan.shape.area_mm2,
            Some(_) => lens.cut.outline().area(),
        };
        let shares: f64 = inside.iter().map(|i| i.1).sum();
        for (_, share, _) in &mut inside {
            *share *= area / shares;
        }
        Some(Self(inside))
    }

    /// How much more volume a lens has than the planned one; none where a surface ends.
    pub(crate) fn added_mm3(&self, held: &Cutting) -> Option<f64> {
        let mut added = 0.0;
        for &(at, share, before) in &self.0 {
            added += share * (held.wall(at)?.thickness().mm() - before);
        }
        Some(added)
    }
}

/// The directions in which a lens is looked at, evenly spread.
fn even_deg(i: usize) -> f64 {
    360.0 / DIRECTIONS as f64 * i as f64
}

impl<'a> Again<'a> {
    fn new(rules: &'a Rules, eye_plan: &'a EyePlan, lens: &'a LensPlan) -> Option<Self> {
        let eye = eye_plan.eye;
        let making = making(eye_plan, lens);
        let outline = lens.cut.outline();
        let even = (0..DIRECTIONS).map(even_deg);
        let planned = [lens.edge.thinnest_deg, lens.edge.thickest_deg, lens.coverage.tightest_deg];
        let rim: Vec<(f64, Point)> = even
            .chain(planned)
            .map(|deg| {
                let t = outline.towards(Angle::from_deg(deg));
                (t, outline.point(t))
            })
            .collect();
        let inside = Inside::within(rim[..DIRECTIONS].iter().map(|&(_, at)| at), eye_plan, lens)?;
        Some(Self {
            rules,
            eye,
            lens,
            making,
            vertex: eye_plan.vertex?,
            reference: eye_plan.reference_point?,
            rim,
            inside,
        })
    }

    /// Keeps what the figures become at both ends of an input: front curve on 1.530, centre, and how far further in
    /// vertex and reference point lie.
    fn over(&self, spread: &mut Vec<Spread>, cause: &str, ends: [(f64, f64, Mm); 2]) {
        let ends = ends.map(|(curve, centre, by)| self.figures(curve, centre, by));
        for (i, (figure, planned)) in FIGURES.into_iter().zip(self.planned()).enumerate() {
            push(spread, figure, cause, planned, ends.map(|end| end.map(|end| end[i])));
        }
    }

    /// In the order of [`FIGURES`].
    fn planned(&self) -> [f64; 5] {
        let LensPlan { edge, mass_g, coverage, thickness, .. } = self.lens;
        [edge.thinnest.mm(), edge.thickest.mm(), *mass_g, coverage.margin.mm(), thickness.reference_point.mm()]
    }

    /// The figures of the lens made again; none where there is no such lens.
    fn figures(&self, curve_1530_d: f64, centre_mm: f64, inwards: Mm) -> Option<[f64; 5]> {
        let moved = |place: Place| {
            let (x, y) = Place { inwards: place.inwards + inwards, up: place.up }.xy(self.eye);
            Point::new(x, y)
        };
        let thicker = Mm::new(centre_mm) - self.lens.thickness.vertex;
        let moved_check;
        let making = if thicker == Mm::ZERO || self.making.correction().is_none() {
            self.making
        } else {
            moved_check = with_centre(&self.lens.blank, thicker);
            Making { blank: &moved_check, ..self.making }
        };
        let lens = lens_of(&mut Working::off(), &making, curve_1530_d, centre_mm).ok()?;
        let held = Cutting::new(lens, moved(self.vertex), &self.rules.block).ok()?;
        let walls: Vec<Wall> = self.rim.iter().map(|&(_, at)| held.wall(at)).collect::<Option<_>>()?;
        let edge = |sign: f64| {
            let of = |wall: Wall| sign * wall.thickness().mm();
            Some(sign * self.most(walls.iter().map(|&w| of(w)), |at| Some(of(held.wall(at)?)))?)
        };
        let added = self.inside.added_mm3(&held)?;
        Some([
            edge(-1.0)?,
            edge(1.0)?,
            self.lens.mass_g + added * self.lens.density_g_cm3 / 1000.0,
            self.margin(&held, &walls)?,
            held.wall(moved(self.reference))?.thickness().mm(),
        ])
    }

    /// The greatest value round the outline, from its values at the rim's directions: the one from which a parabola through
    /// it and its neighbours promises most is closed in on.
    fn most(&self, values: impl Iterator<Item = f64>, of: impl Fn(Point) -> Option<f64>) -> Option<f64> {
        let values: Vec<f64> = values.collect();
        let mut best: Option<(f64, usize)> = None;
        for (i, &value) in values.iter().enumerate() {
            let promised = if i < DIRECTIONS {
                let (before, after) = (values[(i + DIRECTIONS - 1) % DIRECTIONS], values[(i + 1) % DIRECTIONS]);
                let bend = before - 2.0 * value + after;
                let peak = value - (before - after) * (before - after) / (8.0 * bend);
                if bend < 0.0 && value >= before && value >= after { peak } else { value }
            } else {
                value
            };
            if best.is_none_or(|(most, _)| promised > most) {
                best = Some((promised, i));
            }
        }
        let (_, start) = best?;
        let (mut t, mut most) = (self.rim[start].0, values[start]);
        let at = |t: f64| of(self.lens.cut.outline().point(t));
        for step in CLOSING_IN {
            let (before, after) = (at(t - step)?, at(t + step)?);
            let bend = before - 2.0 * most + after;
            let peak = if bend < 0.0 { (0.5 * step * (before - after) / bend).clamp(-step, step) } else { 0.0 };
            for (t_new, value) in [(t - step, before), (t + step, after), (t + peak, at(t + peak)?)] {
                if value > most {
                    (t, most) = (t_new, value);
                }
            }
        }
        Some(most)
    }

    fn margin(&self, held: &Cutting, walls: &[Wall]) -> Option<f64> {
        let middle = middle_in_lens(self.eye, &self.lens.blank, self.lens.turn_deg);
        let ends: &[bool] = if held.along_lens_axis() { &[false] } else { &[false, true] };
        let mut square = 0.0_f64;
        for &at_back in ends {
            let away = |at: Point, wall: Wall| {
                let depth = if at_back { wall.back_depth } else { wall.front_depth };
                let [x, y, _] = held.to_lens([at.x, at.y, depth.mm()]);
                (x - middle.x) * (x - middle.x) + (y - middle.y) * (y - middle.y)
            };
            let values = self.rim.iter().zip(walls).map(|(&(_, at), &wall)| away(at, wall));
            square = square.max(self.most(values, |at| Some(away(at, held.wall(at)?)))?);
        }
        let cover = &self.lens.coverage;
        Some((cover.usable_radius - cover.allowance).mm() - units::maths::sqrt(square))
    }

    /// Keeps what the figures become where every radius of the trace is too short or too long by its noise.
    fn over_trace(&self, spread: &mut Vec<Spread>, noise: f64) {
        let LensPlan { cut, cutting, edge, coverage, density_g_cm3, .. } = self.lens;
        let grown = |deg: f64, by: f64| {
            let p = cut.outline().point(cut.outline().towards(Angle::from_deg(deg)));
            let share = 1.0 + by / units::maths::sqrt(p.x * p.x + p.y * p.y);
            Point::new(p.x * share, p.y * share)
        };
        let middle = middle_in_lens(self.eye, &self.lens.blank, self.lens.turn_deg);
        let ends = [-noise, noise].map(|by| {
            let thickness = |deg: f64| Some(cutting.wall(grown(deg, by))?.thickness().mm());
            let tightest = grown(coverage.tightest_deg, by);
            let wall = cutting.wall(tightest)?;
            let reach = [wall.front_depth, wall.back_depth].map(|depth| {
                let [x, y, _] = cutting.to_lens([tightest.x, tightest.y, depth.mm()]);
                units::maths::hypot(x - middle.x, y - middle.y)
            });
            let reach = if cutting.along_lens_axis() { reach[0] } else { reach[0].max(reach[1]) };
            // A ring as wide as the noise, with the square edge for a height.
            let ring: f64 = self.rim[..DIRECTIONS]
                .iter()
                .map(|&(_, p)| {
                    let r = units::maths::sqrt(p.x * p.x + p.y * p.y);
                    Some(cutting.wall(p)?.thickness().mm() * (r * by + 0.5 * by * by))
                })
                .sum::<Option<f64>>()?;
            let added = ring * core::f64::consts::TAU / DIRECTIONS as f64;
            let margin = (coverage.usable_radius - coverage.allowance).mm() - reach;
            let mass = self.lens.mass_g + added * density_g_cm3 / 1000.0;
            Some([thickness(edge.thinnest_deg)?, thickness(edge.thickest_deg)?, mass, margin])
        });
        for (i, (figure, planned)) in FIGURES.into_iter().zip(self.planned()).take(4).enumerate() {
            push(spread, figure, TRACE, planned, ends.map(|end| end.map(|end| end[i])));
        }
    }
}

/// How far the horizontal prism of the pair moves with the pupillary distance: the ends of both eyes together.
pub(crate) fn of_pair(right: &LensPlan, left: &LensPlan) -> Option<Spread> {
    let of = |lens: &LensPlan| lens.spread.iter().find(|s| s.figure == RESIDUAL_IN && s.cause == PD).cloned();
    let (right, left) = (of(right), of(left));
    if right.is_none() && left.is_none() {
        return None;
    }
    let sum = |end: fn(&Spread) -> f64| right.as_ref().map_or(0.0, end) + left.as_ref().map_or(0.0, end);
    Some(Spread { figure: HORIZONTAL, low: sum(|s| s.low), high: sum(|s| s.high), cause: PD.to_owned() })
}

/// A figure's limit, and what asks for it.
struct Limit {
    figure: &'static str,
    limit: f64,
    asks: &'static str,
}

/// The limits that a figure of a lens may cross, whether crossing stops the work or asks a question.
fn limits(order: &Order, rules: &Rules, eye: Eye, lens: &LensPlan) -> Vec<Limit> {
    let least = &rules.least;
    let thinnest = |limit: Mm, asks| Limit { figure: THINNEST, limit: limit.mm(), asks };
    let mut limits = vec![
        Limit { figure: MARGIN, limit: 0.0, asks: "the blank no longer covers" },
        thinnest(Mm::ZERO, "the edge runs out"),
    ];
    match order.lens.edge {
        EdgeKind::Groove => limits.extend([
            thinnest(least.groove_stop, "a groove cannot be cut"),
            thinnest(least.groove_ask, "a groove asks a question"),
        ]),
        EdgeKind::Bevel => limits.push(thinnest(least.bevel_ask, "a bevel asks a question")),
        EdgeKind::Flat if order.frame.mounting == Mounting::Drilled => {
            let material = rules.material(&lens.blank.material).and_then(|m| m.least_edge_drilled);
            limits.push(thinnest(least.drilled_stop, "it cannot be drilled"));
            limits.extend(material.map(|wanted| thinnest(wanted, "drilling this material asks a question")));
            limits.push(Limit {
                figure: THICKEST,
                limit: least.drilled_most_ask.mm(),
                asks: "the hardware asks a question",
            });
        }
        EdgeKind::Flat => {}
    }
    limits.extend(order.lens.least_edge[eye].map(|wanted| thinnest(wanted, "it is thinner than ordered")));
    limits
}

/// How much of the room to a limit a spread takes up: over 1, the limit lies inside it.
fn share(value: f64, spread: &Spread, limit: f64) -> f64 {
    let (room, moves) =
        if value >= limit { (value - limit, value - spread.low) } else { (limit - value, spread.high - value) };
    if moves <= 0.0 { 0.0 } else { moves / room.max(NOT_MOVED) }
}

/// The one input that is worth measuring again: the one whose doubt takes a figure furthest across a limit. None where no
/// doubt alone takes any figure across one.
pub(crate) fn worth_measuring(
    order: &Order,
    bench: &Bench<'_>,
    eyes: &PerEye<Option<EyePlan>>,
    pair: &PairPlan,
) -> Option<WorthMeasuring> {
    let rules = bench.rules;
    let mut best: Option<(f64, WorthMeasuring)> = None;
    let mut offer = |share: f64, worth: &dyn Fn() -> WorthMeasuring| {
        if share > 1.0 && best.as_ref().is_none_or(|(most, _)| share > *most) {
            best = Some((share, worth()));
        }
    };
    if let (Some(doubt), Some(allowed)) = (pair.pd_doubt, pair.pd_error_allowed) {
        let limit = rules.placement.pd_prism_cm_per_m;
        let prism = limit * (doubt / allowed);
        let planned = pair.horizontal_imbalance.map_or(0.0, units::CmPerM::cm_per_m);
        offer(doubt / allowed, &|| WorthMeasuring {
            input: PD,
            eye: None,
            figure: HORIZONTAL,
            value: planned,
            low: planned - prism,
            high: planned + prism,
            limit,
            why: format!(
                "measured this way it may be off by {} mm: {} prism dioptres between the eyes, where {} are allowed",
                mm1(doubt.mm()),
                mm2(prism),
                mm2(limit)
            ),
        });
    }
    for eye in Eye::BOTH {
        let Some((eye_plan, lens)) = eyes[eye].as_ref().and_then(|e| Some((e, e.lens.as_ref()?))) else { continue };
        for limit in limits(order, rules, eye, lens) {
            let value = match limit.figure {
                THINNEST => lens.edge.thinnest.mm(),
                THICKEST => lens.edge.thickest.mm(),
                _ => lens.coverage.margin.mm(),
            };
            for spread in lens.spread.iter().filter(|s| s.figure == limit.figure) {
                offer(share(value, spread, limit.limit), &|| WorthMeasuring {
                    input: input(&spread.cause),
                    eye: (spread.cause != PD).then_some(eye),
                    figure: limit.figure,
                    value,
                    low: spread.low,
                    high: spread.high,
                    limit: limit.limit,
                    why: why(order, bench, eye_plan, lens, spread, &limit),
                });
            }
        }
    }
    best.map(|(_, worth)| worth)
}

/// The stable word of the input that a spread comes from.
fn input(cause: &str) -> &'static str {
    match cause {
        PD => PD,
        CENTRE | ASSUMED_CENTRE => CENTRE,
        FRONT_CURVE | ASSUMED_CURVE => FRONT_CURVE,
        TRACE => TRACE,
        _ => "check-thickness",
    }
}

fn why(
    order: &Order,
    bench: &Bench<'_>,
    eye_plan: &EyePlan,
    lens: &LensPlan,
    spread: &Spread,
    limit: &Limit,
) -> String {
    let (rules, uncut) = (bench.rules, bench.uncut[eye_plan.eye].as_ref());
    let off = match spread.cause.as_str() {
        PD => {
            format!("measured this way it may be off by {} mm", mm1(pd_doubt(order, rules).unwrap_or_default().mm()))
        }
        CENTRE => format!("as stated it may be off by {} mm", mm2(centre_doubt(rules, uncut).mm())),
        FRONT_CURVE => format!("as stated it may be off by {} D", mm2(curve_doubt(rules, uncut))),
        TRACE => format!("the trace wobbles by {} mm", crate::said::fixed(eye_plan.shape.noise.mm(), 3)),
        cause => lens
            .assumed
            .iter()
            .find(|a| a.figure == cause)
            .map_or_else(|| "it is an interpolation".to_owned(), |a| format!("{} was taken: {}", mm2(a.value), a.why)),
    };
    let figure = match limit.figure {
        THINNEST => "the thinnest edge",
        THICKEST => "the thickest edge",
        _ => "the margin",
    };
    let below = if limit.figure == THICKEST { "over" } else { "under" };
    format!(
        "{off}, so that {figure} is {} to {} mm; {below} {} mm {}",
        mm2(spread.low),
        mm2(spread.high),
        mm2(abs(limit.limit)),
        limit.asks
    )
}
