//! How a figure came about: the formula that made it, kept as text while it is evaluated.
//!
//! A figure of a plan *is* the value of its last step: [`step!`](crate::step) evaluates a Rust expression and, when the
//! working is on, keeps the same expression's text with the numbers put in. There is no second computation beside the
//! first, so a printed working cannot drift from the code. Formulas may use `+ - * /`, literals, the named inputs and
//! the functions of [`crate::maths`]; a test of the planner evaluates every printed step again.

use std::collections::BTreeMap;

/// A number put into a formula.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Its name in the formula.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit, empty for a ratio.
    pub unit: &'static str,
}

/// One line of a working.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// A formula, what was put in, what came out.
    Formula {
        /// Name of the result.
        symbol: &'static str,
        /// The expression, as the code has it.
        formula: &'static str,
        /// What was put in, in the order of the formula's list.
        inputs: Vec<Input>,
        /// What came out.
        value: f64,
        /// Unit of the result, empty for a ratio.
        unit: &'static str,
        /// Where the formula or its constant comes from.
        source: &'static str,
    },
    /// A sentence: how a place was found, what was left out, which value was taken and why.
    Said(String),
    /// This figure builds on another one, whose own working stands under that name.
    Uses(String),
}

/// Collects the steps of every figure, or nothing when it is off.
#[derive(Debug, Clone, Default)]
pub struct Working {
    figures: Option<BTreeMap<String, Vec<Step>>>,
    open: String,
}

impl Working {
    /// A working that keeps nothing; figures cost no more than their arithmetic.
    #[must_use]
    pub const fn off() -> Self {
        Self { figures: None, open: String::new() }
    }

    /// A working that keeps every step.
    #[must_use]
    pub const fn on() -> Self {
        Self { figures: Some(BTreeMap::new()), open: String::new() }
    }

    /// Whether steps are kept.
    #[must_use]
    pub const fn is_on(&self) -> bool {
        self.figures.is_some()
    }

    /// Opens a figure, such as `right.edge.thickest_mm`: the steps that follow are its steps. Opened again, it starts afresh.
    pub fn figure(&mut self, eye: &str, name: &str) {
        if let Some(figures) = &mut self.figures {
            self.open = if eye.is_empty() { name.to_owned() } else { format!("{eye}.{name}") };
            figures.insert(self.open.clone(), Vec::new());
        }
    }

    /// Keeps a step of the open figure.
    pub fn keep(&mut self, step: Step) {
        if let Some(figures) = &mut self.figures {
            figures.entry(self.open.clone()).or_default().push(step);
        }
    }

    /// Keeps a sentence; the closure runs only when the working is on.
    pub fn say(&mut self, sentence: impl FnOnce() -> String) {
        if self.is_on() {
            self.keep(Step::Said(sentence()));
        }
    }

    /// Notes that the open figure builds on another one of the same eye (or of the pair, with an empty eye).
    pub fn uses(&mut self, eye: &str, name: &str) {
        if self.is_on() {
            self.keep(Step::Uses(if eye.is_empty() { name.to_owned() } else { format!("{eye}.{name}") }));
        }
    }

    /// Every figure with its steps, by name.
    pub fn figures(&self) -> impl Iterator<Item = (&str, &[Step])> {
        self.figures.iter().flatten().map(|(name, steps)| (name.as_str(), steps.as_slice()))
    }

    /// The steps of one figure.
    #[must_use]
    pub fn steps(&self, figure: &str) -> Option<&[Step]> {
        self.figures.as_ref()?.get(figure).map(Vec::as_slice)
    }
}

/// A working's number as it is printed: nine decimals, trailing zeros dropped.
#[must_use]
pub fn printed(value: f64) -> String {
    let text = format!("{value:.9}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Evaluates a formula and keeps it as a step of the open figure.
///
/// ```
/// use units::{step, maths::*, Working};
/// let mut w = Working::on();
/// w.figure("", "sag_mm");
/// let (r, y) = (100.0, 30.0);
/// let s = step!(w, s = y * y / (r + sqrt(r * r - y * y)); r["mm"], y["mm"]; "mm", "circle");
/// assert!((s - 4.60608).abs() < 5e-6); // r - sqrt(r^2 - y^2), by hand
/// ```
#[macro_export]
macro_rules! step {
    ($w:expr, $symbol:ident = $formula:expr; $($name:ident [$in_unit:literal]),* $(,)?; $unit:literal, $source:expr) => {{
        let value: f64 = $formula;
        if $w.is_on() {
            $w.keep($crate::working::Step::Formula {
                symbol: stringify!($symbol),
                formula: stringify!($formula),
                inputs: vec![$($crate::working::Input { name: stringify!($name), value: $name, unit: $in_unit }),*],
                value,
                unit: $unit,
                source: $source,
            });
        }
        value
    }};
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::maths::sqrt;

    #[test]
    fn the_text_is_the_formula() {
        let mut w = Working::on();
        w.figure("right", "sag_mm");
        let (r, y) = (5.0, 3.0);
        let s = step!(w, s = r - sqrt(r * r - y * y); r["mm"], y["mm"]; "mm", "circle");
        assert_eq!(s, 1.0);
        let steps = w.steps("right.sag_mm").expect("kept");
        assert!(matches!(&steps[0], Step::Formula { formula: "r - sqrt(r * r - y * y)", value, .. } if *value == 1.0));
    }

    #[test]
    fn off_keeps_nothing_and_gives_the_same() {
        let mut w = Working::off();
        w.figure("", "x");
        let a = 2.0;
        assert_eq!(step!(w, x = a * 3.0; a["mm"]; "mm", ""), 6.0);
        assert_eq!(w.figures().count(), 0);
    }

    #[test]
    fn prints_without_tails() {
        for (v, t) in [(1.0, "1"), (-0.0, "0"), (97.666_666_666_67, "97.666666667"), (0.1 + 0.2, "0.3")] {
            assert_eq!(printed(v), t);
        }
    }
}
