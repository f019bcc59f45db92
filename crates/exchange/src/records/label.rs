//! The labels that a finishing lab meets: meaning, form, unit, expected range, and how sure we are of each.
//!
//! Own words throughout. `mark` says where the row comes from: `seen` in text of the standard, `secondary` for a public
//! secondary source, `data` for the shape of real record data, `memory high`, `memory medium`, `memory low`. Ranges are
//! ours, for warnings only.

/// What the fields of a label hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Sign, digits, one decimal point; no exponent, no comma.
    Number,
    /// Sign and digits.
    Integer,
    /// Free text, perhaps in double quotes.
    Text,
    /// One of a list of digits or letters.
    Code,
}

/// How many fields a label has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// One.
    Scalar,
    /// Right; left.
    Pair,
    /// Any number; read by whoever knows the label.
    List,
}

/// One row of the label table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Label {
    /// As it stands in a record.
    pub name: &'static str,
    /// What it says, in our words.
    pub meaning: &'static str,
    /// What its fields hold.
    pub kind: Kind,
    /// How many fields it has.
    pub shape: Shape,
    /// Unit of a number; empty for none.
    pub unit: &'static str,
    /// Range outside which a value is warned about. Ours, not the standard's.
    pub range: Option<(f64, f64)>,
    /// Whether it may stand more than once.
    pub repeats: bool,
    /// How sure we are of the label and its form.
    pub mark: &'static str,
}

impl Label {
    /// The row of a label in upper case; `None` where the table does not have it.
    #[must_use]
    pub fn find(name: &str) -> Option<&'static Self> {
        let row = key(name).and_then(|key| KEYS.binary_search(&key).ok()).and_then(|at| TABLE.get(at));
        row.or_else(|| is_point_label(name).then_some(&POINT))
    }

    /// Every row, in order of name. Labels between two reference points (`FCOCIN` and the like) are not listed.
    #[must_use]
    pub const fn all() -> &'static [Self] {
        TABLE
    }
}

/// A name of at most 8 bytes as one number, in the same order: a label is looked up in every record of every file.
const fn key(name: &str) -> Option<u64> {
    let bytes = name.as_bytes();
    if bytes.len() > 8 {
        return None;
    }
    let mut key = 0;
    let mut i = 0;
    while i < 8 {
        if i < bytes.len() && bytes[i] == 0 {
            return None;
        }
        key = key << 8 | if i < bytes.len() { bytes[i] as u64 } else { 0 };
        i += 1;
    }
    Some(key)
}

/// The names of the table as numbers.
const KEYS: [u64; TABLE.len()] = {
    let mut keys = [0; TABLE.len()];
    let mut i = 0;
    while i < keys.len() {
        if let Some(key) = key(TABLE[i].name) {
            keys[i] = key;
        }
        i += 1;
    }
    keys
};

/// Two reference points and IN or UP: where the second lies, seen from the first.
fn is_point_label(name: &str) -> bool {
    const POINTS: [&str; 10] = ["BC", "DR", "ER", "FB", "FC", "NR", "OC", "PR", "SB", "SG"];
    match (name.get(0..2), name.get(2..4), name.get(4..)) {
        (Some(from), Some(to), Some("IN" | "UP")) => POINTS.contains(&from) && POINTS.contains(&to),
        _ => false,
    }
}

const HIGH: &str = "memory high";
const MEDIUM: &str = "memory medium";
const LOW: &str = "memory low";
const DATA: &str = "data";
const SECONDARY: &str = "secondary";

const fn row(name: &'static str, meaning: &'static str, kind: Kind, shape: Shape, mark: &'static str) -> Label {
    Label { name, meaning, kind, shape, unit: "", range: None, repeats: false, mark }
}
const fn text(name: &'static str, meaning: &'static str, mark: &'static str) -> Label {
    row(name, meaning, Kind::Text, Shape::Scalar, mark)
}
const fn texts(name: &'static str, meaning: &'static str, mark: &'static str) -> Label {
    row(name, meaning, Kind::Text, Shape::Pair, mark)
}
const fn code(name: &'static str, meaning: &'static str, mark: &'static str) -> Label {
    row(name, meaning, Kind::Code, Shape::Scalar, mark)
}
const fn codes(name: &'static str, meaning: &'static str, mark: &'static str) -> Label {
    row(name, meaning, Kind::Code, Shape::Pair, mark)
}
/// A list that may go on in a further record with the same label.
const fn list(name: &'static str, meaning: &'static str, kind: Kind, unit: &'static str, mark: &'static str) -> Label {
    Label { unit, repeats: true, ..row(name, meaning, kind, Shape::List, mark) }
}
const fn pair(name: &'static str, meaning: &'static str, unit: &'static str, mark: &'static str) -> Label {
    Label { unit, ..row(name, meaning, Kind::Number, Shape::Pair, mark) }
}
const fn number(name: &'static str, meaning: &'static str, unit: &'static str, mark: &'static str) -> Label {
    Label { unit, ..row(name, meaning, Kind::Number, Shape::Scalar, mark) }
}
const fn within(label: Label, low: f64, high: f64) -> Label {
    Label { range: Some((low, high)), ..label }
}

