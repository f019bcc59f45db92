//! Prism at the reference point of an uncut lens.

use job::prescription::InUp;
use optics::PowerMatrix;
use optics::prism::{Prism, decentration_for};
use units::{Power, Working};

use crate::amount::in_up;
use crate::item::{Code, Item, Value, Verdict};
use crate::standard::{Combine, PrismByPower, PrismOrPlace, ReferencePointRule, Rule, Standard};
use crate::{Amount, Wanted};

/// The prism read at the dot against the ordered one.
///
/// Where the edition also looks at the place of the point, how far off it lies follows from the prism and the ordered
/// power (Prentice's rule by the power matrix), for nobody measures it on an uncut lens. A lens whose power cannot give
/// the prism by a shift has no such place, and the prism alone decides.
pub(crate) fn prp(wanted: &Wanted, read: Option<InUp>, standard: &Standard) -> Item {
    let item = Item::new(Code::Prp, wanted, Value::Prism(wanted.prism), "cm/m", standard);
    match &standard.reference_point {
        None => item.holds(read.map(|prism| (Value::Prism(prism), Off::of(wanted, prism).prism()))),
        Some(ReferencePointRule::PrismOrPlace(rule)) => prism_or_place(item, wanted, read, rule),
        Some(ReferencePointRule::ByPower(rule)) => by_power(item, wanted, read, rule),
    }
}

/// Read less ordered, base in and up.
struct Off {
    inwards: Amount,
    up: Amount,
}

impl Off {
    fn of(wanted: &Wanted, read: InUp) -> Self {
        let ((wanted_in, wanted_up), (read_in, read_up)) = (in_up(wanted.prism), in_up(read));
        Self { inwards: read_in - wanted_in, up: read_up - wanted_up }
    }

    /// In any direction, cm/m.
    fn prism(&self) -> Amount {
        Amount::length(self.inwards, self.up)
    }

    /// How far from the dot the lens shows the ordered prism, mm.
    fn place(&self, wanted: &Wanted) -> Option<Amount> {
        let cm_per_m = |amount: Amount| units::CmPerM::new(amount.value());
        let prism = Prism { x: cm_per_m(self.inwards) * wanted.eye.nasal(), y: cm_per_m(self.up) };
        let mut w = Working::off();
        let power = PowerMatrix::of(&mut w, wanted.power.computed());
        let offset = decentration_for(&mut w, power, prism).ok()?;
        Some(Amount::length(Amount::from(offset.x), Amount::from(offset.y)))
    }
}

fn prism_or_place(item: Item, wanted: &Wanted, read: Option<InUp>, rule: &Rule<PrismOrPlace>) -> Item {
    let PrismOrPlace { prism: prism_limit, place: place_limit, combine, other } = &rule.is;
    let off = read.map(|prism| Off::of(wanted, prism));
    let prism = off.as_ref().map(Off::prism);
    let place = off.as_ref().and_then(|off| off.place(wanted));
    let met = |combine: Combine| {
        let met = |error: Option<Amount>, limit| error.map(|e| Verdict::of(e, limit) == Verdict::Within);
        let (prism, place) = (met(prism, *prism_limit), met(place, *place_limit));
        let met = match combine {
            Combine::Either => prism == Some(true) || place == Some(true),
            Combine::Both => prism == Some(true) && place != Some(false),
        };
        if met { Verdict::Within } else { Verdict::Outside }
    };
    let share = |error: Amount, limit: Amount| error.value() / limit.value();
    // The figure told is the one that decides: the nearer to passing where one will do, else the further.
    let place_decides = prism.zip(place).is_some_and(|(prism, place)| {
        let (prism, place) = (share(prism, *prism_limit), share(place, *place_limit));
        match combine {
            Combine::Either => prism > 1.0 && place < prism,
            Combine::Both => place > prism,
        }
    });
    let words = |combine| if combine == Combine::Either { "or" } else { "and" };
    let clause = format!("prism to {prism_limit} cm/m {} point within {place_limit} mm", words(*combine));
    let value = |error: Option<Amount>| read.map(Value::Prism).zip(error);
    let mut item = item.by(rule, &clause);
    item = if place_decides {
        item.unit = "mm";
        item.limited(*place_limit).holds(value(place))
    } else {
        item.limited(*prism_limit).holds(value(prism))
    };
    let Some((otherwise, whose, same_edition)) = other else { return item };
    let figures = place.map_or_else(String::new, |place| format!(": the point lies {place} mm off"));
    item = item.or_else(met(*otherwise), || format!("{whose}{figures}"));
    if *same_edition && item.other.is_some() {
        item.verdict = Verdict::Marginal;
    }
    item
}

fn by_power(item: Item, wanted: &Wanted, read: Option<InUp>, rule: &Rule<PrismByPower>) -> Item {
    let (ordered_in, ordered_up) = in_up(wanted.prism);
    let strongest = wanted.power.principal_powers().into_iter().map(Power::abs).max().unwrap_or_default();
    let ordered = Amount::length(ordered_in, ordered_up);
    let Some((horizontal, vertical)) = rule.is.limits(ordered, strongest) else {
        return item.by(rule, "no limit for so much prism");
    };
    let off = read.map(|prism| Off::of(wanted, prism));
    // The part that comes nearer to its limit, or goes further over it, decides.
    let upright = off.as_ref().is_some_and(|off| {
        let share = |error: Amount, limit: Amount| error.abs().value() / limit.value();
        share(off.up, vertical) > share(off.inwards, horizontal)
    });
    let clause = format!("{horizontal} cm/m horizontally, {vertical} cm/m vertically for {strongest} D");
    let item = item.by(rule, &clause).limited(if upright { vertical } else { horizontal });
    item.holds(read.zip(off).map(|(prism, off)| (Value::Prism(prism), if upright { off.up } else { off.inwards })))
}
