//! The invented shelf: six series of finished lenses, a few oddities, as a small bench would hold them.

use super::blank::{Glass, Label, centre_mm, usual_front_d};
use super::chance::Chance;

/// Columns, without those that no row would fill.
const COLUMNS: [&str; 29] = [
    "sku",
    "material",
    "series",
    "lot",
    "type",
    "form",
    "sphere_d",
    "cylinder_d",
    "axis_deg",
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
    "treatments",
    "polarised_deg",
    "for_order",
    "received",
    "quantity",
    "unit_cost_minor",
    "currency",
    "place",
    "state",
];

/// A series: one material, one look.
struct Series {
    code: &'static str,
    name: &'static str,
    material: &'static str,
    index: f64,
    form: &'static str,
    treatments: &'static str,
    polarised: bool,
    /// Lowest and highest sphere, quarter dioptres.
    spheres: (i32, i32),
    /// Strongest cylinder kept, quarter dioptres.
    cylinders: i32,
    /// Of the powers that are not round, how many are kept.
    kept: f64,
    /// Diameters by sign: minus and plano, plus.
    diameters: (&'static [u32], &'static [u32]),
    /// Least centre, and the edge at the rim of a plus blank.
    least_mm: f64,
    rim_edge_mm: f64,
    /// Fronts that the maker has, D on 1.530.
    fronts: &'static [f64],
    /// Fronts are this much flatter than Vogel's rule.
    flatter_d: f64,
    /// Shelf letter.
    shelf: char,
    cost: i64,
}

const FRONTS: &[f64] = &[1.25, 2.25, 3.25, 4.25, 5.25, 6.25, 7.25, 8.25, 9.25];
const COATS: &str = "anti-reflective+hydrophobic";

const SERIES: &[Series] = &[
    Series {
        code: "A50",
        name: "pebble",
        material: "adc-1.498",
        index: 1.498,
        form: "spheric",
        treatments: COATS,
        polarised: false,
        spheres: (-16, 16),
        cylinders: -8,
        kept: 0.35,
        diameters: (&[70], &[65]),
        least_mm: 2.0,
        rim_edge_mm: 1.1,
        fronts: FRONTS,
        flatter_d: 0.0,
        shelf: 'A',
        cost: 420,
    },
    Series {
        code: "A50H",
        name: "shingle",
        material: "adc-1.498",
        index: 1.498,
        form: "spheric",
        treatments: "scratch",
        polarised: false,
        spheres: (-12, 12),
        cylinders: -4,
        kept: 0.12,
        diameters: (&[70], &[65]),
        least_mm: 2.0,
        rim_edge_mm: 1.1,
        fronts: FRONTS,
        flatter_d: 0.0,
        shelf: 'A',
        cost: 260,
    },
    Series {
        code: "P59",
        name: "slate",
        material: "polycarbonate-1.586",
        index: 1.586,
        form: "spheric",
        treatments: COATS,
        polarised: false,
        spheres: (-24, 16),
        cylinders: -10,
        kept: 0.2,
        diameters: (&[65], &[65]),
        least_mm: 1.6,
        rim_edge_mm: 1.1,
        fronts: FRONTS,
        flatter_d: 0.25,
        shelf: 'B',
        cost: 690,
    },
    Series {
        code: "T60",
        name: "reed",
        material: "thiourethane-1.60",
        index: 1.592,
        form: "spheric",
        treatments: COATS,
        polarised: false,
        spheres: (-32, 24),
        cylinders: -16,
        kept: 0.1,
        diameters: (&[65, 70], &[65]),
        least_mm: 1.5,
        rim_edge_mm: 1.0,
        fronts: FRONTS,
        flatter_d: 1.0,
        shelf: 'C',
        cost: 1150,
    },
    Series {
        code: "T67",
        name: "heron",
        material: "thiourethane-1.67",
        index: 1.660,
        form: "spheric",
        treatments: COATS,
        polarised: false,
        spheres: (-40, -16),
        cylinders: -8,
        kept: 0.12,
        diameters: (&[70], &[65]),
        least_mm: 1.3,
        rim_edge_mm: 1.0,
        fronts: FRONTS,
        flatter_d: 0.5,
        shelf: 'D',
        cost: 1980,
    },
    Series {
        code: "T67A",
        name: "gannet",
        material: "thiourethane-1.67",
        index: 1.660,
        form: "aspheric",
        treatments: COATS,
        polarised: false,
        spheres: (-40, 24),
        cylinders: -4,
        kept: 0.05,
        diameters: (&[75], &[70]),
        least_mm: 1.3,
        rim_edge_mm: 1.0,
        fronts: FRONTS,
        flatter_d: 2.5,
        shelf: 'D',
        cost: 2740,
    },
    Series {
        code: "A50S",
        name: "dusk",
        material: "adc-1.498",
        index: 1.498,
        form: "spheric",
        treatments: "scratch+tint+polarised",
        polarised: true,
        spheres: (-8, 8),
        cylinders: 0,
        kept: 0.3,
        diameters: (&[75], &[70]),
        least_mm: 2.0,
        rim_edge_mm: 1.1,
        fronts: &[4.25, 6.25, 8.25],
        flatter_d: 0.0,
        shelf: 'E',
        cost: 1490,
    },
];

