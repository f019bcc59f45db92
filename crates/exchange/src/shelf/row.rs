//! One row of the shelf as a blank: what each column means, and what of it can be wrong.

use jiff::civil::Date;
use job::blank::{CheckThickness, Cost};
use job::prescription::InUp;
use job::rules::Rules;
use job::{
    Blank, BlankState, Eye, FrontCurve, IndexLine, LensForm, LensType, Material, OrderNumber, TorusSide, Treatments,
};
use optics::OrderedPower;
use optics::curves::TOOLING_INDEX;
use units::{Axis, CmPerM, Mm, Power};

use super::column::{self, COLUMNS};
use super::line::Cell;
use crate::fault::{Fault, shown};
use crate::limits::{self, Limits};
use crate::nearest::{choices, suggestion};

/// An index that agrees with 1.530 or the lens's own to this is that index.
const SAME_INDEX: f64 = 5e-4;
/// Prism ground into a blank.
const GROUND: Limits = Limits::from_to(-40.0, 40.0, "cm/m");
/// Pieces in stock.
const PIECES: Limits = Limits::from_to(0.0, 1e6, "");
/// Cost in minor units.
const COST: Limits = Limits::from_to(0.0, 1e9, "");
/// Where a check thickness was measured.
const CHECK_RADIUS: Limits = Limits::between(0.0, 75.0, "mm");
/// A conic constant: beyond these no spectacle lens is made.
const CONIC: Limits = Limits::from_to(-20.0, 20.0, "");
/// A text longer than this is no name, lot or place.
const LONGEST_TEXT: usize = 200;

/// The cells of a row in the order of [`COLUMNS`]; what is empty is not known.
pub(super) struct Row<'r, 't> {
    pub(super) cells: &'r [Cell<'t>; COLUMNS.len()],
    pub(super) rules: &'r Rules,
    pub(super) faults: &'r mut Vec<Fault>,
}

impl<'r, 't> Row<'r, 't> {
    /// The blank, where nothing is wrong.
    pub(super) fn blank(&mut self) -> Option<Blank> {
        let before = self.faults.len();
        let sku = self.text(column::SKU);
        let material = self.material();
        let state = self.word(column::STATE, BlankState::WORDS).unwrap_or(BlankState::Finished);
        let sphere = self.power(column::SPHERE);
        let nominal = self.mm(column::NOMINAL, limits::DIAMETER);
        // A semi-finished blank has no power yet; nothing asks for it.
        let sphere = sphere.or((state == BlankState::SemiFinished).then_some(Power::ZERO));
        for required in column::REQUIRED {
            if required != column::SPHERE || state == BlankState::Finished {
                self.required(required);
            }
        }
        let (power, fixed_axis) = self.power_and_axis(sphere);
        let index = self.number(column::INDEX, limits::INDEX);
        let index_line = self.word(column::INDEX_LINE, IndexLine::WORDS).unwrap_or(IndexLine::D);
        let own_index = index.or_else(|| self.index_of(material?, index_line));
        let shift = |row: &mut Self, column| row.mm(column, limits::SHIFT).unwrap_or(Mm::ZERO);
        let middle = (shift(self, column::MIDDLE_IN), shift(self, column::MIDDLE_UP));
        let blank = Blank {
            series: self.text(column::SERIES),
            lot: self.text(column::LOT),
            kind: self.word(column::TYPE, LensType::WORDS).unwrap_or(LensType::SingleVision),
            form: self.word(column::FORM, LensForm::WORDS).unwrap_or(LensForm::Unknown),
            add: self.power(column::ADD),
            prism: self.prism(),
            eye: self.word(column::EYE, &[("right", Eye::Right), ("left", Eye::Left)]),
            usable: self.usable(nominal),
            middle_in: middle.0,
            middle_up: middle.1,
            centre: self.mm(column::CENTRE, limits::THICKNESS),
            check: self.check(nominal, middle),
            front_curve: self.front_curve(own_index),
            index,
            index_line,
            treatments: self.treatments(),
            polarised_deg: self.number(column::POLARISED, limits::DIRECTION),
            for_order: self.for_order(),
            received: self.date(column::RECEIVED),
            quantity: self.whole(column::QUANTITY, PIECES).map_or(1, |pieces| pieces as u32),
            unit_cost: self.cost(),
            place: self.text(column::PLACE),
            state,
            torus: self.word(column::TORUS, TorusSide::WORDS).unwrap_or(TorusSide::Back),
            front_conic: self.number(column::FRONT_CONIC, CONIC),
            back_conic: self.number(column::BACK_CONIC, CONIC),
            fixed_axis,
            power: power?,
            sku: sku?,
            material: material?.id.clone(),
            nominal: nominal?,
        };
        (self.faults.len() == before).then_some(blank)
    }

