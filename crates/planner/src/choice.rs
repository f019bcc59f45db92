//! Which blanks, as a pair.
//!
//! Right and left must be of one material, one series and alike treated. Among pairs that serve, in this order: no edge
//! that asks a question, no cover that is only just, for plus the smallest diameter that covers, the front curve that
//! was asked for or that the fellow lens has, front curves and lots that match, no coat that was not ordered, then
//! small diameters, cost, the older stock, the file's own order.

use std::sync::Arc;

use job::rules::Rules;
use job::{EdgeKind, Eye, Finding, FrontCurve, Order, PerEye, Treatments, kinds};
use units::maths::abs;
use units::{Dioptre, Mm};

use crate::candidate::{Fit, Miss, Wanted, curve_off, try_blank};
use crate::pair::curve_difference_justified;
use crate::plan::{Bench, NearMiss, Reason};
use crate::shelf::Shelf;

/// A margin below this is only just enough: common practice, no source.
pub(crate) const TIGHT_MARGIN_MM: f64 = 0.5;
/// Near misses kept for each eye.
const MOST_MISSES: usize = 50;
/// How far in power a blank may be and still be called near, thousandths of a dioptre.
const NEAR_POWER: i32 = 500;

/// The blanks chosen, and what nearly served.
#[derive(Debug, Clone, Default)]
pub(crate) struct Choice {
    pub fits: PerEye<Option<Fit>>,
    pub misses: PerEye<Vec<NearMiss>>,
}

/// Chooses for every eye that is wanted.
pub(crate) fn choose(
    order: &Order,
    bench: &Bench<'_>,
    shelf: &Shelf,
    wanted: &PerEye<Option<Wanted<'_>>>,
    found: &mut Vec<Finding>,
) -> Choice {
    let left = |row: usize| bench.left.map_or_else(|| shelf.row(row).quantity, |left| left[row]);
    let mut fits = PerEye { right: Vec::new(), left: Vec::new() };
    let mut misses = PerEye { right: Vec::new(), left: Vec::new() };
    for &eye in order.eyes.made() {
        let Some(want) = &wanted[eye] else { continue };
        match &order.lens.blank[eye] {
            Some(sku) => named(want, shelf, sku, &left, &mut fits[eye], found),
            None => {
                for row in shelf.exactly(&order.lens.material, order.lens.kind, want.power) {
                    match try_blank(want, row, shelf.row(row), left(row), false) {
                        Ok(fit) => fits[eye].push(fit),
                        Err(miss) => misses[eye].push((row, miss)),
                    }
                }
                further(want, shelf, &mut misses[eye]);
            }
        }
    }
    let mut choice = Choice::default();
    match (fits.right.is_empty(), fits.left.is_empty()) {
        (false, false) => match best_pair(order, bench.rules, &fits, &left) {
            Some((r, l)) => {
                choice.fits = PerEye { right: Some(r), left: Some(l) };
            }
            None => {
                // Each eye has a blank, but no two of them may stand side by side: neither is taken.
                for eye in Eye::BOTH {
                    misses[eye].extend(fits[eye].iter().map(|f| (f.row, (Reason::NoMate, 0.0))));
                }
            }
        },
        _ => {
            for eye in Eye::BOTH {
                choice.fits[eye] = best_single(order, bench.rules, eye, &fits[eye]);
            }
        }
    }
    for eye in Eye::BOTH {
        choice.misses[eye] = nearest(shelf, std::mem::take(&mut misses[eye]));
    }
    choice
}

