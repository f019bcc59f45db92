//! The shelf: one CSV row a kind of blank, columns by the names of the header.
//!
//! A shelf has thousands of rows and a cell in thirty is empty, so a cell is read where it lies: no text is made of it
//! unless it is kept or faulty.

use std::sync::Arc;

use csv::{ByteRecord, ReaderBuilder};
use jiff::civil::Date;
use job::blank::{CheckThickness, Cost};
use job::prescription::InUp;
use job::rules::Rules;
use job::{Blank, BlankState, Eye, FrontCurve, IndexLine, LensForm, LensType, OrderNumber, TorusSide, Treatments};
use optics::OrderedPower;
use units::{Axis, CmPerM, Mm, Power};

use crate::fault::{Fault, locate, shown};
use crate::limits::{self, Limits};
use crate::nearest::{choices, suggestion};
use crate::source;

/// Every column, in the order in which the design lists them.
pub const COLUMNS: [&str; 35] = [
    "sku",
    "material",
    "series",
    "lot",
    "type",
    "form",
    "sphere_d",
    "cylinder_d",
    "axis_deg",
    "add_d",
    "base_in_cm_per_m",
    "base_up_cm_per_m",
    "eye",
    "nominal_mm",
    "usable_mm",
    "middle_in_mm",
    "middle_up_mm",
    "centre_mm",
    "check_mm",
    "check_radius_mm",
    "check_deg",
    "front_curve_d",
    "front_curve_index",
    "index",
    "index_line",
    "treatments",
    "polarised_deg",
    "for_order",
    "received",
    "quantity",
    "unit_cost_minor",
    "currency",
    "place",
    "state",
    "torus",
];

/// Where a column stands in [`COLUMNS`], found when the program is compiled.
const fn column(name: &str) -> usize {
    let name = name.as_bytes();
    let mut i = 0;
    while i < COLUMNS.len() {
        let known = COLUMNS[i].as_bytes();
        let mut k = 0;
        while k < name.len() && k < known.len() && name[k] == known[k] {
            k += 1;
        }
        if k == name.len() && k == known.len() {
            return i;
        }
        i += 1;
    }
    panic!("no such column")
}

/// Columns that every shelf has.
const REQUIRED: [&str; 4] = ["sku", "material", "sphere_d", "nominal_mm"];
/// An index that agrees with 1.530 or the lens's own to this is that index.
const SAME_INDEX: f64 = 5e-4;
/// Prism ground into a blank.
const GROUND: Limits = Limits::from_to(-40.0, 40.0, "cm/m");
/// Pieces in stock.
const PIECES: Limits = Limits::from_to(0.0, 1e6, "");
/// Cost in minor units.
const COST: Limits = Limits::from_to(0.0, 1e9, "");
/// A record longer than this is not a row of a shelf.
const LONGEST_ROW: usize = 16 * 1024;

/// Reads a shelf.
///
/// A row without a quantity counts as one piece; a row whose `type` is empty is single vision.
///
/// # Errors
/// Every fault of every row.
pub fn read_shelf(bytes: &[u8], rules: &Rules) -> Result<Vec<Arc<Blank>>, Vec<Fault>> {
    let text = source::text(bytes);
    let mut faults: Vec<Fault> = source::utf16_fault(bytes).into_iter().chain(source::encoding_fault(bytes)).collect();
    let mut blanks = Vec::new();
    if faults.is_empty() {
        let start = source::start(&text);
        rows(&text[start..], start, rules, &mut blanks, &mut faults);
    }
    if faults.is_empty() {
        return Ok(blanks);
    }
    locate(&text, &mut faults);
    Err(faults)
}

