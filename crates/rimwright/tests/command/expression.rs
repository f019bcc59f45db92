//! A pocket calculator for printed formulas: `+ - * /`, brackets, names, and the functions of `units::maths`.

use std::collections::BTreeMap;

use units::maths;

/// The value of a formula with these names put in.
pub(crate) fn value(formula: &str, names: &BTreeMap<String, f64>) -> Result<f64, String> {
    let mut reader = Reader { rest: formula, names };
    let value = reader.sum()?;
    if reader.peek().is_some() {
        return Err(format!("`{}` is left over", reader.rest));
    }
    Ok(value)
}

struct Reader<'a> {
    rest: &'a str,
    names: &'a BTreeMap<String, f64>,
}

impl<'a> Reader<'a> {
    fn peek(&mut self) -> Option<char> {
        self.rest = self.rest.trim_start();
        self.rest.chars().next()
    }

    fn take(&mut self, letter: char) -> bool {
        let found = self.peek() == Some(letter);
        if found {
            self.rest = &self.rest[letter.len_utf8()..];
        }
        found
    }

    fn sum(&mut self) -> Result<f64, String> {
        let mut value = self.product()?;
        loop {
            if self.take('+') {
                value += self.product()?;
            } else if self.take('-') {
                value -= self.product()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn product(&mut self) -> Result<f64, String> {
        let mut value = self.factor()?;
        loop {
            if self.take('*') {
                value *= self.factor()?;
            } else if self.take('/') {
                value /= self.factor()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn factor(&mut self) -> Result<f64, String> {
        if self.take('-') {
            return Ok(-self.factor()?);
        }
        if self.take('(') {
            let value = self.sum()?;
            return if self.take(')') { Ok(value) } else { Err(format!("a bracket is not closed: `{}`", self.rest)) };
        }
        match self.peek() {
            Some(letter) if letter.is_ascii_digit() => self.number(),
            Some(letter) if letter.is_alphabetic() || letter == '_' => self.name(),
            _ => Err(format!("cannot read on at `{}`", self.rest)),
        }
    }

    fn word(&mut self, belongs: impl Fn(char) -> bool) -> &'a str {
        let end = self.rest.find(|c| !belongs(c)).unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        self.rest = rest;
        word
    }

    fn number(&mut self) -> Result<f64, String> {
        let mut text = self.word(|c| c.is_ascii_digit() || matches!(c, '.' | '_')).replace('_', "");
        if self.rest.starts_with(['e', 'E']) {
            self.rest = &self.rest[1..];
            text.push('e');
            if self.rest.starts_with(['+', '-']) {
                text.push_str(&self.rest[..1]);
                self.rest = &self.rest[1..];
            }
            text.push_str(self.word(|c| c.is_ascii_digit()));
        }
        text.parse().map_err(|_| format!("`{text}` is no number"))
    }

    fn name(&mut self) -> Result<f64, String> {
        let name = self.word(|c| c.is_alphanumeric() || c == '_');
        if !self.take('(') {
            return self.names.get(name).copied().ok_or_else(|| format!("`{name}` was not put in"));
        }
        let mut given = Vec::new();
        while !self.take(')') {
            given.push(self.sum()?);
            if !self.take(',') && self.peek() != Some(')') {
                return Err(format!("`{name}(` does not end: `{}`", self.rest));
            }
        }
        call(name, &given)
    }
}

fn call(name: &str, given: &[f64]) -> Result<f64, String> {
    Ok(match (name, given) {
        ("sqrt", [x]) => maths::sqrt(*x),
        ("sq", [x]) => maths::sq(*x),
        ("abs", [x]) => maths::abs(*x),
        ("hypot", [x, y]) => maths::hypot(*x, *y),
        ("min", [x, y]) => maths::min(*x, *y),
        ("max", [x, y]) => maths::max(*x, *y),
        ("sin_deg", [x]) => maths::sin_deg(*x),
        ("cos_deg", [x]) => maths::cos_deg(*x),
        ("tan_deg", [x]) => maths::tan_deg(*x),
        ("asin_deg", [x]) => maths::asin_deg(*x),
        ("atan_deg", [x]) => maths::atan_deg(*x),
        ("atan2_deg", [y, x]) => maths::atan2_deg(*y, *x),
        _ => return Err(format!("there is no function {name} of {}", given.len())),
    })
}

#[test]
fn it_calculates_as_a_person_does() {
    let names = BTreeMap::from([("a".to_owned(), 3.0), ("b_mm".to_owned(), 4.0)]);
    for (formula, want) in [
        ("1 + 2 * 3", 7.0),
        ("(1 + 2) * 3", 9.0),
        ("8 / 2 / 2", 2.0),
        ("7 - 2 - 1", 4.0),
        ("-a * -b_mm", 12.0),
        ("hypot(a, b_mm) - sq(2.0)", 1.0),
        ("1e-3 * 1_000.0 + 2.5e2", 251.0),
        ("sin_deg(30.0) - -0.5", 1.0),
    ] {
        let got = value(formula, &names).unwrap();
        assert!((got - want).abs() < 1e-12, "{formula} gave {got}");
    }
    for formula in ["1 +", "(1", "c * 2", "cube(2.0)", "1 2", "a.abs()", "min(1.0)"] {
        assert!(value(formula, &names).is_err(), "{formula}");
    }
}