const POINT: Label = pair(
    "(two points)(IN or UP)",
    "where the second point lies seen from the first; IN positive toward the nose, UP positive upward",
    "mm",
    MEDIUM,
);

/// In order of name, which a test holds.
const TABLE: &[Label] = &[
    list("A", "angles of the radii, with uneven spacing only", Kind::Integer, "0.01 degree", HIGH),
    texts("ACOAT", "anti-reflection coating", MEDIUM),
    within(pair("ADD", "addition", "D", HIGH), 0.0, 6.0),
    code("ANS", "answer to a request", SECONDARY),
    within(pair("AX", "cylinder axis; 0 and 180 are the same", "degree", HIGH), 0.0, 180.0),
    pair("BACK", "back curve at TIND", "D", MEDIUM),
    pair("BEVC", "curve of the bevel", "D", DATA),
    pair("BEVM", "amount that goes with BEVP: mm, or percent", "", DATA),
    codes("BEVP", "bevel or groove placement", DATA),
    pair("BLKB", "block curve", "D", MEDIUM),
    texts("BLKCMP", "correction that belongs to the block", LOW),
    pair("BLKD", "block diameter", "mm", MEDIUM),
    codes("BLKTYP", "block type", MEDIUM),
    within(pair("BSIZ", "size change wanted, by the box", "mm", DATA), -3.0, 3.0),
    within(pair("BVD", "distance from the back vertex to the eye", "mm", MEDIUM), 0.0, 30.0),
    within(pair("CIRC", "circumference; flat or in space is left open", "mm", DATA), 60.0, 250.0),
    within(pair("CIRC3D", "circumference in space", "mm", LOW), 60.0, 250.0),
    texts("COLR", "colour", MEDIUM),
    Label { kind: Kind::Integer, ..number("CRC", "checksum of the packet", "", LOW) },
    pair("CRIB", "diameter that the blank is cut down to", "mm", MEDIUM),
    within(pair("CSIZ", "size change wanted, by the circumference", "mm", DATA), -3.0, 3.0),
    pair("CTHICK", "centre thickness", "mm", MEDIUM),
    within(pair("CYL", "cylinder, either sign form", "D", HIGH), -15.0, 15.0),
    list("D", "labels that a device wants", Kind::Code, "", MEDIUM),
    within(number("DBL", "distance between lenses", "mm", DATA), 5.0, 40.0),
    code("DEF", "opens a definition of wanted labels", MEDIUM),
    text("DEV", "kind of device", MEDIUM),
    pair("DIA", "blank diameter", "mm", MEDIUM),
    code("DO", "which lenses: B both, R, L", HIGH),
    Label { repeats: false, ..list("DRILL", "drilling, the older and shorter form", Kind::Code, "", MEDIUM) },
    list("DRILLE", "one feature of the drilling; 0 for none", Kind::Code, "", DATA),
    code("ENDDEF", "closes a definition", LOW),
    codes("ETYP", "edge: 1 bevel, 2 flat, 3 groove, 4 small bevel", DATA),
    within(pair("FCRV", "frame curve at index 1.530", "D", DATA), 0.0, 12.0),
    within(pair("FED", "effective diameter: twice the longest radius from the box centre", "mm", DATA), 20.0, 95.0),
    within(pair("FEDAX", "direction of the longest radius", "degree", DATA), 0.0, 360.0),
    text("FMFR", "frame maker", MEDIUM),
    pair("FPINB", "width of the safety bevel, front", "mm", MEDIUM),
    text("FRAM", "frame name", MEDIUM),
    pair("FRNT", "front curve at TIND", "D", MEDIUM),
    codes("FTYP", "rim: 1 plastic, 2 metal, 3 rimless, 4 memory plastic, 0 unknown", MEDIUM),
    pair("GDEPTH", "groove depth", "mm", MEDIUM),
    pair("GWIDTH", "groove width", "mm", MEDIUM),
    within(pair("HBOX", "box width of the shape", "mm", DATA), 20.0, 80.0),
    within(pair("IPD", "far pupil distance of one eye, from the middle of the bridge", "mm", HIGH), 15.0, 45.0),
    text("JOB", "job id; leading zeros count", DATA),
    pair("LIND", "refractive index", "", HIGH),
    Label { kind: Kind::Integer, ..pair("LMATID", "material, by a list that both sides agree on", "", HIGH) },
    codes("LMATTYPE", "material class", MEDIUM),
    texts("LNAM", "lens name", MEDIUM),
    codes("LTYPE", "lens type codes, may be combined", MEDIUM),
    pair("MBASE", "marked base curve", "D", MEDIUM),
    text("MID", "machine id", LOW),
    pair("MINCTR", "least centre thickness", "mm", MEDIUM),
    pair("MINEDG", "least edge thickness", "mm", MEDIUM),
    text("MODEL", "model of the device", MEDIUM),
    within(pair("NPD", "near pupil distance of one eye", "mm", HIGH), 12.0, 45.0),
    within(pair("OCHT", "optical centre above the lowest point of the shape", "mm", MEDIUM), 3.0, 45.0),
    text("OMAV", "version spoken", LOW),
    text("OPERID", "operator", LOW),
    within(pair("PANTO", "tilt of the front about the horizontal", "degree", MEDIUM), -10.0, 30.0),
    pair("PINB", "width of the safety bevel, back", "mm", MEDIUM),
    codes("POLISH", "edge polish: 0 no, 1 yes", MEDIUM),
    within(pair("PRVA", "prism base direction, turned like the axis", "degree", HIGH), 0.0, 360.0),
    within(pair("PRVM", "prism amount", "cm/m", HIGH), 0.0, 20.0),
    list("R", "radii, never the right eye", Kind::Integer, "0.01 mm", DATA),
    Label { repeats: true, ..text("REM", "remark", LOW) },
    code("REQ", "request: a code or the tag of a definition", SECONDARY),
    pair("SDEPTH", "segment depth", "mm", LOW),
    within(pair("SEGHT", "segment top or fitting point above the lowest point", "mm", HIGH), 3.0, 45.0),
    within(pair("SPH", "sphere", "D", HIGH), -30.0, 30.0),
    row("STATUS", "outcome: a number, perhaps a text for the operator", Kind::Code, Shape::List, SECONDARY),
    pair("SWIDTH", "segment width", "mm", LOW),
    pair("TIND", "index at which surface curves are stated", "", MEDIUM),
    texts("TINT", "tint", MEDIUM),
    list("TRCFMT", "opens a trace set: format; count; spacing; eye; source", Kind::Code, "", DATA),
    within(pair("VBOX", "box height of the shape", "mm", DATA), 10.0, 75.0),
    text("VEN", "maker of the device", MEDIUM),
    list("Z", "heights; sign and zero are not settled", Kind::Integer, "0.01 mm", HIGH),
    list("ZA", "angles of the heights, with uneven spacing only", Kind::Integer, "0.01 degree", HIGH),
    list("ZFMT", "opens a set of heights, fields as in TRCFMT", Kind::Code, "", HIGH),
    within(pair("ZTILT", "tilt taken out of, or belonging to, the heights", "degree", MEDIUM), -5.0, 35.0),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_order_and_every_row_is_found() {
        for pair in TABLE.windows(2) {
            assert!(pair[0].name < pair[1].name, "{} before {}", pair[0].name, pair[1].name);
        }
        for row in TABLE {
            assert_eq!(Label::find(row.name), Some(row));
        }
    }

    #[test]
    fn labels_between_two_points_are_known() {
        for name in ["FCOCIN", "FCOCUP", "FBFCIN", "BCERUP"] {
            assert_eq!(Label::find(name), Some(&POINT), "{name}");
        }
        for name in ["FCOC", "XXOCIN", "FCXXIN", "FCOCINX", "FCOCDN"] {
            assert_eq!(Label::find(name), None, "{name}");
        }
    }
}
