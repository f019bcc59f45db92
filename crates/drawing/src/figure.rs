//! How figures are written in drawings: lengths one decimal, thickness two, minus as U+2212, places as "at 092".

use job::Eye;
use job::prescription::InUp;
use planner::{EyePlan, Place};
use units::Power;

/// A number with a true minus sign and never a minus nought.
fn signless(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.to_owned(),
        Some(rest) => format!("\u{2212}{rest}"),
        None => text,
    }
}

/// A length, mm, one decimal.
pub(crate) fn length(mm: f64) -> String {
    signless(format!("{mm:.1}"))
}

/// A length without a needless decimal.
pub(crate) fn short(mm: f64) -> String {
    let text = length(mm);
    text.strip_suffix(".0").map_or(text.clone(), ToOwned::to_owned)
}

/// A thickness or size, mm, two decimals.
pub(crate) fn thickness(mm: f64) -> String {
    signless(format!("{mm:.2}"))
}

/// A curve, D, two decimals and its sign.
pub(crate) fn signed(curve: f64) -> String {
    signless(format!("{curve:+.2}"))
}

/// What the middle dot is.
pub(crate) fn dot(plan: &EyePlan) -> &'static str {
    if plan.has_ground_prism() { "prism reference point" } else { "optical centre" }
}

/// A place round the rim: three digits.
pub(crate) fn at(deg: f64) -> String {
    let whole = deg.round() as i64;
    format!("{:03}", whole.rem_euclid(360))
}

/// An axis, three digits; half a degree shows.
pub(crate) fn axis(deg: f64) -> String {
    if (deg - deg.round()).abs() < 0.25 { format!("{:03}", deg.round() as i64) } else { format!("{deg:05.1}") }
}

/// An ordered power with its sign.
pub(crate) fn power(power: Power) -> String {
    power.to_string().replace('-', "\u{2212}")
}

/// Two amounts, one towards the nose or the temple and one up or down, in words; "none" where both round to nought.
pub(crate) fn in_up(inwards: f64, up: f64, decimals: usize, unit: &str) -> Vec<String> {
    let mut parts = Vec::new();
    for (amount, plus, minus) in [(inwards, "in", "out"), (up, "up", "down")] {
        let text = format!("{:.decimals$}", amount.abs());
        if text.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
            parts.push(format!("{text}{unit} {}", if amount > 0.0 { plus } else { minus }));
        }
    }
    parts
}

/// A prism in words: "1.00 Δ in, 0.50 Δ up"; none where it is none.
pub(crate) fn prism(prism: InUp) -> Option<String> {
    let parts = in_up(prism.base_in.cm_per_m(), prism.base_up.cm_per_m(), 2, " \u{394}");
    if parts.is_empty() { None } else { Some(parts.join(", ")) }
}

/// A place in words: "2.0 in, 1.5 up"; "0.0" where it is the point itself.
pub(crate) fn place(place: Place) -> String {
    let parts = in_up(place.inwards.mm(), place.up.mm(), 1, "");
    if parts.is_empty() { "0.0".to_owned() } else { parts.join(", ") }
}

/// "right eye", "left eye".
pub(crate) fn eye(eye: Eye) -> String {
    format!("{} eye", eye.word())
}

/// With a capital letter.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::{CmPerM, Mm};

    #[test]
    fn figures_read_as_the_trade_writes_them() {
        assert_eq!(length(-1.34), "\u{2212}1.3");
        assert_eq!(length(-0.04), "0.0");
        assert_eq!(at(359.7), "000");
        assert_eq!(at(92.4), "092");
        assert_eq!(axis(7.5), "007.5");
        assert_eq!(axis(180.0), "180");
        let prism_of = |x, y| prism(InUp { base_in: CmPerM::new(x), base_up: CmPerM::new(y) });
        assert_eq!(prism_of(1.0, -0.5).unwrap(), "1.00 \u{394} in, 0.50 \u{394} down");
        assert_eq!(prism_of(0.001, 0.0), None);
        assert_eq!(place(Place { inwards: Mm::new(-2.04), up: Mm::ZERO }), "2.0 out");
    }
}