fn rows(text: &str, start: usize, rules: &Rules, blanks: &mut Vec<Arc<Blank>>, faults: &mut Vec<Fault>) {
    let mut reader = ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut record = ByteRecord::new();
    if !matches!(reader.read_byte_record(&mut record), Ok(true)) {
        faults.push(Fault::at(
            start..start,
            "the shelf is empty; expected a header line",
            format!("begin with a line of column names: {}", COLUMNS[..6].join(",")),
        ));
        return;
    }
    let Some(columns) = header(text, start, &record, faults) else { return };
    let mut at = usize::try_from(reader.position().byte()).unwrap_or(text.len());
    loop {
        let row_start = at;
        match reader.read_byte_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                faults.push(Fault::at(
                    start + row_start..start + row_start,
                    format!("the row cannot be read: {error}"),
                    "look at its quotes",
                ));
                break;
            }
        }
        at = usize::try_from(reader.position().byte()).unwrap_or(text.len());
        let raw = text.get(row_start..at).unwrap_or("").trim_matches(['\r', '\n']);
        let row_start =
            row_start + (text[row_start..at].len() - text[row_start..at].trim_start_matches(['\r', '\n']).len());
        if raw.contains('\n') {
            let shown_end = row_start + raw.find('\n').unwrap_or(0);
            faults.push(Fault::at(
                start + row_start..start + shown_end,
                "a quote runs over the end of this line",
                "close the quote, or take it out: a row is one line",
            ));
            // What follows was swallowed: go on behind this line.
            return rows_behind(text, start, shown_end, rules, &columns, blanks, faults);
        }
        if raw.len() > LONGEST_ROW {
            faults.push(Fault::at(
                start + row_start..start + row_start + 1,
                format!("a row of {} bytes", raw.len()),
                "a row of a shelf is a line of some hundred characters",
            ));
            continue;
        }
        let row = Row { record: &record, columns: &columns, raw, at: start + row_start };
        if let Some(blank) = row.blank(rules, faults) {
            blanks.push(Arc::new(blank));
        }
    }
}

/// Goes on after a line that could not be read as one row.
fn rows_behind(
    text: &str,
    start: usize,
    from: usize,
    rules: &Rules,
    columns: &Columns,
    blanks: &mut Vec<Arc<Blank>>,
    faults: &mut Vec<Fault>,
) {
    for (offset, line) in lines(&text[from..]).skip(1) {
        let mut reader = ReaderBuilder::new().has_headers(false).flexible(true).from_reader(line.as_bytes());
        let mut record = ByteRecord::new();
        if line.trim().is_empty() || !matches!(reader.read_byte_record(&mut record), Ok(true)) {
            continue;
        }
        let row = Row { record: &record, columns, raw: line, at: start + from + offset };
        if let Some(blank) = row.blank(rules, faults) {
            blanks.push(Arc::new(blank));
        }
    }
}

fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    text.split('\n').map(move |line| {
        let start = at;
        at += line.len() + 1;
        (start, line.trim_end_matches('\r'))
    })
}

/// Where each column stands in this file.
struct Columns([Option<usize>; COLUMNS.len()], usize);

fn header(text: &str, start: usize, record: &ByteRecord, faults: &mut Vec<Fault>) -> Option<Columns> {
    let mut columns = Columns([None; COLUMNS.len()], record.len());
    let raw = text.lines().next().unwrap_or("");
    let before = faults.len();
    for (i, cell) in record.iter().enumerate() {
        let name = String::from_utf8_lossy(cell);
        let name = name.trim();
        let span = cell_span(raw, start, i);
        match COLUMNS.iter().position(|&c| c == name) {
            Some(known) if columns.0[known].is_some() => {
                faults.push(Fault::at(span, format!("the column `{name}` stands twice"), "keep one of them"));
            }
            Some(known) => columns.0[known] = Some(i),
            None => faults.push(Fault::at(
                span,
                format!("`{}` is not a column of a shelf", shown(name)),
                suggestion(name, COLUMNS.iter().copied()),
            )),
        }
    }
    for required in REQUIRED {
        let known = COLUMNS.iter().position(|&c| c == required);
        if known.is_none_or(|k| columns.0[k].is_none()) {
            faults.push(Fault::at(
                start..start + raw.len(),
                format!("the column `{required}` is missing"),
                "add it to the header line",
            ));
        }
    }
    (faults.len() == before).then_some(columns)
}

/// Where the i-th cell of a row stands, its quotes included.
fn cell_span(raw: &str, at: usize, cell: usize) -> core::ops::Range<usize> {
    let (mut start, mut quoted, mut i) = (0, false, 0);
    for (k, byte) in raw.bytes().enumerate() {
        match byte {
            b'"' => quoted = !quoted,
            b',' if !quoted => {
                if i == cell {
                    return at + start..at + k;
                }
                i += 1;
                start = k + 1;
            }
            _ => {}
        }
    }
    if i == cell { at + start..at + raw.len() } else { at + raw.len()..at + raw.len() }
}

struct Row<'r> {
    record: &'r ByteRecord,
    columns: &'r Columns,
    raw: &'r str,
    at: usize,
}

/// A cell: which column, and its text.
#[derive(Clone, Copy)]
struct Cell<'r> {
    column: usize,
    text: &'r str,
}