const FRONT_625: (&str, &str) = ("front_curve_d", "6.25");
const ON_1530: (&str, &str) = ("front_curve_index", "1.530");

/// What the orders of the demo need to find, as its README tells it: cells of rows that chance would fill otherwise.
/// A row named here is always on the shelf.
const TOLD: &[(&str, &[(&str, &str)])] = &[
    // 0140, plano sun lenses.
    ("A50S-p000-c000-75", &[("quantity", "4"), ("centre_mm", "2.0"), FRONT_625, ON_1530]),
    // 0141, low minus.
    ("A50-m125-c050-70", &[("quantity", "3")]),
    ("A50-m150-c025-70", &[("quantity", "2")]),
    // 0142, low plus.
    ("A50-p125-c000-65", &[("quantity", "4")]),
    ("A50-p175-c050-65", &[("quantity", "2")]),
    // 0143, high minus, come in for this order.
    ("T67-m750-c100-70", &[("quantity", "1"), ("for_order", "0143"), ("received", "2026-02-27"), ("usable_mm", "69")]),
    ("T67-m800-c075-70", &[("quantity", "1"), ("for_order", "0143"), ("received", "2026-02-27"), ("usable_mm", "69")]),
    // 0144, high plus: the larger blank would do as well, and be thicker.
    ("T60-p525-c000-65", &[("quantity", "2")]),
    ("T60-p525-c000-70", &[("quantity", "2")]),
    ("T60-p575-c050-65", &[("quantity", "1")]),
    ("T60-p575-c050-70", &[("quantity", "2")]),
    // 0145, high cylinder.
    ("T60-m075-c300-70", &[("quantity", "1")]),
    ("T60-m075-c325-70", &[("quantity", "1")]),
    // 0146, prism.
    ("P59-m375-c000-65", &[("quantity", "3")]),
    ("P59-m425-c100-65", &[("quantity", "2")]),
    // 0147, anisometropia.
    ("P59-m125-c000-65", &[("quantity", "2")]),
    ("P59-m475-c000-65", &[("quantity", "1")]),
    // 0148, a deep shape.
    ("P59-m200-c075-65", &[("quantity", "2")]),
    ("P59-m225-c050-65", &[("quantity", "2")]),
    // 0149, a child.
    ("P59-p225-c050-65", &[("quantity", "2")]),
    ("P59-p250-c075-65", &[("quantity", "1")]),
    // 0150, one lens to match.
    ("A50-m225-c075-70", &[("quantity", "2")]),
    // 0152, once the axis is right.
    ("A50-m175-c100-70", &[("quantity", "2")]),
    ("A50-m200-c125-70", &[("quantity", "1")]),
    // 0153, once the distance is right.
    ("P59-m175-c000-65", &[("quantity", "3")]),
    ("P59-m200-c000-65", &[("quantity", "2")]),
    // 0154, once the distance is measured.
    ("T60-m600-c000-70", &[("quantity", "2")]),
    ("T60-m625-c050-70", &[("quantity", "1")]),
    // 0155, nylon cord.
    ("A50-m250-c050-70", &[("quantity", "2")]),
    ("A50-m275-c000-70", &[("quantity", "2")]),
    // 0156, the 65 mm blank that only the rule of thumb lets pass.
    ("T60-m200-c000-65", &[("quantity", "4"), ("usable_mm", "64")]),
    ("T60-m200-c000-70", &[("quantity", "2"), ("usable_mm", "69")]),
    ("T60-m225-c000-65", &[("quantity", "3"), ("usable_mm", "64")]),
    ("T60-m225-c000-70", &[("quantity", "2"), ("usable_mm", "69")]),
    // 0157 and 0158, the last one of a kind.
    ("P59-m275-c000-65", &[("quantity", "2")]),
    ("P59-m300-c000-65", &[("quantity", "2")]),
    ("P59-m325-c050-65", &[("quantity", "1")]),
    ("P59-m325-c050-70", &[("quantity", "2")]),
    // Kept for orders of other days.
    ("T60-m525-c200-70", &[("quantity", "1"), ("for_order", "0131")]),
    ("T60-m500-c225-70", &[("quantity", "1"), ("for_order", "0131")]),
    ("T67A-p600-c050-70", &[("quantity", "2"), ("for_order", "0137")]),
    // Packets that do not say whether they are aspheric.
    ("A50-m300-c000-70", &[("form", "unknown")]),
    ("P59-p100-c000-65", &[("form", "unknown")]),
    // 0159, readers.
    ("A50-p200-c000-65", &[("quantity", "4")]),
    ("A50-p225-c000-65", &[("quantity", "2")]),
];

