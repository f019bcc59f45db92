//! One reference case: its inputs, what it expects, and how a found figure is held against it.

use std::collections::BTreeMap;

use optics::SpheroCylinder;
use toml::{Table, Value};
use units::{Angle, Dioptre, Mm, Power};

/// One case of a file.
pub(crate) struct Case<'a> {
    /// Its id.
    pub(crate) id: &'a str,
    /// All of it.
    pub(crate) table: &'a Table,
}

/// The cases of a document.
pub(crate) fn cases<'a>(document: &'a Table, table: &str) -> Vec<Case<'a>> {
    let rows = document[table].as_array().expect("an array of tables");
    rows.iter()
        .map(|row| {
            let table = row.as_table().expect("a table");
            Case { id: table["id"].as_str().expect("an id"), table }
        })
        .collect()
}

/// What our crates figure for a case, by the case's own key.
#[derive(Default)]
pub(crate) struct Found(BTreeMap<String, Value>);

impl Found {
    /// Nothing yet.
    pub(crate) fn none() -> Self {
        Self::default()
    }

    /// With a number.
    pub(crate) fn number(mut self, key: &str, value: f64) -> Self {
        assert!(value.is_finite(), "{key} is {value}");
        assert!(self.0.insert(key.to_owned(), Value::Float(value)).is_none(), "{key} twice");
        self
    }

    /// With a power.
    pub(crate) fn power(self, key: &str, value: Dioptre) -> Self {
        self.number(key, value.dioptres())
    }

    /// With a length.
    pub(crate) fn length(self, key: &str, value: Mm) -> Self {
        self.number(key, value.mm())
    }

    /// With a word.
    pub(crate) fn word(mut self, key: &str, value: &str) -> Self {
        assert!(self.0.insert(key.to_owned(), Value::String(value.to_owned())).is_none(), "{key} twice");
        self
    }

    /// With a sphero-cylinder under the usual three keys.
    pub(crate) fn sphero_cylinder(self, value: SpheroCylinder) -> Self {
        self.power("sphere_d", value.sphere).power("cyl_d", value.cylinder).number("axis_deg", value.axis.axis_deg())
    }
}

/// Where a fact states no tolerance, its figure is exact: what rounding of doubles leaves.
const EXACT: f64 = 1e-9;

impl<'a> Case<'a> {
    /// A text of the case itself.
    pub(crate) fn field(&self, key: &str) -> &'a str {
        self.table[key].as_str().unwrap_or_else(|| panic!("{}: `{key}` is a text", self.id))
    }

    fn input(&self, key: &str) -> Option<&'a Value> {
        self.table.get("inputs")?.as_table()?.get(key)
    }

    /// Whether an input is given.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.input(key).is_some()
    }

    /// An input that is a number.
    pub(crate) fn number(&self, key: &str) -> f64 {
        self.input(key).and_then(number).unwrap_or_else(|| panic!("{}: number `{key}` is missing", self.id))
    }

    /// An input that is a power.
    pub(crate) fn power(&self, key: &str) -> Dioptre {
        Dioptre::new(self.number(key))
    }

    /// An input that is a length.
    pub(crate) fn length(&self, key: &str) -> Mm {
        Mm::new(self.number(key))
    }

    /// An input that is an angle in degrees.
    pub(crate) fn angle(&self, key: &str) -> Angle {
        Angle::from_deg(self.number(key))
    }

    /// An input that is a word.
    pub(crate) fn word(&self, key: &str) -> &'a str {
        self.input(key).and_then(Value::as_str).unwrap_or_else(|| panic!("{}: word `{key}` is missing", self.id))
    }

    /// An input that is a list of numbers.
    pub(crate) fn list(&self, key: &str) -> Vec<f64> {
        let list = self.input(key).and_then(Value::as_array);
        list.and_then(|l| l.iter().map(number).collect())
            .unwrap_or_else(|| panic!("{}: list `{key}` is missing", self.id))
    }

    /// The inputs `sphere_d`, `cyl_d`, `axis_deg` or, shorter, a sphere alone.
    pub(crate) fn sphero_cylinder(&self) -> SpheroCylinder {
        let (s, c, a) = ("sphere_d", "cyl_d", "axis_deg");
        if self.has(c) {
            SpheroCylinder::new(self.power(s), self.power(c), self.angle(a))
        } else {
            SpheroCylinder::spherical(self.power(if self.has(s) { s } else { "power_d" }))
        }
    }

    /// An input list of sphere, cylinder and axis.
    pub(crate) fn listed(&self, key: &str) -> SpheroCylinder {
        let [s, c, a] = self.list(key)[..] else { panic!("{}: `{key}` has three numbers", self.id) };
        SpheroCylinder::new(Dioptre::new(s), Dioptre::new(c), Angle::from_deg(a))
    }

    /// The rows of a fact's `points`: inputs and, last, the result.
    pub(crate) fn points(&self) -> Vec<Vec<f64>> {
        let rows = self.table["points"].as_array().unwrap_or_else(|| panic!("{}: points are rows", self.id));
        rows.iter().map(|row| row.as_array().and_then(|r| r.iter().map(number).collect()).expect("numbers")).collect()
    }

    /// Figures every row of `points` from its inputs.
    pub(crate) fn each_point(&self, figure: impl Fn(&[f64]) -> f64) -> Found {
        self.points()
            .iter()
            .enumerate()
            .fold(Found::none(), |found, (n, row)| found.number(&format!("points[{n}]"), figure(&row[..row.len() - 1])))
    }

    /// What the case expects, by key: `expected` of an example; `expect`, `points` or `value` of a fact.
    pub(crate) fn expected(&self) -> BTreeMap<String, Value> {
        let one = |key: &str, value: &Value| BTreeMap::from([(key.to_owned(), value.clone())]);
        if let Some(table) = self.table.get("expected").or(self.table.get("expect")).and_then(Value::as_table) {
            return table.iter().map(|(key, value)| (key.clone(), value.clone())).collect();
        }
        if self.table.contains_key("points") {
            let results = self.points().into_iter().map(|row| *row.last().expect("a result"));
            return results.enumerate().map(|(n, r)| (format!("points[{n}]"), Value::Float(r))).collect();
        }
        if let Some(values) = self.table.get("values").and_then(Value::as_table) {
            return values.iter().map(|(key, value)| (key.clone(), value.clone())).collect();
        }
        let key = ["expect", "value"].into_iter().find(|key| self.table.contains_key(*key));
        let key = key.unwrap_or_else(|| panic!("{}: expects nothing", self.id));
        one(key, &self.table[key])
    }
}

