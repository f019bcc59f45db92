//! The colours of the inks on a light screen, a dark screen and paper.
//!
//! On paper tints and grounds are white, all else black or dark grey: every drawing must work in one ink.

use crate::scene::Ink;

/// What a drawing is seen on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ground {
    Light,
    Dark,
    Print,
}

/// Every ink.
pub(crate) const ALL: [Ink; 9] =
    [Ink::Paper, Ink::Ink, Ink::Ink2, Ink::Line, Ink::Water, Ink::Buff, Ink::Mark, Ink::Stop, Ink::Warn];

/// Name of an ink in a style sheet.
pub(crate) const fn token(ink: Ink) -> &'static str {
    match ink {
        Ink::Paper => "paper",
        Ink::Ink => "ink",
        Ink::Ink2 => "ink2",
        Ink::Line => "line",
        Ink::Water => "water",
        Ink::Buff => "buff",
        Ink::Mark => "mark",
        Ink::Stop => "stop",
        Ink::Warn => "warn",
    }
}

/// Its colour on a ground.
pub(crate) const fn colour(ink: Ink, on: Ground) -> &'static str {
    let [light, dark, print] = match ink {
        Ink::Paper => ["#FBFAF6", "#13171A", "#FFFFFF"],
        Ink::Ink => ["#14181C", "#EDEAE2", "#000000"],
        Ink::Ink2 => ["#474D52", "#B9BDBD", "#333333"],
        Ink::Line => ["#73787C", "#858D91", "#666666"],
        Ink::Water => ["#DDE9EC", "#1F3740", "#FFFFFF"],
        Ink::Buff => ["#EBDEBA", "#453C28", "#FFFFFF"],
        Ink::Mark => ["#861A74", "#F0A3E0", "#000000"],
        Ink::Stop => ["#A1190F", "#FF9384", "#000000"],
        Ink::Warn => ["#7A4A00", "#F0C063", "#000000"],
    };
    match on {
        Ground::Light => light,
        Ground::Dark => dark,
        Ground::Print => print,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance. Source: WCAG 2.1, <https://www.w3.org/TR/WCAG21/#dfn-relative-luminance>.
    fn luminance(colour: &str) -> f64 {
        let part = |i: usize| {
            let c = f64::from(u8::from_str_radix(&colour[i..i + 2], 16).unwrap()) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
        };
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    }

    #[test]
    fn every_ink_that_carries_text_stands_out_from_every_ground() {
        // WCAG 2.1 success criterion 1.4.3: 4.5 to 1 for text; 1.4.11: 3 to 1 for lines.
        for on in [Ground::Light, Ground::Dark, Ground::Print] {
            for ground in [Ink::Paper, Ink::Water, Ink::Buff] {
                for (ink, least) in [
                    (Ink::Ink, 4.5),
                    (Ink::Ink2, 4.5),
                    (Ink::Mark, 4.5),
                    (Ink::Stop, 4.5),
                    (Ink::Warn, 4.5),
                    (Ink::Line, 3.0),
                ] {
                    let (a, b) = (luminance(colour(ink, on)), luminance(colour(ground, on)));
                    let contrast = (a.max(b) + 0.05) / (a.min(b) + 0.05);
                    assert!(contrast >= least, "{ink:?} on {ground:?}, {on:?}: {contrast:.2}");
                }
            }
        }
    }
}