/// Rows beside the grid of powers: taken from a row of it, with cells of their own.
const ODD: &[(&str, &[(&str, &str)])] = &[
    // 0160: middles 3 mm off the optical centre, so that 65 mm reach as far as 71 mm to one side; thicker for it.
    ("T60-p350-c000-65", &decentred("T60-p350-c000-65-d3", "", "4.9")),
    ("T60-p375-c000-65", &decentred("T60-p375-c000-65-d3", "", "5.2")),
    ("T60-p450-c000-65", &decentred("T60-p450-c000-65-d3r", "right", "6.2")),
    ("T60-p450-c000-65", &decentred("T60-p450-c000-65-d3l", "left", "6.2")),
    // A film and a cylinder fix one another.
    (
        "A50S-m100-c000-75",
        &[
            ("sku", "A50S-m100-c050-75"),
            ("cylinder_d", "-0.50"),
            ("axis_deg", "180"),
            ("check_mm", ""),
            ("check_radius_mm", ""),
            ("check_deg", ""),
        ],
    ),
    (
        "A50S-m100-c000-75",
        &[
            ("sku", "A50S-m100-c050-75v"),
            ("cylinder_d", "-0.50"),
            ("axis_deg", "90"),
            ("check_mm", ""),
            ("check_radius_mm", ""),
            ("check_deg", ""),
        ],
    ),
    // Darker above than below: may not be turned.
    ("A50S-p000-c000-75", &gradient("A50G-p000-c000-75", "plano")),
    ("A50S-m100-c000-75", &gradient("A50G-m100-c000-75", "-1.00")),
    ("A50S-m200-c000-75", &gradient("A50G-m200-c000-75", "-2.00")),
    // One surface done: for a lab that surfaces.
    ("A50-p000-c000-70", &semi_finished("A50-semi-425-75", "4.25", "A11-1")),
    ("A50-p000-c000-70", &semi_finished("A50-semi-625-75", "6.25", "A11-2")),
    ("P59-p000-c000-65", &semi_finished("P59-semi-425-75", "4.25", "B11-1")),
    ("P59-p000-c000-65", &semi_finished("P59-semi-625-75", "6.25", "B11-2")),
    ("T60-p000-c000-65", &semi_finished("T60-semi-325-75", "3.25", "C11-1")),
];

type Cells<const N: usize> = [(&'static str, &'static str); N];