/// Exactly the blank that the order names; where it will not do at all, a finding says why.
fn named(
    want: &Wanted<'_>,
    shelf: &Shelf,
    sku: &str,
    left: &impl Fn(usize) -> u32,
    fits: &mut Vec<Fit>,
    found: &mut Vec<Finding>,
) {
    let mut why: Option<Miss> = None;
    let mut known = false;
    for row in shelf.of_sku(sku) {
        known = true;
        match try_blank(want, row, shelf.row(row), left(row), true) {
            Ok(fit) => fits.push(fit),
            Err(miss) => why = Some(why.map_or(miss, |w| if miss.0 < w.0 { miss } else { w })),
        }
    }
    if !known {
        found.push(Finding::new(&kinds::UNKNOWN_BLANK, "blank.sku", sku).of(want.eye).weighs(10.0).says(
            format!("there is no blank `{sku}` on this shelf"),
            "check the number on the packet against the shelf",
        ));
    } else if let (Some((reason, by)), true) = (why, fits.is_empty()) {
        let ends = match reason {
            Reason::Surfaces => shelf.of_sku(sku).find_map(|row| crate::candidate::no_lens(want, shelf.row(row))),
            _ => None,
        };
        if let Some(ends) = ends {
            found.push(crate::unfit(sku, want.eye, &ends));
            return;
        }
        found.push(Finding::new(&kinds::BLANK_UNFIT, "blank.sku", sku).of(want.eye).weighs(10.0).says(
            format!("the blank `{sku}` will not do: {}", reason.sentence(by)),
            "leave the choice to the plan, or name another blank",
        ));
    }
}

/// Blanks of nearly the power, and of the power in other materials.
fn further(want: &Wanted<'_>, shelf: &Shelf, misses: &mut Vec<(usize, Miss)>) {
    let lens = &want.order.lens;
    let near = shelf.near(&lens.material, lens.kind, want.power, NEAR_POWER);
    misses.extend(near.map(|(row, apart)| (row, (Reason::Power, f64::from(apart) / 1000.0))));
    misses.extend(shelf.elsewhere(&lens.material, lens.kind, want.power).into_iter().map(|row| {
        let reason = if shelf.row(row).kind == lens.kind { Reason::Material } else { Reason::Kind };
        (row, (reason, 0.0))
    }));
}

/// The nearest misses, nearest first.
fn nearest(shelf: &Shelf, mut misses: Vec<(usize, Miss)>) -> Vec<NearMiss> {
    let order =
        |a: &(usize, Miss), b: &(usize, Miss)| a.1.0.cmp(&b.1.0).then(a.1.1.total_cmp(&b.1.1)).then(a.0.cmp(&b.0));
    if misses.len() > MOST_MISSES {
        misses.select_nth_unstable_by(MOST_MISSES, order);
        misses.truncate(MOST_MISSES);
    }
    misses.sort_unstable_by(order);
    misses.into_iter().map(|(row, (reason, by))| NearMiss { blank: Arc::clone(shelf.row(row)), reason, by }).collect()
}

/// The thinnest edge below which the mounting asks a question.
pub(crate) fn edge_ask(order: &Order, rules: &Rules, want_drilled: Option<Mm>) -> Mm {
    match order.lens.edge {
        EdgeKind::Groove => rules.least.groove_ask,
        EdgeKind::Bevel => rules.least.bevel_ask,
        EdgeKind::Flat => want_drilled.unwrap_or(rules.least.drilled_stop),
    }
}

/// What counts against one lens, before its fellow is looked at.
struct Merits {
    asks: f64,
    tight: f64,
    plus_diameter: f64,
    curve_off: f64,
    extra: f64,
    diameter: f64,
    cost: f64,
    received: f64,
}

fn merits(order: &Order, rules: &Rules, eye: Eye, fit: &Fit) -> Merits {
    let ask = edge_ask(order, rules, rules.material(&order.lens.material).and_then(|m| m.least_edge_drilled));
    let nominal = fit.blank.nominal.mm();
    let plus = fit.blank.power.computed().spherical_equivalent() > Dioptre::ZERO;
    let mate = order.lens.mate.as_ref().and_then(|m| m.front_curve).map_or(0.0, |curve| abs(off_mate(fit, curve)));
    let extra = fit.blank.treatments.without(order.lens.treatments);
    Merits {
        asks: f64::from(u8::from(fit.thinnest < ask)),
        tight: f64::from(u8::from(fit.margin.mm() < TIGHT_MARGIN_MM)),
        plus_diameter: if plus { nominal } else { 0.0 },
        curve_off: curve_off(fit, order.lens.front_curve_d[eye]) + mate,
        extra: f64::from(extra.count()),
        diameter: nominal,
        cost: fit.blank.unit_cost.map_or(0.0, |c| c.minor as f64),
        received: fit
            .blank
            .received
            .map_or(0.0, |d| f64::from(d.year()) * 372.0 + f64::from(d.month()) * 31.0 + f64::from(d.day())),
    }
}

