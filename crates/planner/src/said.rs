//! Numbers in sentences, as the house writes them.

/// A length with one decimal: `31.5`.
pub(crate) fn mm1(mm: f64) -> String {
    fixed(mm, 1)
}

/// A thickness or margin with two decimals: `2.81`.
pub(crate) fn mm2(mm: f64) -> String {
    fixed(mm, 2)
}

/// A computed power, prism or curve with sign and two decimals: `-4.25`, `+0.50`.
pub(crate) fn signed2(value: f64) -> String {
    let text = fixed(value, 2);
    if text.starts_with('-') { text } else { format!("+{text}") }
}

/// An amount with two decimals, never `-0.00`.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.starts_with('-') && text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        text[1..].to_owned()
    } else {
        text
    }
}

/// A direction with three digits: `092`.
pub(crate) fn at(deg: f64) -> String {
    let whole = libm::round(deg);
    format!("{:03}", if whole >= 360.0 { 0.0 } else { whole })
}
