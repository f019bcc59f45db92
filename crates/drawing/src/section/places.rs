//! Where sections are cut, and how places round a lens are called.

use job::{EdgeKind, Eye};
use planner::LensPlan;

/// Places nearer than this are one, degrees.
const ONE: u32 = 3;
const LETTERS: [&str; 12] = ["A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "M", "N"];

/// Where a section is cut.
pub(super) struct At {
    /// Direction about the boxed centre, whole degrees under 360.
    pub(super) deg: u32,
    /// Its name.
    pub(super) letter: &'static str,
    /// What is particular there.
    pub(super) why: Option<String>,
}

/// What is particular of a lens's edge, and where.
fn particular(lens: &LensPlan) -> Vec<(u32, &'static str)> {
    let whole = |deg: f64| libm::round(deg).rem_euclid(360.0) as u32;
    let mut found = vec![
        (whole(lens.edge.thinnest_deg), "thinnest square edge"),
        (whole(lens.edge.thickest_deg), "thickest square edge"),
    ];
    if let Some(seated) = lens.edge_line.as_ref().and_then(|line| line.sized.seated.as_ref()) {
        // What rounds to nothing is no gap.
        if seated.gap_greatest.mm().abs() >= 0.005 {
            found.push((whole(seated.gap_greatest_at.direction_deg()), "greatest gap to the rim"));
        }
    }
    found
}

/// Thinnest and thickest edge and the greatest gap to the rim; of a flat edge, which is drilled, both ends of the centreline
/// and the thinnest place.
pub(super) fn by_default(lens: &LensPlan, edge: EdgeKind) -> Vec<At> {
    let mut particular = particular(lens);
    let mut wanted: Vec<u32> = Vec::new();
    if edge == EdgeKind::Flat {
        wanted.extend([0, 180]);
        particular.truncate(1);
    }
    for (deg, _) in particular {
        if !wanted.iter().any(|&other| apart(deg, other) <= ONE) {
            wanted.push(deg);
        }
    }
    named(lens, &wanted)
}

/// These places, each with what is particular there.
pub(super) fn named(lens: &LensPlan, wanted: &[u32]) -> Vec<At> {
    let particular = particular(lens);
    let mut places: Vec<u32> = wanted.iter().map(|deg| deg % 360).collect();
    let mut seen = Vec::new();
    places.retain(|deg| {
        !seen.contains(deg) && {
            seen.push(*deg);
            true
        }
    });
    places
        .into_iter()
        .zip(LETTERS)
        .map(|(deg, letter)| {
            let why: Vec<&str> = particular.iter().filter(|p| apart(p.0, deg) <= ONE).map(|p| p.1).collect();
            At { deg, letter, why: (!why.is_empty()).then(|| why.join(", ")) }
        })
        .collect()
}

/// How far two directions are apart, degrees.
fn apart(a: u32, b: u32) -> u32 {
    let by = a.abs_diff(b) % 360;
    by.min(360 - by)
}

/// A direction in words.
pub(crate) fn in_words(eye: Eye, deg: u32) -> &'static str {
    // As the right eye has it, whose nose is at 0.
    let deg = if eye == Eye::Right { deg % 360 } else { (540 - deg % 360) % 360 };
    const WORDS: [&str; 8] = [
        "nose",
        "top, towards the nose",
        "top",
        "top, towards the temple",
        "temple",
        "bottom, towards the temple",
        "bottom",
        "bottom, towards the nose",
    ];
    WORDS[((2 * deg + 45) / 90 % 8) as usize]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_are_called_by_what_lies_there() {
        for (eye, deg, words) in [
            (Eye::Right, 0, "nose"),
            (Eye::Left, 0, "temple"),
            (Eye::Right, 180, "temple"),
            (Eye::Left, 180, "nose"),
            (Eye::Right, 92, "top"),
            (Eye::Left, 88, "top"),
            (Eye::Right, 225, "bottom, towards the temple"),
            (Eye::Left, 225, "bottom, towards the nose"),
            (Eye::Right, 359, "nose"),
            (Eye::Left, 45, "top, towards the temple"),
            (Eye::Left, 270, "bottom"),
        ] {
            assert_eq!(in_words(eye, deg), words, "{eye} {deg}");
        }
    }

    #[test]
    fn the_circle_closes() {
        assert_eq!((apart(359, 1), apart(0, 180), apart(10, 4)), (2, 180, 6));
    }
}