/// Whether two blanks may face the world side by side.
fn alike(right: &Fit, left: &Fit) -> bool {
    let (r, l) = (&right.blank, &left.blank);
    r.series == l.series && r.treatments == l.treatments && r.form == l.form
}

fn best_pair(
    order: &Order,
    rules: &Rules,
    fits: &PerEye<Vec<Fit>>,
    left: &impl Fn(usize) -> u32,
) -> Option<(Fit, Fit)> {
    let both_named = order.lens.blank.right.is_some() && order.lens.blank.left.is_some();
    let each = PerEye::from_fn(|eye| fits[eye].iter().map(|f| merits(order, rules, eye, f)).collect::<Vec<_>>());
    let mut best: Option<([f64; 12], usize, usize)> = None;
    for (i, r) in fits.right.iter().enumerate() {
        for (k, l) in fits.left.iter().enumerate() {
            let enough = r.row != l.row || left(r.row) >= 2;
            if !enough || !(both_named || alike(r, l)) {
                continue;
            }
            let (a, b) = (&each.right[i], &each.left[k]);
            let apart = abs(r.figures.front_curve_1530_d.value - l.figures.front_curve_1530_d.value);
            let justified = curve_difference_justified(r.blank.power, l.blank.power);
            let lots = r.blank.lot.is_some() && l.blank.lot.is_some() && r.blank.lot != l.blank.lot;
            let score = [
                a.asks + b.asks,
                a.tight + b.tight,
                a.plus_diameter + b.plus_diameter,
                a.curve_off + b.curve_off,
                (apart - rules.placement.curve_match_d.max(justified)).max(0.0),
                f64::from(u8::from(lots)),
                (apart - justified).max(0.0),
                a.extra + b.extra,
                a.diameter + b.diameter,
                a.cost + b.cost,
                a.received + b.received,
                (r.row + l.row) as f64,
            ];
            if best.as_ref().is_none_or(|(least, ..)| less(&score, least)) {
                best = Some((score, i, k));
            }
        }
    }
    best.map(|(_, i, k)| (fits.right[i].clone(), fits.left[k].clone()))
}

fn best_single(order: &Order, rules: &Rules, eye: Eye, fits: &[Fit]) -> Option<Fit> {
    let mate_series = order.lens.mate.as_ref().and_then(|m| m.series.as_ref());
    let mut best: Option<([f64; 10], &Fit)> = None;
    for fit in fits {
        let m = merits(order, rules, eye, fit);
        let other_series = mate_series.is_some() && fit.blank.series.as_ref() != mate_series;
        let off_mate =
            order.lens.mate.as_ref().and_then(|m| m.centre).map_or(0.0, |c| abs(fit.figures.centre.value - c.mm()));
        let score = [
            f64::from(u8::from(other_series)),
            m.asks,
            m.tight,
            m.plus_diameter,
            m.curve_off,
            off_mate,
            m.extra,
            m.diameter,
            m.cost,
            m.received,
        ];
        if best.as_ref().is_none_or(|(least, _)| less(&score, least)) {
            best = Some((score, fit));
        }
    }
    best.map(|(_, fit)| fit.clone())
}

/// Lexicographic order; figures nearer than a millionth are equal.
fn less<const N: usize>(one: &[f64; N], other: &[f64; N]) -> bool {
    for (a, b) in one.iter().zip(other) {
        if abs(a - b) > 1e-6 {
            return a < b;
        }
    }
    false
}

/// How much steeper a blank's front is than the fellow lens's, D on 1.530.
pub(crate) fn off_mate(fit: &Fit, mate: FrontCurve) -> f64 {
    let own = Dioptre::new(mate.curve_d);
    let marked = if abs(mate.index - optics::curves::TOOLING_INDEX) < 5e-4 {
        own
    } else {
        optics::curves::marked_curve_of_true(&mut units::Working::off(), own, mate.index)
    };
    fit.figures.front_curve_1530_d.value - marked.dioptres()
}

/// Coats of a blank that the order does not have.
pub(crate) fn extra_treatments(order: &Order, fit: &Fit) -> Treatments {
    fit.blank.treatments.without(order.lens.treatments)
}