/// A figure that a case wants.
pub(crate) struct Want {
    /// Its key, as in [`Found`].
    pub(crate) key: String,
    /// What it must be.
    pub(crate) value: Value,
    /// How far off it may be, absolute.
    pub(crate) tolerance: f64,
    /// Whether it is the number as published, not the exact one.
    pub(crate) published: bool,
}

/// What an example or a fact wants: every expected key within the case's tolerance; where the published number is said
/// to agree, that too, within the rounding in which it was printed.
pub(crate) fn wants(case: &Case) -> Vec<Want> {
    let tolerance = case.table.get("tolerance").and_then(number).unwrap_or(EXACT);
    // A fact may tell what a rule of thumb says beside the truth, under a key such as `parabola_says`.
    let said =
        case.table.iter().filter(|(key, _)| key.contains("_says")).map(|(key, value)| (key.clone(), value.clone()));
    let mut wants: Vec<_> = case
        .expected()
        .into_iter()
        .chain(said)
        .map(|(key, value)| Want { key, value, tolerance, published: false })
        .collect();
    if case.table.get("status").and_then(Value::as_str) == Some("agrees") {
        let rounding = &case.table["published_tolerance"];
        for (key, value) in case.table["published"].as_table().into_iter().flatten() {
            let tolerance = number(rounding).or(rounding.get(key).and_then(number)).unwrap_or(EXACT);
            wants.push(Want { key: key.clone(), value: value.clone(), tolerance, published: true });
        }
    }
    wants
}

impl Found {
    /// Where the figures miss what is wanted, one line each; empty when all is met. Keys that are not ours are passed
    /// over, but not all of them.
    pub(crate) fn missed(&self, wants: &[Want], not_ours: &[(&str, &str)]) -> Vec<String> {
        let ours: Vec<_> = wants.iter().filter(|want| !not_ours.iter().any(|(key, _)| *key == want.key)).collect();
        if ours.is_empty() {
            return vec!["none of its keys is ours".to_owned()];
        }
        ours.into_iter().filter_map(|want| self.miss(want)).collect()
    }

    fn miss(&self, want: &Want) -> Option<String> {
        let Want { key, value, tolerance, published } = want;
        let printed = if *published { " as published" } else { "" };
        let Some(got) = self.0.get(key) else { return Some(format!("{key}: {value:?} wanted{printed}, not figured")) };
        let met = match (number(got), number(value)) {
            // Written so that no NaN passes.
            (Some(got), Some(want)) => (got - want).abs() <= *tolerance,
            (None, None) => got == value,
            _ => false,
        };
        if met { None } else { Some(format!("{key}: {value:?} wanted{printed} within {tolerance}, {got:?} found")) }
    }
}

/// A number, whole or not.
#[allow(clippy::cast_precision_loss, reason = "reference files hold small whole numbers")]
pub(crate) fn number(value: &Value) -> Option<f64> {
    value.as_float().or(value.as_integer().map(|n| n as f64))
}

/// A number of dioptres as an ordered power.
#[allow(clippy::cast_possible_truncation, reason = "powers of the trade are small")]
pub(crate) fn ordered(dioptres: f64) -> Power {
    let power = Power::from_thousandths((dioptres * 1000.0).round() as i32);
    assert!((power.dioptre().dioptres() - dioptres).abs() < 1e-12, "{dioptres} is no ordered power");
    power
}
