//! What the treatments of a lens mean to the hands: one row for each that the trade knows.

use job::Treatments;

/// What one treatment asks.
struct Row {
    treatment: Treatments,
    /// Pads slip on it: why, in a few words.
    slippery: Option<&'static str>,
    /// It lies in or on the lens and comes off under force.
    film: Option<&'static str>,
    /// It is a coat, which solvents may spoil.
    coat: bool,
    /// Heat and flexing crack it.
    crazes: bool,
}

const NOTHING: Row = Row { treatment: Treatments::NONE, slippery: None, film: None, coat: false, crazes: false };

/// Rows of the trade's nine; a shop's own are told as unknown.
const ROWS: [Row; 9] = [
    Row { treatment: Treatments::ANTI_REFLECTIVE, coat: true, crazes: true, ..NOTHING },
    Row { treatment: Treatments::HYDROPHOBIC, slippery: Some("slippery coat"), coat: true, ..NOTHING },
    Row { treatment: Treatments::SCRATCH, coat: true, ..NOTHING },
    Row { treatment: Treatments::TINT, ..NOTHING },
    Row { treatment: Treatments::GRADIENT, ..NOTHING },
    Row { treatment: Treatments::PHOTOCHROMIC, ..NOTHING },
    Row { treatment: Treatments::POLARISED, film: Some("polarising film"), ..NOTHING },
    // A mirror is a stack of thin layers, as an anti-reflection coat is.
    Row { treatment: Treatments::MIRROR, film: Some("mirror coat"), coat: true, crazes: true, ..NOTHING },
    Row { treatment: Treatments::UV, ..NOTHING },
];

fn rows(has: Treatments) -> impl Iterator<Item = &'static Row> {
    ROWS.iter().filter(move |row| has.has(row.treatment))
}

/// Why pads slip on it.
pub(super) fn slippery(has: Treatments) -> Option<&'static str> {
    rows(has).find_map(|row| row.slippery)
}

/// The film that force takes off.
pub(super) fn film(has: Treatments) -> Option<&'static str> {
    rows(has).find_map(|row| row.film)
}

/// Whether it is coated.
pub(super) fn coated(has: Treatments) -> bool {
    rows(has).any(|row| row.coat)
}

/// Whether heat cracks a coat of it.
pub(super) fn crazes(has: Treatments) -> bool {
    rows(has).any(|row| row.crazes)
}

/// What is not in the table: a shop's own treatments.
pub(super) fn unknown(has: Treatments) -> Treatments {
    ROWS.iter().fold(has, |left, row| left.without(row.treatment))
}

#[cfg(test)]
mod tests {
    use super::*;
    use job::TreatmentNames;

    #[test]
    fn every_treatment_of_the_trade_has_one_row() {
        let names = TreatmentNames::with(&[]).unwrap();
        for name in TreatmentNames::TRADE {
            let treatment = names.find(name).unwrap();
            assert_eq!(ROWS.iter().filter(|row| row.treatment == treatment).count(), 1, "{name}");
            assert!(unknown(treatment).is_empty(), "{name}");
        }
        assert_eq!(ROWS.len(), TreatmentNames::TRADE.len());
    }

    #[test]
    fn a_shops_own_is_unknown() {
        let names = TreatmentNames::with(&["own-coat".to_owned()]).unwrap();
        let own = names.find("own-coat").unwrap();
        assert_eq!(unknown(own.with(Treatments::UV)), own);
    }
}
