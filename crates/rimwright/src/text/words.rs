//! Figures as the bench writes them: sign, decimals, in or out, up or down.

use job::prescription::InUp;
use optics::OrderedPower;
use planner::Place;

/// U+2212 for every hyphen that stands for minus.
pub(super) fn minus(text: &str) -> String {
    text.replace('-', "\u{2212}")
}

/// Two decimals with their sign.
pub(super) fn signed(value: f64) -> String {
    // What rounds to nothing has no sign of its own.
    minus(&format!("{:+.2}", (value * 100.0).round() / 100.0 + 0.0))
}

/// Two decimals.
pub(super) fn two(value: f64) -> String {
    minus(&rounded(value, 2))
}

/// One decimal.
pub(super) fn one(value: f64) -> String {
    minus(&rounded(value, 1))
}

fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    // A little less than nothing is nothing.
    match text.strip_prefix('-') {
        Some(amount) if amount.bytes().all(|b| matches!(b, b'0' | b'.')) => amount.to_owned(),
        _ => text,
    }
}

/// `−4.25 −1.00 × 170`; a lens of no power is `plano`.
pub(super) fn power(power: OrderedPower) -> String {
    if power.sphere() == units::Power::ZERO && power.cylinder().is_none() {
        return "plano".to_owned();
    }
    let cylinder = power.cylinder().map_or(String::new(), |(c, axis)| format!(" {c} \u{d7} {axis}"));
    minus(&format!("{}{cylinder}", power.sphere()))
}

/// A direction in three digits.
pub(super) fn at(deg: f64) -> String {
    format!("{:03}", (deg.round() as i64).rem_euclid(360))
}

/// `2.4 in, 3.0 up`.
pub(super) fn place(place: Place) -> String {
    let part = |mm: f64, plus: &str, less: &str| {
        let text = rounded(mm, 1);
        match text.strip_prefix('-') {
            Some(amount) => format!("{amount} {less}"),
            None => format!("{text} {plus}"),
        }
    };
    format!("{}, {}", part(place.inwards.mm(), "in", "out"), part(place.up.mm(), "up", "down"))
}

/// `1.00 Δ in, 0.50 Δ down`; `None` where there is no prism to speak of.
pub(super) fn prism(prism: InUp) -> Option<String> {
    let part = |amount: f64, plus: &str, less: &str| {
        let text = rounded(amount, 2);
        match text.strip_prefix('-') {
            Some(amount) => Some(format!("{amount} \u{394} {less}")),
            None if text == "0.00" => None,
            None => Some(format!("{text} \u{394} {plus}")),
        }
    };
    let parts: Vec<String> =
        [part(prism.base_in.cm_per_m(), "in", "out"), part(prism.base_up.cm_per_m(), "up", "down")]
            .into_iter()
            .flatten()
            .collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// `1 stop`, `2 stops`.
pub(super) fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}

/// A sentence with its capital, and U+2212 before figures.
pub(super) fn sentence(text: &str) -> String {
    let mut sentence = String::with_capacity(text.len());
    let mut letters = text.chars().peekable();
    let mut before = ' ';
    while let Some(letter) = letters.next() {
        let figure_follows = letters.peek().is_some_and(char::is_ascii_digit);
        if letter == '-' && figure_follows && !before.is_alphanumeric() && !matches!(before, '-' | '`' | '_') {
            sentence.push('\u{2212}');
        } else if sentence.is_empty() {
            sentence.extend(letter.to_uppercase());
        } else {
            sentence.push(letter);
        }
        before = letter;
    }
    sentence
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::{CmPerM, Mm};

    #[test]
    fn nothing_is_ever_minus_nothing() {
        assert_eq!(two(-0.001), "0.00");
        assert_eq!(two(-0.006), "\u{2212}0.01");
        assert_eq!(place(Place { inwards: Mm::new(-0.04), up: Mm::new(-2.0) }), "0.0 in, 2.0 down");
    }

    #[test]
    fn directions_wrap() {
        assert_eq!([at(359.6), at(-90.0), at(7.2)], ["000", "270", "007"]);
    }

    #[test]
    fn a_minus_is_not_a_hyphen() {
        assert_eq!(sentence("sphere -4.25 of PC-425 on 2026-03-02"), "Sphere \u{2212}4.25 of PC-425 on 2026-03-02");
        assert_eq!(sentence("`-4.25` against +1.00/-2.00"), "`-4.25` against +1.00/\u{2212}2.00");
    }

    #[test]
    fn prism_speaks_of_its_base() {
        let base = |i, u| InUp { base_in: CmPerM::new(i), base_up: CmPerM::new(u) };
        assert_eq!(prism(base(-1.0, 0.5)).as_deref(), Some("1.00 \u{394} out, 0.50 \u{394} up"));
        assert_eq!(prism(base(0.004, -0.004)), None);
    }
}