    fn cell(&self, column: usize) -> Option<Cell<'t>> {
        let cell = self.cells[column];
        (!cell.text.is_empty()).then_some(cell)
    }

    fn fault<T>(&mut self, cell: Cell<'_>, what: impl Into<String>, hint: impl Into<String>) -> Option<T> {
        self.faults.push(Fault::at(cell.span(), what, hint));
        None
    }

    fn wrong<T>(&mut self, column: usize, expected: &str, hint: &str) -> Option<T> {
        let cell = self.cells[column];
        self.fault(cell, format!("`{}` is `{}`; expected {expected}", COLUMNS[column], shown(cell.text)), hint)
    }

    fn required(&mut self, column: usize) {
        if self.cell(column).is_none() {
            let what = format!("`{}` is empty; every blank has one", COLUMNS[column]);
            self.fault::<()>(self.cells[column], what, "write it, or take the row out");
        }
    }

    fn text(&mut self, column: usize) -> Option<String> {
        let cell = self.cell(column)?;
        if cell.text.len() > LONGEST_TEXT {
            return self.wrong(column, &format!("at most {LONGEST_TEXT} bytes"), "shorten it");
        }
        Some(cell.meant())
    }

    fn number(&mut self, column: usize, limits: Limits) -> Option<f64> {
        let cell = self.cell(column)?;
        match decimal(cell.text) {
            Some(number) if limits.hold(number) => Some(number),
            Some(number) => self.wrong(column, &limits.to_string(), limits.hint(number)),
            None => self.wrong(column, &limits.to_string(), "write a plain decimal number with a point"),
        }
    }

    fn whole(&mut self, column: usize, limits: Limits) -> Option<f64> {
        let number = self.number(column, limits)?;
        if number.trunc() == number {
            Some(number)
        } else {
            self.wrong(column, "a whole number", "leave out the decimals")
        }
    }

    fn mm(&mut self, column: usize, limits: Limits) -> Option<Mm> {
        self.number(column, limits).map(Mm::new)
    }

    fn word<T: Copy>(&mut self, column: usize, words: &[(&'static str, T)]) -> Option<T> {
        let cell = self.cell(column)?;
        if let Some((_, meaning)) = words.iter().find(|(word, _)| *word == cell.text) {
            return Some(*meaning);
        }
        let known = words.iter().map(|(word, _)| *word);
        self.wrong(column, &choices(known.clone()), &suggestion(cell.text, known))
    }

    fn power(&mut self, column: usize) -> Option<Power> {
        let cell = self.cell(column)?;
        match Power::parse_eighths(cell.text) {
            Ok(power) => Some(power),
            Err(_) if cell.text.len() > 40 => self.wrong(column, "a power such as -4.25", "write the power alone"),
            Err(fault) => self.fault(cell, format!("`{}`: {fault}", COLUMNS[column]), fault.hint()),
        }
    }

    fn date(&mut self, column: usize) -> Option<Date> {
        let cell = self.cell(column)?;
        match date(cell.text) {
            Some(date) => Some(date),
            None => self.wrong(column, "a day that exists", "write year-month-day: 2026-03-02"),
        }
    }

    fn material(&mut self) -> Option<&'r Material> {
        let cell = self.cell(column::MATERIAL)?;
        let materials = &self.rules.materials;
        let found = materials.iter().find(|m| m.id.as_str() == cell.text);
        if found.is_none() {
            let hint = suggestion(cell.text, materials.iter().map(|m| m.id.as_str()));
            return self.wrong(column::MATERIAL, "a material that the rules know", &hint);
        }
        found
    }

    /// The material's index on the line that the row names.
    fn index_of(&mut self, material: &Material, line: IndexLine) -> Option<f64> {
        match (line, material.n_e) {
            (IndexLine::D, _) => Some(material.n_d),
            (IndexLine::E, Some(n_e)) => Some(n_e),
            (IndexLine::E, None) => self.fault(
                self.cells[column::INDEX_LINE],
                format!("`index_line` is `e`, but the rules know `{}` on the d line only", material.id),
                "write the blank's `index` on the e line",
            ),
        }
    }

    /// Power and, where the row has one, the axis on the packet. A cylinder that may be turned lies along the packet's
    /// line.
    fn power_and_axis(&mut self, sphere: Option<Power>) -> (Option<OrderedPower>, Option<Axis>) {
        let cylinder_cell = self.cell(column::CYLINDER).filter(|cell| !cell.text.eq_ignore_ascii_case("none"));
        let cylinder = cylinder_cell.and_then(|_| self.power(column::CYLINDER));
        let axis_cell = self.cell(column::AXIS);
        let axis = axis_cell.and_then(|cell| match cell.text.parse::<Axis>() {
            Ok(axis) => Some(axis),
            Err(_) => self.wrong(column::AXIS, "an axis from 0 to 180 degrees, whole or half", "read the packet again"),
        });
        if let (Some(cell), None) = (axis_cell, cylinder_cell) {
            let hint = "write the cylinder, or leave the axis empty";
            self.fault::<()>(cell, "`axis_deg` is given without a cylinder", hint);
        }
        let cylinder = cylinder.filter(|power| *power != Power::ZERO);
        let lies = cylinder.and_then(|power| Some((power, axis.or(Axis::from_half_degrees(0))?)));
        (sphere.map(|sphere| OrderedPower::new(sphere, lies)), axis.filter(|_| lies.is_some()))
    }

    fn usable(&mut self, nominal: Option<Mm>) -> Option<Mm> {
        let usable = self.mm(column::USABLE, limits::DIAMETER)?;
        match nominal {
            Some(nominal) if usable > nominal => {
                let expected = format!("at most the nominal {} mm", nominal.mm());
                self.wrong(column::USABLE, &expected, "are the two diameters exchanged?")
            }
            _ => Some(usable),
        }
    }

    fn front_curve(&mut self, own_index: Option<f64>) -> Option<FrontCurve> {
        let curve_d = self.number(column::FRONT_CURVE, limits::CURVE);
        let stated = self.number(column::FRONT_CURVE_INDEX, limits::INDEX);
        let curve = self.cell(column::FRONT_CURVE)?;
        if self.cell(column::FRONT_CURVE_INDEX).is_none() {
            let hint = "write front_curve_index: 1.530, or the lens's own";
            return self.fault(curve, "`front_curve_d` has no index", hint);
        }
        let (curve_d, stated) = (curve_d?, stated?);
        let same = |index: f64| (stated - index).abs() < SAME_INDEX;
        match own_index {
            _ if same(TOOLING_INDEX) => Some(FrontCurve { curve_d, index: TOOLING_INDEX }),
            Some(own) if same(own) => Some(FrontCurve { curve_d, index: own }),
            Some(own) => {
                let expected = format!("1.530 or the lens's own {own}");
                self.wrong(column::FRONT_CURVE_INDEX, &expected, "a curve is stated on one of the two")
            }
            // The material or its index is at fault, and told.
            None => None,
        }
    }

    fn check(&mut self, nominal: Option<Mm>, (middle_in, middle_up): (Mm, Mm)) -> Option<CheckThickness> {
        let thickness = self.mm(column::CHECK, limits::THICKNESS);
        let radius = self.mm(column::CHECK_RADIUS, CHECK_RADIUS);
        let deg = self.number(column::CHECK_DEG, limits::DIRECTION);
        if let (Some(cell), None) = (self.cell(column::CHECK), self.cell(column::CHECK_RADIUS)) {
            let hint = "write check_radius_mm: how far from the vertex it was measured";
            return self.fault(cell, "`check_mm` has no radius", hint);
        }
        let radius = radius?;
        let off_middle = Mm::new((middle_in.mm() * middle_in.mm() + middle_up.mm() * middle_up.mm()).sqrt());
        if let Some(nominal) = nominal.filter(|&nominal| radius > nominal / 2.0 + off_middle) {
            let expected = format!("a radius inside a blank of {} mm", nominal.mm());
            return self.wrong(column::CHECK_RADIUS, &expected, "write the distance from the vertex, not the diameter");
        }
        Some(CheckThickness { thickness: thickness?, radius, deg })
    }

    /// Ground prism; the part that is empty is none, and no prism at all is none ground.
    fn prism(&mut self) -> Option<InUp> {
        let base_in = self.number(column::BASE_IN, GROUND).unwrap_or(0.0);
        let base_up = self.number(column::BASE_UP, GROUND).unwrap_or(0.0);
        let ground = base_in != 0.0 || base_up != 0.0;
        ground.then(|| InUp { base_in: CmPerM::new(base_in), base_up: CmPerM::new(base_up) })
    }

    fn treatments(&mut self) -> Treatments {
        let Some(cell) = self.cell(column::TREATMENTS) else { return Treatments::NONE };
        let mut set = Treatments::NONE;
        for name in cell.text.split('+').map(str::trim) {
            match self.rules.treatments.find(name) {
                Some(one) => set = set.with(one),
                None => {
                    let hint = suggestion(name, self.rules.treatments.all().iter().map(String::as_str));
                    self.fault::<()>(cell, format!("`{}` is no treatment that the rules know", shown(name)), hint);
                }
            }
        }
        set
    }

    fn cost(&mut self) -> Option<Cost> {
        let minor = self.whole(column::UNIT_COST, COST);
        let currency = self.cell(column::CURRENCY).map(|cell| <[u8; 3]>::try_from(cell.text.as_bytes()));
        match (self.cell(column::UNIT_COST), currency) {
            (_, Some(Ok(currency))) if currency.iter().all(u8::is_ascii_uppercase) => {
                Some(Cost { minor: minor? as i64, currency })
            }
            (_, Some(_)) => self.wrong(column::CURRENCY, "three capitals", "write an ISO 4217 code such as EUR or GBP"),
            (Some(cell), None) => self.fault(cell, "`unit_cost_minor` has no currency", "write currency, such as EUR"),
            (None, None) => None,
        }
    }

    fn for_order(&mut self) -> Option<OrderNumber> {
        let cell = self.cell(column::FOR_ORDER)?;
        let number = OrderNumber::new(cell.text);
        if number.is_none() {
            return self.wrong(column::FOR_ORDER, "an order number of 1 to 12 digits", "write the order's number");
        }
        number
    }
}

