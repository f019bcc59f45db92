//! The known word that a stranger most resembles, for "did you mean".

/// The known word nearest to `word`, where one is near enough: few letters apart, or begun alike.
pub(crate) fn nearest<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    const LONGEST: usize = 40;
    let word: Vec<char> = word.chars().take(LONGEST + 1).map(plain).collect();
    if word.is_empty() || word.len() > LONGEST {
        return None;
    }
    known
        .into_iter()
        .filter_map(|candidate| {
            let letters: Vec<char> = candidate.chars().map(plain).collect();
            let apart = distance(&word, &letters);
            let allowed = word.len().max(letters.len()).div_ceil(3).min(4);
            let begun_alike = word.len() >= 3 && letters.starts_with(&word);
            (apart < allowed.max(2) || begun_alike).then_some((apart, candidate))
        })
        .min_by_key(|(apart, _)| *apart)
        .map(|(_, candidate)| candidate)
}

/// Capitals, underscores and blanks do not count as differences worth a letter.
fn plain(letter: char) -> char {
    match letter {
        '_' | ' ' => '-',
        other => other.to_ascii_lowercase(),
    }
}

/// Letters to change, add, drop or swap with their neighbour (optimal string alignment).
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let same = usize::from(a[i - 1] != b[j - 1]);
            row[j] = (last[j - 1] + same).min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        before = core::mem::replace(&mut last, row);
    }
    last[b.len()]
}

/// `a, b or c`, as a message lists what may stand in a place.
pub(crate) fn choices<'k>(known: impl IntoIterator<Item = &'k str>) -> String {
    let known: Vec<&str> = known.into_iter().collect();
    match known.split_last() {
        None => String::new(),
        Some((only, [])) => (*only).to_owned(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

/// "did you mean …?", or all there is to choose from.
pub(crate) fn suggestion<'k>(word: &str, known: impl IntoIterator<Item = &'k str> + Clone) -> String {
    match nearest(word, known.clone()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("write {}", choices(known)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn suggests_what_resembles() {
        let known = ["full-rim", "nylon-cord", "grooved-rim", "drilled"];
        for (word, want) in [
            ("fullrim", Some("full-rim")),
            ("Full_Rim", Some("full-rim")),
            ("nylon", Some("nylon-cord")),
            ("driled", Some("drilled")),
            ("rdilled", Some("drilled")),
            ("zebra", None),
            ("", None),
        ] {
            assert_eq!(nearest(word, known), want, "{word}");
        }
        assert_eq!(nearest("sph", ["sphere_d", "series"]), Some("sphere_d"));
        assert_eq!(nearest("materail", ["material", "mate"]), Some("material"));
    }

    #[test]
    fn counts_letters_apart() {
        // Classic worked examples of edit distance; the swap is one step in optimal string alignment.
        for (a, b, want) in [("kitten", "sitting", 3), ("saturday", "sunday", 3), ("ab", "ba", 1), ("", "abc", 3)] {
            let letters = |t: &str| t.chars().collect::<Vec<_>>();
            assert_eq!(distance(&letters(a), &letters(b)), want, "{a} {b}");
        }
    }

    #[test]
    fn lists_choices() {
        assert_eq!(choices(["a", "b", "c"]), "a, b or c");
        assert_eq!(choices(["a"]), "a");
    }
}
