//! Power, axis and addition, each on the edition's basis.
//!
//! Both powers are first put in minus-cylinder form, so the form in which a lens was ordered or read does not count.
//! Where only a sphere was read there is no form to change: it is held against the sphere as the order writes it.

use job::Uncut;
use optics::OrderedPower;
use units::{Axis, Power};

use crate::amount::turned;
use crate::item::{Code, Item, Value, Verdict};
use crate::standard::{Bands, Meridians, PowerRule, Rule, SphereBasis, Standard, Sure};
use crate::{Amount, Wanted};

/// Sphere or principal meridians, cylinder, and the axis where a cylinder is ordered.
///
/// `read` is what was read of the lens; of it only the power counts here. A cylinder that was not read leaves cylinder,
/// axis and the meridian across unchecked.
#[must_use]
pub fn powers(wanted: &Wanted, read: &Uncut, standard: &Standard) -> Vec<Item> {
    let both = Both::of(wanted, read);
    let mut items = match standard.power(wanted.kind) {
        Some(PowerRule::SphereAndCylinder { basis, basis_sure, sphere, cylinder }) => vec![
            sphere_item(&both, wanted, *basis, *basis_sure, sphere, standard),
            cylinder_item(&both, wanted, cylinder, standard),
        ],
        Some(PowerRule::Meridians(rule)) => meridian_items(&both, wanted, rule, standard),
        None => [(Code::Sphere, Value::Power(both.wanted.sphere())), (Code::Cylinder, Value::Power(both.cylinder()))]
            .map(|(code, value)| Item::new(code, wanted, value, "D", standard))
            .to_vec(),
    };
    items.extend(axis_item(&both, wanted, standard));
    items
}

/// The addition, where one is ordered.
#[must_use]
pub fn add(wanted: &Wanted, read: Option<Power>, standard: &Standard) -> Option<Item> {
    let ordered = wanted.add?;
    let item = Item::new(Code::Add, wanted, Value::Power(ordered), "D", standard);
    Some(match &standard.add {
        None => item.holds(read.map(|read| compared(ordered, read))),
        Some(rule) => by_bands(item, rule, ordered, read),
    })
}

/// What was wanted and what was read, in one form.
struct Both {
    wanted: OrderedPower,
    /// Power along the axis and across it, as far as they were read.
    meridians: [Option<Power>; 2],
    cylinder: Option<Power>,
    axis: Option<Axis>,
    /// Whether a sphere alone was read.
    sphere_alone: bool,
}

impl Both {
    fn of(wanted: &Wanted, read: &Uncut) -> Self {
        let nothing = Self {
            wanted: wanted.power.minus_form(),
            meridians: [None; 2],
            cylinder: None,
            axis: None,
            sphere_alone: false,
        };
        match read.power {
            None => nothing,
            Some(power) if read.cylinder_read => {
                let power = power.minus_form();
                Self {
                    meridians: power.principal_powers().map(Some),
                    cylinder: Some(power.cylinder().map_or(Power::ZERO, |(cylinder, _)| cylinder)),
                    axis: power.cylinder().map(|(_, axis)| axis),
                    ..nothing
                }
            }
            Some(power) => {
                Self { wanted: wanted.power, meridians: [Some(power.sphere()), None], sphere_alone: true, ..nothing }
            }
        }
    }

    /// The ordered cylinder, zero where there is none.
    fn cylinder(&self) -> Power {
        self.wanted.cylinder().map_or(Power::ZERO, |(cylinder, _)| cylinder)
    }

    /// The place of the stronger meridian as ordered; of a sphere, the one that reads stronger.
    fn stronger(&self) -> usize {
        let [along, across] = self.wanted.principal_powers().map(Power::abs);
        let [read_along, read_across] = self.meridians.map(|m| m.map(Power::abs));
        usize::from(across > along || (across == along && read_across > read_along))
    }

    /// What a sphere is on a basis: wanted and read.
    fn sphere(&self, basis: SphereBasis) -> (Power, Option<Power>) {
        let place = match basis {
            SphereBasis::MinusForm => 0,
            SphereBasis::StrongestMeridian => self.stronger(),
        };
        (self.wanted.principal_powers()[place], self.meridians[place])
    }
}

fn compared(wanted: Power, read: Power) -> (Value, Amount) {
    (Value::Power(read), Amount::from(read) - Amount::from(wanted))
}

/// An item whose limit goes by its own ordered amount.
fn by_bands(item: Item, rule: &Rule<Bands>, ordered: Power, read: Option<Power>) -> Item {
    let read = read.map(|read| compared(ordered, read));
    match rule.is.of(ordered.into()) {
        None => item.by(rule, "no limit for this amount").holds(read),
        Some(band) => {
            item.by(rule, &band.words("D", "D")).limited(band.limit(ordered.into())).holds(read).if_rounded(band.limit)
        }
    }
}

