//! What an order may state of the lens itself: centre thickness and front curve.

use units::Mm;

use crate::item::{Code, Item, Value};
use crate::standard::{Rule, Standard};
use crate::{Amount, Wanted};

/// Centre thickness, where one is ordered; too thin counts as too thick does.
pub(crate) fn centre_thickness(wanted: &Wanted, read: Option<Mm>, standard: &Standard) -> Option<Item> {
    let ordered = wanted.centre?;
    let item = Item::new(Code::CentreThickness, wanted, Value::Length(ordered), "mm", standard);
    let read = read.map(|read| (Value::Length(read), Amount::from(read) - Amount::from(ordered)));
    Some(held(item, standard.centre_thickness.as_ref(), read))
}

/// Front curve on 1.530, where one is ordered.
pub(crate) fn base_curve(wanted: &Wanted, read: Option<f64>, standard: &Standard) -> Option<Item> {
    let ordered = wanted.front_curve_1530_d?;
    let item = Item::new(Code::BaseCurve, wanted, Value::Curve(ordered), "D", standard);
    let read = read.map(|read| (Value::Curve(read), Amount::nearest(read) - Amount::nearest(ordered)));
    Some(held(item, standard.base_curve.as_ref(), read))
}

fn held(item: Item, rule: Option<&Rule<Amount>>, read: Option<(Value, Amount)>) -> Item {
    match rule {
        None => item.holds(read),
        Some(rule) => item.by(rule, "").limited(rule.is).holds(read),
    }
}