const fn decentred(sku: &'static str, eye: &'static str, centre_mm: &'static str) -> Cells<12> {
    [
        ("sku", sku),
        ("eye", eye),
        ("usable_mm", "64"),
        ("middle_in_mm", "-3.0"),
        ("middle_up_mm", "0.0"),
        ("centre_mm", centre_mm),
        ("check_mm", ""),
        ("check_radius_mm", ""),
        ("check_deg", ""),
        ("front_curve_d", "8.25"),
        ("front_curve_index", "1.530"),
        ("quantity", "2"),
    ]
}

const fn gradient(sku: &'static str, sphere_d: &'static str) -> Cells<4> {
    [("sku", sku), ("sphere_d", sphere_d), ("treatments", "scratch+tint+gradient"), ("polarised_deg", "")]
}

const fn semi_finished(sku: &'static str, front_curve_d: &'static str, place: &'static str) -> Cells<13> {
    [
        ("sku", sku),
        ("quantity", "4"),
        ("nominal_mm", "75"),
        ("usable_mm", "74"),
        ("centre_mm", "9.0"),
        ("check_mm", ""),
        ("check_radius_mm", ""),
        ("check_deg", ""),
        ("front_curve_d", front_curve_d),
        ("front_curve_index", "1.530"),
        ("treatments", "scratch"),
        ("place", place),
        ("state", "semi-finished"),
    ]
}

/// The shelf as CSV, or the name of a row that is told of and does not come about.
pub(crate) fn shelf() -> Result<String, String> {
    let mut rows = Vec::new();
    for series in SERIES {
        for sphere in series.spheres.0..=series.spheres.1 {
            for cylinder in (series.cylinders..=0).rev() {
                for &nominal in &[65, 70, 75] {
                    let label = Label { sphere_d: f64::from(sphere) / 4.0, cylinder_d: f64::from(cylinder) / 4.0 };
                    let sku = sku(series.code, label, nominal);
                    let diameters = if label.equivalent_d() > 0.0 { series.diameters.1 } else { series.diameters.0 };
                    let told = TOLD.iter().find(|(name, _)| *name == sku).map(|(_, cells)| *cells);
                    let kept = diameters.contains(&nominal) && is_kept(series, (sphere, cylinder), &sku);
                    let odd = ODD.iter().filter(|(name, _)| *name == sku);
                    if kept || told.is_some() {
                        rows.push(row(series, label, nominal, &sku).with(told.unwrap_or_default()));
                    }
                    rows.extend(odd.map(|(_, cells)| row(series, label, nominal, &sku).with(cells)));
                }
            }
        }
    }
    for (name, _) in TOLD {
        if !rows.iter().any(|row| row.get("sku") == *name) {
            return Err(format!("{name} is told of, but no series has it"));
        }
    }
    let mut out = COLUMNS.join(",");
    for row in rows {
        out.push('\n');
        out.push_str(&row.0.join(","));
    }
    out.push('\n');
    Ok(out)
}

/// One line of the file.
struct Row([String; COLUMNS.len()]);

impl Row {
    fn set(&mut self, column: &str, cell: impl Into<String>) {
        if let Some(i) = COLUMNS.iter().position(|c| *c == column) {
            self.0[i] = cell.into();
        }
    }

    fn get(&self, column: &str) -> &str {
        COLUMNS.iter().position(|c| *c == column).map_or("", |i| &self.0[i])
    }

    fn with(mut self, cells: &[(&str, &str)]) -> Self {
        for (column, cell) in cells {
            self.set(column, *cell);
        }
        self
    }
}

/// A small bench keeps round powers, and of the others what came back or was once ordered for someone.
fn is_kept(series: &Series, (sphere, cylinder): (i32, i32), sku: &str) -> bool {
    let common = cylinder == 0 && series.kept >= 0.1 && series.name != "shingle" && sphere.abs() <= 16;
    common || Chance::of(&format!("keep {sku}")).happens(series.kept)
}