fn sphere_item(
    both: &Both,
    wanted: &Wanted,
    basis: SphereBasis,
    basis_sure: Sure,
    rule: &Rule<Bands>,
    standard: &Standard,
) -> Item {
    let judge = |basis: SphereBasis| {
        let (ordered, read) = both.sphere(basis);
        by_bands(Item::new(Code::Sphere, wanted, Value::Power(ordered), "D", standard), rule, ordered, read)
    };
    let mut item = judge(basis);
    item.sure = item.sure.max(basis_sure);
    if both.sphere_alone {
        item.clause.push_str("; a sphere alone was read, held against the sphere as ordered");
        return item;
    }
    let (other, words) = match basis {
        SphereBasis::MinusForm => {
            (SphereBasis::StrongestMeridian, "on the meridian of highest power, as the 1999 edition has it")
        }
        SphereBasis::StrongestMeridian => {
            (SphereBasis::MinusForm, "on the sphere of the minus-cylinder form, as the 2015 edition has it")
        }
    };
    item.clause = format!(
        "{} ({})",
        item.clause,
        match basis {
            SphereBasis::MinusForm => "sphere of the minus-cylinder form",
            SphereBasis::StrongestMeridian => "meridian of highest power",
        }
    );
    let otherwise = judge(other);
    let (ordered, read) = both.sphere(other);
    item.or_else(otherwise.verdict, || {
        let read = read.map_or_else(|| "nothing".to_owned(), |p| p.to_string());
        let limit = otherwise.limit.unwrap_or_default();
        format!("{words}: {read} D for {ordered} D, limit {limit} D")
    })
}

fn cylinder_item(both: &Both, wanted: &Wanted, rule: &Rule<Bands>, standard: &Standard) -> Item {
    let ordered = both.cylinder();
    let item = Item::new(Code::Cylinder, wanted, Value::Power(ordered), "D", standard);
    by_bands(item, rule, ordered, both.cylinder)
}

fn meridian_items(both: &Both, wanted: &Wanted, rule: &Rule<Meridians>, standard: &Standard) -> Vec<Item> {
    let powers = both.wanted.principal_powers();
    let high = both.stronger();
    let item = |code, ordered: Power, read: Option<Power>, limit: Option<(Amount, Sure)>, clause: &str| {
        let mut item = Item::new(code, wanted, Value::Power(ordered), "D", standard).by(rule, clause);
        if let Some((limit, sure)) = limit {
            item = item.limited(limit);
            item.sure = sure;
        }
        item.holds(read.map(|read| compared(ordered, read)))
    };
    let row = rule.is.row(powers[high]);
    let to = row.and_then(|row| row.to).map_or_else(|| "the last row".to_owned(), |to| format!("the row to {to} D"));
    let clause = format!("principal meridian, {to} of the stronger one");
    let limit = row.map(|row| row.meridian);
    let cylinder = row.and_then(|row| rule.is.cylinder(row, both.cylinder())).copied();
    let clause_of_cylinder = format!("cylinder, {to} of the stronger meridian");
    vec![
        item(Code::MeridianHigh, powers[high], both.meridians[high], limit, &clause),
        item(Code::MeridianLow, powers[1 - high], both.meridians[1 - high], limit, &clause),
        item(Code::Cylinder, both.cylinder(), both.cylinder, cylinder, &clause_of_cylinder),
    ]
}

fn axis_item(both: &Both, wanted: &Wanted, standard: &Standard) -> Option<Item> {
    let (cylinder, axis) = both.wanted.cylinder()?;
    let item = Item::new(Code::Axis, wanted, Value::Axis(axis), "degrees", standard);
    let read = both.axis.map(|read| (Value::Axis(read), turned(axis, read)));
    let limit = |rule: &Rule<Bands>| rule.is.of(cylinder.into()).map(|band| band.limit(cylinder.into()));
    let item = match standard.axis.as_ref().map(|rule| (rule, rule.is.of(cylinder.into()))) {
        None => item.holds(read),
        Some((rule, None)) => item.by(rule, "nothing defined for so low a cylinder").holds(read),
        Some((rule, Some(band))) => {
            item.by(rule, &band.words("D", "degrees")).limited(band.limit(cylinder.into())).holds(read)
        }
    };
    let Some((whose, rule)) = &standard.other_axis else { return Some(item) };
    let (Some(limit), Some((_, error))) = (limit(rule), read) else { return Some(item) };
    Some(item.or_else(Verdict::of(error, limit), || format!("{whose}: limit {limit} degrees")))
}