impl<'r> Row<'r> {
    /// The text of a column; empty is not known.
    fn cell(&self, column: usize) -> Option<Cell<'r>> {
        let text = core::str::from_utf8(self.record.get(self.columns.0[column]?)?).ok()?.trim();
        (!text.is_empty()).then_some(Cell { column, text })
    }

    fn fault(&self, cell: Cell<'_>, what: impl Into<String>, hint: impl Into<String>, faults: &mut Vec<Fault>) {
        let span = self.columns.0[cell.column].map_or(self.at..self.at, |i| cell_span(self.raw, self.at, i));
        faults.push(Fault::at(span, what, hint));
    }

    fn wrong(&self, cell: Cell<'_>, expected: &str, hint: &str, faults: &mut Vec<Fault>) {
        let what = format!("`{}` is `{}`; expected {expected}", COLUMNS[cell.column], shown(cell.text));
        self.fault(cell, what, hint, faults);
    }

    fn missing(&self, column: usize, faults: &mut Vec<Fault>) {
        faults.push(Fault::at(
            self.at..self.at + self.raw.len(),
            format!("`{}` is empty; every blank has one", COLUMNS[column]),
            "write it, or take the row out",
        ));
    }

    fn number(&self, column: usize, limits: Limits, faults: &mut Vec<Fault>) -> Option<f64> {
        let cell = self.cell(column)?;
        let plain = cell.text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+'));
        match cell.text.parse::<f64>() {
            Ok(number) if plain && limits.hold(number) => Some(number + 0.0),
            Ok(number) if plain => {
                self.wrong(cell, &limits.to_string(), limits.hint(number), faults);
                None
            }
            _ => {
                self.wrong(cell, &limits.to_string(), "write a plain decimal number with a point", faults);
                None
            }
        }
    }

    fn mm(&self, column: usize, limits: Limits, faults: &mut Vec<Fault>) -> Option<Mm> {
        self.number(column, limits, faults).map(Mm::new)
    }

    fn word<T: Copy>(&self, column: usize, words: &[(&'static str, T)], faults: &mut Vec<Fault>) -> Option<T> {
        let cell = self.cell(column)?;
        let found = words.iter().find(|(word, _)| *word == cell.text).map(|(_, meaning)| *meaning);
        if found.is_none() {
            let known = words.iter().map(|(word, _)| *word);
            self.wrong(cell, &choices(known.clone()), &suggestion(cell.text, known), faults);
        }
        found
    }

    fn power(&self, column: usize, faults: &mut Vec<Fault>) -> Option<Power> {
        let cell = self.cell(column)?;
        match Power::parse_eighths(cell.text) {
            Ok(power) => Some(power),
            Err(fault) => {
                self.fault(cell, format!("`{}`: {fault}", COLUMNS[column]), fault.hint(), faults);
                None
            }
        }
    }

    fn date(&self, column: usize, faults: &mut Vec<Fault>) -> Option<Date> {
        let cell = self.cell(column)?;
        let date = cell.text.parse::<Date>().ok().filter(|_| cell.text.len() == 10);
        if date.is_none() {
            self.wrong(cell, "a date", "write year-month-day: 2026-03-02", faults);
        }
        date
    }

    fn text(&self, column: usize) -> Option<String> {
        self.cell(column).map(|cell| cell.text.to_owned())
    }

    fn blank(&self, rules: &Rules, faults: &mut Vec<Fault>) -> Option<Blank> {
        let before = faults.len();
        if self.record.len() > self.columns.1 {
            faults.push(Fault::at(
                cell_span(self.raw, self.at, self.columns.1),
                format!("{} cells, but the header names {}", self.record.len(), self.columns.1),
                "is there a comma inside a text? Put that text in double quotes",
            ));
            return None;
        }
        let sku = self.text(const { column("sku") });
        if sku.is_none() {
            self.missing(const { column("sku") }, faults);
        }
        let material = self.material(rules, faults);
        let sphere = self.power(const { column("sphere_d") }, faults);
        if sphere.is_none() && self.cell(const { column("sphere_d") }).is_none() {
            self.missing(const { column("sphere_d") }, faults);
        }
        let nominal = self.mm(const { column("nominal_mm") }, limits::DIAMETER, faults);
        if nominal.is_none() && self.cell(const { column("nominal_mm") }).is_none() {
            self.missing(const { column("nominal_mm") }, faults);
        }
        let (power, fixed_axis) = self.cylinder(sphere, faults);
        let index = self.number(const { column("index") }, limits::INDEX, faults);
        let index_line = self.word(const { column("index_line") }, IndexLine::WORDS, faults).unwrap_or(IndexLine::D);
        let own = index.or_else(|| {
            let material = material?;
            Some(if index_line == IndexLine::E { material.n_e.unwrap_or(material.n_d) } else { material.n_d })
        });
        let usable = self.mm(const { column("usable_mm") }, limits::DIAMETER, faults);
        if let (Some(usable), Some(nominal), Some(cell)) = (usable, nominal, self.cell(const { column("usable_mm") }))
            && usable > nominal
        {
            self.wrong(
                cell,
                &format!("at most the nominal {} mm", nominal.mm()),
                "are the two diameters exchanged?",
                faults,
            );
        }
        let blank = Blank {
            front_curve: self.front_curve(own, faults),
            check: self.check(faults),
            prism: self.prism(faults),
            treatments: self.treatments(rules, faults),
            unit_cost: self.cost(faults),
            for_order: self.for_order(faults),
            series: self.text(const { column("series") }),
            lot: self.text(const { column("lot") }),
            kind: self.word(const { column("type") }, LensType::WORDS, faults).unwrap_or(LensType::SingleVision),
            form: self.word(const { column("form") }, LensForm::WORDS, faults).unwrap_or(LensForm::Unknown),
            add: self.power(const { column("add_d") }, faults),
            eye: self.word(const { column("eye") }, &[("right", Eye::Right), ("left", Eye::Left)], faults),
            usable,
            middle_in: self.mm(const { column("middle_in_mm") }, limits::SHIFT, faults).unwrap_or(Mm::ZERO),
            middle_up: self.mm(const { column("middle_up_mm") }, limits::SHIFT, faults).unwrap_or(Mm::ZERO),
            centre: self.mm(const { column("centre_mm") }, limits::THICKNESS, faults),
            index,
            index_line,
            polarised_deg: self.number(const { column("polarised_deg") }, limits::DIRECTION, faults),
            received: self.date(const { column("received") }, faults),
            quantity: self.number(const { column("quantity") }, PIECES, faults).map_or(1, |n| n as u32),
            place: self.text(const { column("place") }),
            state: self.word(const { column("state") }, BlankState::WORDS, faults).unwrap_or(BlankState::Finished),
            torus: self.word(const { column("torus") }, TorusSide::WORDS, faults).unwrap_or(TorusSide::Back),
            fixed_axis,
            power: power?,
            sku: sku?,
            material: material?.id.clone(),
            nominal: nominal?,
        };
        (faults.len() == before).then_some(blank)
    }

    fn material<'m>(&self, rules: &'m Rules, faults: &mut Vec<Fault>) -> Option<&'m job::Material> {
        let Some(cell) = self.cell(const { column("material") }) else {
            self.missing(const { column("material") }, faults);
            return None;
        };
        let found = rules.materials.iter().find(|m| m.id.as_str() == cell.text);
        if found.is_none() {
            let known = rules.materials.iter().map(|m| m.id.as_str());
            self.wrong(cell, "a material of the rules", &suggestion(cell.text, known), faults);
        }
        found
    }

    /// Power and, where the row has one, the axis on the packet. A cylinder without axis lies along the packet's line.
    fn cylinder(&self, sphere: Option<Power>, faults: &mut Vec<Fault>) -> (Option<OrderedPower>, Option<Axis>) {
        let none = self.cell(const { column("cylinder_d") }).is_some_and(|c| c.text.eq_ignore_ascii_case("none"));
        let cylinder = if none { None } else { self.power(const { column("cylinder_d") }, faults) };
        let axis = self.cell(const { column("axis_deg") }).and_then(|cell| {
            let axis = cell.text.parse::<Axis>();
            if axis.is_err() {
                self.wrong(cell, "an axis from 0 to 180 degrees, whole or half", "read the packet again", faults);
            }
            axis.ok()
        });
        if let (Some(cell), None, false) = (
            self.cell(const { column("axis_deg") }),
            cylinder,
            self.cell(const { column("cylinder_d") }).is_some() && !none,
        ) {
            self.fault(
                cell,
                "`axis_deg` is given without a cylinder",
                "write the cylinder, or leave the axis empty",
                faults,
            );
        }
        let along = Axis::from_half_degrees(360);
        let lies = cylinder.filter(|c| *c != Power::ZERO).and_then(|c| Some((c, axis.or(along)?)));
        (sphere.map(|s| OrderedPower::new(s, lies)), axis.filter(|_| lies.is_some()))
    }

    fn front_curve(&self, own: Option<f64>, faults: &mut Vec<Fault>) -> Option<FrontCurve> {
        let curve_d = self.number(const { column("front_curve_d") }, limits::CURVE, faults);
        let index = self.number(const { column("front_curve_index") }, limits::INDEX, faults);
        match (self.cell(const { column("front_curve_d") }), self.cell(const { column("front_curve_index") })) {
            (Some(cell), None) => {
                self.fault(
                    cell,
                    "`front_curve_d` has no index",
                    "write front_curve_index: 1.530, or the lens's own",
                    faults,
                );
                None
            }
            (Some(_), Some(cell)) => {
                let (curve_d, index) = (curve_d?, index?);
                let marked = (index - optics::curves::TOOLING_INDEX).abs() < SAME_INDEX;
                let known = own.is_none_or(|own| (index - own).abs() < SAME_INDEX);
                if !marked && !known {
                    let expected = format!("1.530 or the lens's own {}", own.unwrap_or_default());
                    self.wrong(cell, &expected, "a curve is stated on one of the two", faults);
                    return None;
                }
                let index = if marked { optics::curves::TOOLING_INDEX } else { own.unwrap_or(index) };
                Some(FrontCurve { curve_d, index })
            }
            _ => None,
        }
    }

    fn check(&self, faults: &mut Vec<Fault>) -> Option<CheckThickness> {
        let thickness = self.mm(const { column("check_mm") }, limits::THICKNESS, faults);
        let radius = self.mm(const { column("check_radius_mm") }, Limits::between(0.0, 75.0, "mm"), faults);
        let deg = self.number(const { column("check_deg") }, limits::DIRECTION, faults);
        if let (Some(cell), None) =
            (self.cell(const { column("check_mm") }), self.cell(const { column("check_radius_mm") }))
        {
            self.fault(
                cell,
                "`check_mm` has no radius",
                "write check_radius_mm: how far from the middle it was measured",
                faults,
            );
        }
        Some(CheckThickness { thickness: thickness?, radius: radius?, deg })
    }

    fn prism(&self, faults: &mut Vec<Fault>) -> Option<InUp> {
        let base_in = self.number(const { column("base_in_cm_per_m") }, GROUND, faults);
        let base_up = self.number(const { column("base_up_cm_per_m") }, GROUND, faults);
        let part = |p: Option<f64>| CmPerM::new(p.unwrap_or(0.0));
        (base_in.is_some() || base_up.is_some()).then(|| InUp { base_in: part(base_in), base_up: part(base_up) })
    }

    fn treatments(&self, rules: &Rules, faults: &mut Vec<Fault>) -> Treatments {
        let Some(cell) = self.cell(const { column("treatments") }) else { return Treatments::NONE };
        cell.text.split('+').map(str::trim).fold(Treatments::NONE, |set, name| match rules.treatments.find(name) {
            Some(one) => set.with(one),
            None => {
                let known = rules.treatments.all().iter().map(String::as_str);
                let hint = suggestion(name, known);
                self.fault(cell, format!("`{}` is no treatment that the rules know", shown(name)), hint, faults);
                set
            }
        })
    }

    fn cost(&self, faults: &mut Vec<Fault>) -> Option<Cost> {
        let minor = self.number(const { column("unit_cost_minor") }, COST, faults);
        let currency = self.cell(const { column("currency") });
        match (minor, currency) {
            (Some(minor), Some(cell)) => match <[u8; 3]>::try_from(cell.text.as_bytes()) {
                Ok(code) if code.iter().all(u8::is_ascii_uppercase) && minor % 1.0 == 0.0 => {
                    Some(Cost { minor: minor as i64, currency: code })
                }
                _ => {
                    self.wrong(
                        cell,
                        "a currency of three capitals, with a whole cost",
                        "write EUR, GBP or another ISO 4217 code",
                        faults,
                    );
                    None
                }
            },
            (Some(_), None) => {
                if let Some(cell) = self.cell(const { column("unit_cost_minor") }) {
                    self.fault(cell, "`unit_cost_minor` has no currency", "write currency, an ISO 4217 code", faults);
                }
                None
            }
            _ => None,
        }
    }

    fn for_order(&self, faults: &mut Vec<Fault>) -> Option<OrderNumber> {
        let cell = self.cell(const { column("for_order") })?;
        let number = OrderNumber::new(cell.text);
        if number.is_none() {
            self.wrong(cell, "an order number of digits", "write the order's number", faults);
        }
        number
    }
}
