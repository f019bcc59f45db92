//! How wide a text is: the advance widths of the typeface that the drawings are set in.
//!
//! The typeface has neither kerning nor ligatures, so a text is as wide as its letters.

use crate::scene::Weight;
use crate::widths::{CAP_HEIGHT, WIDTHS};

/// The family's name, and what to use where it is not at hand.
pub(crate) const FAMILY: &str = "'Rimwright Condensed','IBM Plex Sans Condensed','Arial Narrow',sans-serif";

/// Height of a figure or capital, as a share of the size.
pub(crate) const CAP: f64 = CAP_HEIGHT as f64 / 1000.0;
/// How far ascenders reach over the base line.
pub(crate) const OVER: f64 = 0.76;
/// How far descenders reach under it.
pub(crate) const UNDER: f64 = 0.2;
/// Width of a letter that the table does not have: wider than most of its script.
const UNKNOWN: u16 = 600;

/// Width of a text as a share of the size.
pub(crate) fn width(words: &str, weight: Weight) -> f64 {
    words.chars().map(|c| f64::from(letter(c, weight))).sum::<f64>() / 1000.0
}

fn letter(c: char, weight: Weight) -> u16 {
    let column = match weight {
        Weight::Regular => 0,
        Weight::Medium => 1,
        Weight::SemiBold => 2,
    };
    WIDTHS.binary_search_by_key(&c, |row| row.0).map_or(UNKNOWN, |i| WIDTHS[i].1[column])
}

/// The text cut to a width, mm at this size, with an ellipsis where it was too long.
pub(crate) fn cut_to(words: &str, weight: Weight, size: f64, most: f64) -> String {
    if width(words, weight) * size <= most {
        return words.to_owned();
    }
    let mut kept = String::new();
    let mut used = width("\u{2026}", weight) * size;
    for c in words.chars() {
        used += f64::from(letter(c, weight)) / 1000.0 * size;
        if used > most {
            break;
        }
        kept.push(c);
    }
    kept.truncate(kept.trim_end().len());
    kept.push('\u{2026}');
    kept
}

/// A sentence broken into lines no longer than a width, mm at this size.
pub(crate) fn wrapped(words: &str, weight: Weight, size: f64, most: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words.split(' ') {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if !line.is_empty() && width(&longer, weight) * size > most {
            lines.push(cut_to(&line, weight, size, most));
            line = word.to_owned();
        } else {
            line = longer;
        }
    }
    lines.push(cut_to(&line, weight, size, most));
    lines
}

/// The faces themselves, as WOFF2, to be set into a file.
pub(crate) fn face(weight: Weight) -> (u16, &'static [u8]) {
    match weight {
        Weight::Regular => (400, include_bytes!("../../../assets/fonts/RimwrightCondensed-Regular.woff2")),
        Weight::Medium => (500, include_bytes!("../../../assets/fonts/RimwrightCondensed-Medium.woff2")),
        Weight::SemiBold => (600, include_bytes!("../../../assets/fonts/RimwrightCondensed-SemiBold.woff2")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_and_signs_are_one_width_in_every_weight() {
        for weight in [Weight::Regular, Weight::Medium, Weight::SemiBold] {
            for c in "0123456789+\u{2212}\u{d7}".chars() {
                assert_eq!(letter(c, weight), 540, "{c}");
            }
        }
    }

    #[test]
    fn the_table_is_in_order() {
        assert!(WIDTHS.windows(2).all(|w| w[0].0 < w[1].0));
    }

    #[test]
    fn long_texts_are_cut_and_broken_to_fit() {
        let long = "a stock-keeping unit that nobody would print in full on so small a drawing";
        let cut = cut_to(long, Weight::Regular, 3.0, 30.0);
        assert!(cut.ends_with('\u{2026}') && width(&cut, Weight::Regular) * 3.0 <= 30.0, "{cut}");
        let lines = wrapped(long, Weight::Regular, 3.0, 30.0);
        assert_eq!(lines.join(" "), long);
        assert!(lines.iter().all(|l| width(l, Weight::Regular) * 3.0 <= 30.0));
    }
}