/// A plain decimal number: no exponent, no `nan`, no blank. Of up to 15 digits both parts of the division are exact, so the
/// result is the number nearest to what is written; the longer ones that a spreadsheet writes are left to the library.
fn decimal(text: &str) -> Option<f64> {
    const MOST_DIGITS: u32 = 15;
    let (negative, digits) = match text.as_bytes() {
        [b'-', digits @ ..] => (true, digits),
        [b'+', digits @ ..] => (false, digits),
        digits => (false, digits),
    };
    let (mut mantissa, mut count, mut scale, mut point) = (0u64, 0u32, 1u64, false);
    for &byte in digits {
        match byte {
            b'0'..=b'9' if count < MOST_DIGITS => {
                mantissa = mantissa * 10 + u64::from(byte - b'0');
                count += 1;
                if point {
                    scale *= 10;
                }
            }
            b'.' if !point => point = true,
            b'0'..=b'9' => count += 1,
            _ => return None,
        }
    }
    if count > MOST_DIGITS {
        return text.parse().ok();
    }
    if count == 0 {
        return None;
    }
    let amount = mantissa as f64 / scale as f64;
    Some(if negative && mantissa > 0 { -amount } else { amount })
}

/// A date as `2026-03-02`.
fn date(text: &str) -> Option<Date> {
    let &[y1, y2, y3, y4, b'-', m1, m2, b'-', d1, d2] = text.as_bytes() else { return None };
    let number =
        |digits: &[u8]| digits.iter().try_fold(0i16, |n, b| b.is_ascii_digit().then(|| n * 10 + i16::from(b - b'0')));
    let part = |digits: &[u8]| i8::try_from(number(digits)?).ok();
    Date::new(number(&[y1, y2, y3, y4])?, part(&[m1, m2])?, part(&[d1, d2])?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_plain() {
        for (text, want) in [
            ("65", 65.0),
            ("-0.5", -0.5),
            ("+1.586", 1.586),
            ("0", 0.0),
            ("-0", 0.0),
            (".5", 0.5),
            ("7.", 7.0),
            ("5.531700000000001", 5.531700000000001),
        ] {
            assert_eq!(decimal(text), Some(want), "{text}");
            assert!(decimal(text).unwrap().is_sign_positive() || want < 0.0, "{text}");
        }
        for text in ["", "-", ".", "1e5", "nan", "inf", "0x10", "1,5", "1 5", "1.2.3", "--1", "1.23456789012345e16"] {
            assert_eq!(decimal(text), None, "{text}");
        }
    }

    #[test]
    fn dates_exist() {
        assert_eq!(date("2026-02-28"), Date::new(2026, 2, 28).ok());
        for text in ["2026-02-29", "2026-13-01", "26-02-28", "2026-2-28", "2026/02/28", "2026-02-28T10", "é026-02-2"] {
            assert_eq!(date(text), None, "{text}");
        }
    }

    proptest::proptest! {
        /// The standard library's parser is the reference.
        #[test]
        fn decimals_read_as_the_standard_library_reads_them(text in "[+-]?[0-9]{1,8}(\\.[0-9]{0,7})?") {
            proptest::prop_assert_eq!(decimal(&text), text.parse().ok().map(|n: f64| n + 0.0));
        }
    }
}