/// Material and series, sphere, cylinder, diameter: `A50-m125-c050-70`.
fn sku(code: &str, label: Label, nominal: u32) -> String {
    let hundredths = |d: f64| (d.abs() * 100.0).round() as i64;
    let sign = if label.sphere_d < 0.0 { 'm' } else { 'p' };
    format!("{code}-{sign}{:03}-c{:03}-{nominal}", hundredths(label.sphere_d), hundredths(label.cylinder_d))
}

fn row(series: &Series, label: Label, nominal: u32, sku: &str) -> Row {
    let mut chance = Chance::of(sku);
    let mut row = Row(Default::default());
    row.set("sku", sku);
    row.set("material", series.material);
    row.set("series", series.name);
    row.set("lot", lot(series, &mut chance));
    row.set("type", "single-vision");
    row.set("form", series.form);
    row.set("sphere_d", if label.sphere_d == 0.0 { "plano".to_owned() } else { format!("{:+.2}", label.sphere_d) });
    if label.cylinder_d != 0.0 {
        row.set("cylinder_d", format!("{:+.2}", label.cylinder_d));
    }
    row.set("nominal_mm", nominal.to_string());
    if chance.happens(0.7) {
        row.set("usable_mm", format!("{}", nominal - 1));
    }
    glass(&mut row, series, label, f64::from(nominal) / 2.0, &mut chance);
    row.set("treatments", series.treatments);
    if series.polarised {
        row.set("polarised_deg", "180");
    }
    row.set("received", format!("2025-{:02}-{:02}", 4 + chance.below(9), 1 + chance.below(28)));
    row.set("quantity", QUANTITIES[chance.below(QUANTITIES.len() as u32) as usize]);
    row.set("unit_cost_minor", (series.cost + 10 * i64::from(chance.below(12))).to_string());
    row.set("currency", "EUR");
    row.set("place", format!("{}{}-{}", series.shelf, 1 + (label.sphere_d.abs() as u32).min(9), 1 + chance.below(24)));
    row.set("state", "finished");
    row
}

/// Most of a series comes in one delivery; what ran out was bought again.
fn lot(series: &Series, chance: &mut Chance) -> String {
    let deliveries = ["A", "A", "A", "A", "A", "A", "A", "A", "A", "A", "B", "C"];
    let week = 10 + Chance::of(series.name).below(30);
    format!("25{week}{}", deliveries[chance.below(deliveries.len() as u32) as usize])
}

/// Most kinds are there once or twice; some have run out.
const QUANTITIES: &[&str] = &["0", "1", "1", "2", "2", "2", "2", "3", "3", "4", "4", "6"];

/// Front, centre and check thickness, as far as the packet tells them.
fn glass(row: &mut Row, series: &Series, label: Label, rim_mm: f64, chance: &mut Chance) {
    let wanted = usual_front_d(label) - series.flatter_d;
    let off = |front: f64| (front - wanted).abs();
    let front_1530_d =
        series.fronts.iter().copied().min_by(|a, b| off(*a).total_cmp(&off(*b))).unwrap_or(usual_front_d(label));
    let Series { index, least_mm, rim_edge_mm, .. } = *series;
    let centre_mm = centre_mm(index, front_1530_d, label, rim_mm, rim_edge_mm, least_mm);
    // A packet in twenty states no curve, one in twenty no thickness.
    let (curve, centre, check) = (!chance.happens(0.05), !chance.happens(0.05), chance.happens(0.2));
    if curve {
        row.set("front_curve_d", format!("{front_1530_d:.2}"));
        row.set("front_curve_index", "1.530");
    }
    if centre {
        row.set("centre_mm", format!("{centre_mm:.1}"));
    }
    // An aspheric surface leaves the sphere towards the rim, so its check thickness is the one to believe.
    let aspheric_mm = if series.form == "aspheric" { 0.15 * label.equivalent_d().signum() } else { 0.0 };
    if centre && (check || series.form == "aspheric") {
        let at_mm = rim_mm - 5.0;
        let along_0 = Glass { index, front_1530_d, centre_mm }.thickness_mm(label.sphere_d, at_mm);
        row.set("check_mm", format!("{:.1}", along_0 + aspheric_mm));
        row.set("check_radius_mm", format!("{at_mm:.1}"));
        row.set("check_deg", "180");
    }
}
