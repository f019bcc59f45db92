//! Records for blocker, edger and drill: read back by our own reader, they say what the plan says; and of how sure each
//! label is, `reference/device-records.toml` is the judge.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::collections::BTreeMap;

use exchange::device_records::{CannotDrill, Device, DeviceFile, DeviceRecords, Extent, NoRecords, device_records};
use exchange::records::{self, Reading, Sent, Source, Trace};
use job::{Eye, Eyes, Order, PerEye, Rules};
use outline::Outline;
use planner::plan::{Bench, EyePlan, LensPlan, Plan};
use planner::{Shelf, shape};
use toml::Value;
use units::{Angle, Mm, Working};

const KESTREL: &[u8] = include_bytes!("../../../demo/kestrel-50.txt");
const PLOVER: &[u8] = include_bytes!("../../../demo/plover-43.txt");
const SANDERLING: &[u8] = include_bytes!("../../../demo/sanderling-52.txt");
const SHELF: &[u8] = include_bytes!("../../../demo/shelf.csv");
const LOW_MINUS: &str = include_str!("../../../demo/0141.toml");
const OBLIQUE: &str = include_str!("../../../demo/0145.toml");
const PRISM: &str = include_str!("../../../demo/0146.toml");
const NARROW: &str = include_str!("../../../demo/0148.toml");
const ONE_LENS: &str = include_str!("../../../demo/0150.toml");
const NO_BLANK: &str = include_str!("../../../demo/0151.toml");
const CORD: &str = include_str!("../../../demo/0155.toml");

/// An order, planned on the demo's shelf.
struct Planned {
    plan: Plan,
    order: Order,
    rules: Rules,
}

fn planned_on(order: &str, frame: &[u8], rules: &str, shelf: Option<&[u8]>) -> Planned {
    let rules = exchange::read_rules(rules.as_bytes()).unwrap();
    let order = exchange::read_order(order.as_bytes(), &rules).unwrap();
    let shapes = shape::figure(&exchange::read_traced(frame).unwrap(), &rules).unwrap();
    let shelf = shelf.map(|bytes| Shelf::new(exchange::read_shelf(bytes, &rules).unwrap()));
    let bench = Bench { shelf: shelf.as_ref(), left: None, rules: &rules, uncut: PerEye::default() };
    let plan = planner::plan(&order, &shapes, &bench, Working::off());
    Planned { plan, order, rules }
}

fn planned(order: &str, frame: &[u8]) -> Planned {
    planned_on(order, frame, "", Some(SHELF))
}

/// Replaces what must be there.
fn with(order: &str, changes: &[(&str, &str)]) -> String {
    changes.iter().fold(order.to_owned(), |order, (from, to)| {
        assert!(order.contains(from), "{from}");
        order.replace(from, to)
    })
}

const HOLES: &str = "holes = [
    { eye = \"right\", in_mm = 20.25, up_mm = 2.5, diameter_mm = 1.4 },
    { eye = \"right\", in_mm = -20.0, up_mm = 3.0, diameter_mm = 1.4 },
    { eye = \"left\", in_mm = 20.25, up_mm = 2.5, diameter_mm = 1.6 },
]\n[lens]";

/// The prism pair as one that is screwed to its mounting, with these lines in place of `[lens]`.
fn drilled(holes: &str) -> Planned {
    let order = with(
        PRISM,
        &[
            ("\"full-rim\"", "\"drilled\""),
            ("edge = \"bevel\"\nbevel = \"v\"", "edge = \"flat\"\nleast_edge_mm = { right = 1.8, left = 1.8 }"),
            ("[lens]", holes),
            ("\"rim-groove\"", "\"demo-lens\""),
            ("\"this-frame\"", "\"demo-lens\"\noutline_allowance_mm = 0.0"),
        ],
    );
    let mut planned = planned(&order, KESTREL);
    // Whether this blank is thick enough for its mounting is the planner's to say, and not what is tried here.
    planned.plan.findings.retain(|finding| !finding.kind.code.starts_with("drilled-edge"));
    planned
}

impl Planned {
    fn records(&self, extent: Extent) -> Result<DeviceRecords, NoRecords> {
        device_records(&self.plan, &self.order, &self.rules, extent)
    }

    fn files(&self, extent: Extent) -> Vec<DeviceFile> {
        let open: Vec<_> = self.plan.findings.iter().filter(|finding| finding.is_open()).collect();
        self.records(extent).unwrap_or_else(|why| panic!("{why}: {open:?}")).files
    }

    fn eye(&self, eye: Eye) -> Option<(&EyePlan, &LensPlan)> {
        self.plan.eyes[eye].as_ref().and_then(|plan| Some((plan, plan.lens.as_ref()?)))
    }
}

fn read(file: &DeviceFile) -> Reading {
    let bytes = records::write(&file.records).unwrap();
    for line in bytes.split(|byte| *byte == b'\n') {
        assert!(line.len() <= 79 && line.iter().all(|byte| byte.is_ascii()), "{}", line.escape_ascii());
    }
    assert!(bytes.ends_with(b"\r\n"));
    let reading = records::read(&bytes);
    assert_eq!((reading.errors.as_slice(), reading.warnings.as_slice()), (&[][..], &[][..]), "{:?}", file.device);
    reading
}

/// Every kind of order that the tests go through.
fn day() -> Vec<(&'static str, Planned)> {
    let small = with(LOW_MINUS, &[("bevel = \"v\"", "bevel = \"small\"\nedge_line = { share = 0.375 }")]);
    let grown = with(NARROW, &[("owner = \"shop\"", "owner = \"shop\"\noutline_allowance_mm = 0.4")]);
    let wrap = with(&grown, &[("owner = \"shop\"", "owner = \"shop\"\nface_form_deg = 18.0")]);
    let near = with(
        LOW_MINUS,
        &[
            ("use = \"distance\"", "use = \"near\""),
            ("measured_by", "near_pd_mm = { right = 29.5, left = 30.0 }\nmeasured_by"),
        ],
    );
    let centred = "[block]\nat = \"optical-centre\"\n";
    vec![
        ("low minus", planned(LOW_MINUS, KESTREL)),
        ("oblique", planned(OBLIQUE, KESTREL)),
        ("prism", planned(PRISM, KESTREL)),
        ("narrow", planned(NARROW, PLOVER)),
        ("grown", planned(&grown, PLOVER)),
        ("wrap", planned(&wrap, PLOVER)),
        ("one lens", planned(ONE_LENS, KESTREL)),
        ("cord", planned(CORD, SANDERLING)),
        ("small bevel", planned(&small, KESTREL)),
        ("near", planned(&near, KESTREL)),
        ("on the optical centre", planned_on(OBLIQUE, KESTREL, centred, Some(SHELF))),
        ("drilled", drilled(HOLES)),
    ]
}

fn planned_of(name: &str) -> Planned {
    day().into_iter().find(|(of, _)| *of == name).unwrap_or_else(|| panic!("{name}")).1
}

type Figure = fn(&Planned, &EyePlan, &LensPlan) -> Option<f64>;

fn line(lens: &LensPlan) -> Option<&planner::edge_line::EdgeLinePlan> {
    lens.edge_line.as_ref()
}

/// What the plan has for each pair of numbers, and how far a record's decimals may be from it.
const FIGURES: &[(&str, f64, Figure)] = &[
    ("HBOX", 0.005, |_, _, lens| Some(lens.cut.outline().boxed().width.mm())),
    ("VBOX", 0.005, |_, _, lens| Some(lens.cut.outline().boxed().height.mm())),
    ("CIRC", 0.005, |_, _, lens| Some(lens.cut.outline().circumference().mm())),
    ("CIRC3D", 0.005, |_, _, lens| Some(line(lens)?.sized.line.length().mm())),
    ("FCRV", 0.005, |job, eye, lens| {
        line(lens).and_then(|line| line.frame_curve_d).or(eye.shape.frame_curve_d).or(job.order.frame.frame_curve_d)
    }),
    ("BEVC", 0.005, |job, _, lens| line(lens)?.bevel_curve_d.filter(|_| job.order.lens.edge == job::EdgeKind::Bevel)),
    ("GDEPTH", 0.005, |job, _, _| grooved(job).then_some(job.rules.groove.depth.mm())),
    ("GWIDTH", 0.005, |job, _, _| grooved(job).then_some(job.rules.groove.width.mm())),
    ("PINB", 0.005, |job, _, _| Some(job.rules.bevel.safety.mm())),
    ("LIND", 0.0005, |_, _, lens| Some(lens.index)),
    ("SPH", 1e-9, |_, _, lens| Some(lens.power.sphere().dioptre().dioptres())),
    ("CYL", 1e-9, |_, _, lens| Some(lens.power.cylinder()?.0.dioptre().dioptres())),
    ("AX", 1e-9, |_, _, lens| Some(lens.power.cylinder()?.1.deg())),
    ("OCHT", 0.005, |_, eye, lens| {
        let lowest = -lens.cut.outline().boxed().height.mm() / 2.0;
        Some(eye.optical_centre?.up.mm() - lowest)
    }),
    ("FBFCIN", 0.005, |_, _, lens| Some(-lens.block.at.inwards.mm())),
    ("FBFCUP", 0.005, |_, _, lens| Some(-lens.block.at.up.mm())),
    ("FCOCIN", 0.005, |_, eye, _| Some(eye.optical_centre?.inwards.mm())),
    ("FCOCUP", 0.005, |_, eye, _| Some(eye.optical_centre?.up.mm())),
    ("FBOCIN", 0.005, |_, _, lens| Some(lens.marking.dot_from_block.inwards.mm())),
    ("FBOCUP", 0.005, |_, _, lens| Some(lens.marking.dot_from_block.up.mm())),
    ("BLKD", 0.005, |_, _, lens| Some(lens.block.diameter?.mm())),
];

fn grooved(job: &Planned) -> bool {
    job.order.lens.edge == job::EdgeKind::Groove
}

#[test]
fn every_figure_comes_back_as_the_plan_has_it() {
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    for (name, job) in day() {
        for file in job.files(Extent::FromMemory) {
            let reading = read(&file);
            assert_eq!(reading.record("REQ").map(|record| record.raw()), Some(&b"REQ=FIL"[..]), "{name}");
            assert_eq!(reading.text("JOB").value().as_deref(), Some(job.plan.number.as_str()), "{name}");
            let made = match job.plan.made {
                Eyes::Both => "B",
                Eyes::Right => "R",
                Eyes::Left => "L",
            };
            assert_eq!(reading.text("DO").value().as_deref(), Some(made), "{name}");
            for &(label, within, figure) in FIGURES {
                if reading.record(label).is_none() {
                    continue;
                }
                *met.entry(label).or_default() += 1;
                let sent = reading.pair(label);
                for eye in Eye::BOTH {
                    let wanted = job.eye(eye).and_then(|(plan, lens)| figure(&job, plan, lens));
                    match (sent[eye], wanted) {
                        (Sent::Value(sent), Some(wanted)) => {
                            assert!(
                                (sent - wanted).abs() <= within + 1e-9,
                                "{name} {label} {eye}: {sent} for {wanted}"
                            );
                        }
                        (sent, None) => assert_eq!(sent, Sent::Empty, "{name} {label} {eye}"),
                        (sent, Some(wanted)) => panic!("{name} {label} {eye}: {sent:?} for {wanted}"),
                    }
                }
            }
        }
    }
    for (label, ..) in FIGURES {
        assert!(met.contains_key(label), "{label} is written by no order of the day");
    }
}

#[test]
fn the_trace_is_the_outline_that_is_cut() {
    for (name, job) in day() {
        for file in job.files(Extent::Confirmed) {
            let reading = read(&file);
            for eye in Eye::BOTH {
                let Some((_, lens)) = job.eye(eye) else {
                    assert_eq!(reading.trace(eye), None, "{name} {eye}");
                    continue;
                };
                let cut = lens.cut.outline();
                let read = outline_of(reading.trace(eye).unwrap());
                // Radii are rounded to 0.01 mm: a box side may move by half of that at either end. What the rounding's
                // zigzag adds to the length is of second order: 400 x 0.003^2 mm2 over steps of 0.35 mm, 0.01 mm.
                let (was, is) = (cut.boxed(), read.boxed());
                assert!((was.width - is.width).abs() < Mm::new(0.0105), "{name} {eye}");
                assert!((was.height - is.height).abs() < Mm::new(0.0105), "{name} {eye}");
                let off = (cut.circumference() - read.circumference()).abs();
                assert!(off < Mm::new(0.02), "{name} {eye}: {off:?}");
            }
        }
    }
}

/// The closed cubic through the points as they were read.
fn outline_of(trace: &Trace) -> Outline {
    let angles: Vec<Angle> = trace.angles_deg.iter().map(|&deg| Angle::from_deg(deg)).collect();
    let radii: Vec<Mm> = trace.radii_mm.iter().map(|&radius| Mm::new(radius)).collect();
    Outline::exact(&angles, &radii).unwrap()
}

#[test]
fn heights_are_the_depth_of_the_line_on_the_edge_and_the_edgers_alone() {
    let mut seen = 0;
    for (name, job) in day() {
        for file in job.files(Extent::FromMemory) {
            let reading = read(&file);
            for trace in &reading.traces {
                let line = job.eye(trace.eye).and_then(|(_, lens)| line(lens));
                let (Device::Edger, Some(line)) = (file.device, line) else {
                    assert_eq!(trace.heights, None, "{name}");
                    continue;
                };
                let heights = trace.heights.as_ref().unwrap_or_else(|| panic!("{name}: no heights"));
                for deg in 0..360 {
                    let depth = line.row(deg).unwrap().depth.mm();
                    assert!((heights.at(f64::from(deg)) - depth).abs() <= 0.005 + 1e-9, "{name} {deg}");
                }
                seen += 1;
            }
        }
    }
    assert!(seen >= 12, "{seen}");
}

/// From the middle of the bridge half of DBL and half a box along the lens lead to the boxed centre, whatever the size.
#[test]
fn the_size_leaves_the_boxed_centres_where_they_are() {
    for (name, job) in day() {
        let reading = read(&job.files(Extent::Confirmed)[0]);
        let along = units::maths::cos_deg(job.order.frame.face_form_deg.unwrap_or(0.0));
        let dbl = reading.number("DBL").value().unwrap();
        let widths = reading.pair("HBOX");
        let (mut is, mut was, mut eyes) = (0.0, 0.0, 0.0);
        for (eye, plan) in Eye::BOTH.into_iter().filter_map(|eye| Some((eye, job.plan.eyes[eye].as_ref()?))) {
            is += dbl / 2.0 + widths[eye].value().unwrap() / 2.0 * along;
            was += plan.between_lenses.unwrap().mm() / 2.0 + plan.shape.boxed.width.mm() / 2.0 * along;
            eyes += 1.0;
        }
        // Each eye's share: a quarter hundredth of either rounding.
        assert!((is - was).abs() / eyes < 0.0051, "{name}: {is} {was}");
    }
    let grown = planned_of("grown");
    let dbl = read(&grown.files(Extent::Confirmed)[0]).number("DBL").value().unwrap();
    let between = grown.plan.eyes.right.as_ref().unwrap().between_lenses.unwrap().mm();
    assert!((between - dbl - 0.8).abs() < 0.0051, "0.4 mm of radius on either side of the bridge: {between} {dbl}");
}

/// reference/device-records.toml: what a file must meet in itself.
#[test]
fn the_files_agree_with_themselves() {
    let mut seen = [0; 3];
    for (name, job) in day() {
        for file in job.files(Extent::FromMemory).iter().filter(|file| file.device == Device::Blocker) {
            let reading = read(file);
            let value = |label: &str, eye: Eye| reading.pair(label)[eye].value();
            for eye in Eye::BOTH {
                let get = |label: &str| value(label, eye);
                let dbl = reading.number("DBL").value().unwrap();
                let pd = get("IPD").or(get("NPD"));
                let pd = pd.filter(|_| job.order.frame.face_form_deg.is_none());
                if let (Some(inwards), Some(width), Some(pd)) = (get("FCOCIN"), get("HBOX"), pd) {
                    // Four roundings of 0.005 mm, two of them halved.
                    assert!((inwards - ((width + dbl) / 2.0 - pd)).abs() < 0.0155, "{name} {eye}");
                    seen[0] += 1;
                }
                if let (Some(up), Some(height), Some(above)) = (get("FCOCUP"), get("VBOX"), get("OCHT")) {
                    assert!((up - (above - height / 2.0)).abs() < 0.013, "{name} {eye}");
                    seen[1] += 1;
                }
                for way in ["IN", "UP"] {
                    let of = |points: &str| get(&format!("{points}{way}"));
                    if let (Some(shape), Some(block), Some(centre)) = (of("FBFC"), of("FBOC"), of("FCOC")) {
                        assert!((shape - (block - centre)).abs() < 0.0155, "{name} {eye} {way}");
                        seen[2] += 1;
                    }
                }
            }
        }
    }
    // The prism pair's optical centres are not before the pupils, so its distances of the pupils are left out.
    assert!(seen[0] >= 14 && seen[1] >= 18 && seen[2] >= 36, "{seen:?}");
    let prism = planned(PRISM, KESTREL).files(Extent::FromMemory);
    assert_eq!(read(&prism[0]).record("IPD"), None);
}

fn reference() -> toml::Table {
    include_str!("../../../reference/device-records.toml").parse().unwrap()
}

/// How sure the reference is of a record, by its label and by the code that it holds.
fn mark_of(labels: &[Value], record: &records::Record) -> String {
    let name = record.label();
    let name = match name {
        "TRCFMT" => "R",
        "ZFMT" => "Z",
        _ if name.len() == 6 && (name.ends_with("IN") || name.ends_with("UP")) => "(two points)",
        _ => name,
    };
    let row = labels.iter().find(|row| row["name"].as_str() == Some(name)).unwrap_or_else(|| panic!("no row {name}"));
    let Some(codes) = row.get("codes").and_then(Value::as_table) else {
        return row["weakest"].as_str().unwrap().to_owned();
    };
    let fields: Vec<String> = record.fields().map(|field| field.text().into_owned()).collect();
    let fields = if name == "DRILLE" { &fields[..1] } else { &fields[..] };
    let marks = fields.iter().filter(|field| !field.is_empty()).map(|field| {
        let code = codes.get(field).unwrap_or_else(|| panic!("{name} has no code {field}"));
        code["mark"].as_str().unwrap()
    });
    marks.max_by_key(|mark| "2DHML".find(mark)).unwrap().to_owned()
}

#[test]
fn what_is_from_memory_is_left_out_unless_asked_for_and_named_either_way() {
    let reference = reference();
    let labels = reference["label"].as_array().unwrap();
    let mut written: BTreeMap<String, usize> = BTreeMap::new();
    for (name, job) in day() {
        let (few, all) = (job.files(Extent::Confirmed), job.files(Extent::FromMemory));
        for full in &all {
            let mut told: Vec<String> = Vec::new();
            for record in &full.records {
                let mark = mark_of(labels, record);
                let label = match record.label() {
                    "TRCFMT" => "R",
                    "ZFMT" => "Z",
                    label => label,
                };
                *written.entry(label.to_owned()).or_default() += 1;
                if "HML".contains(&mark) && !told.contains(&label.to_owned()) {
                    told.push(label.to_owned());
                    let (_, stated) = full.from_memory.iter().find(|(known, _)| *known == label).unwrap_or_else(|| {
                        panic!("{name} {:?}: {label} is from memory, and it is not said", full.device)
                    });
                    let expected = match mark.as_str() {
                        "H" => "memory high",
                        "M" => "memory medium",
                        _ => "memory low",
                    };
                    assert_eq!(stated.words(), expected, "{name} {label}");
                }
            }
            let stated: Vec<&str> = full.from_memory.iter().map(|(label, _)| *label).collect();
            assert_eq!(stated, told, "{name} {:?}", full.device);
        }
        for sure in &few {
            for record in &sure.records {
                assert!(["2", "D"].contains(&mark_of(labels, record).as_str()), "{name}: {record:?}");
            }
            let full = all.iter().find(|full| full.device == sure.device).unwrap();
            assert_eq!(sure.from_memory, full.from_memory, "{name}: what is left out is what would be written");
            // What is sure stands in both, the same; but for the letter of a source that is known from memory.
            let trace = |record: &&records::Record| record.label() != "TRCFMT";
            for record in sure.records.iter().filter(trace) {
                assert!(full.records.contains(record), "{name}: {record:?}");
            }
        }
    }
    for row in labels {
        let name = row["name"].as_str().unwrap();
        let seen = match name {
            "(two points)" => written.keys().any(|label| label.ends_with("OCIN")),
            _ => written.contains_key(name),
        };
        assert!(seen, "{name} is written by no order of the day");
    }
}

/// Whoever reads the page must find each label under how sure it is.
#[test]
fn the_page_says_how_sure_each_label_is() {
    let page = include_str!("../../../docs/records.md");
    let rows: Vec<&str> = page.lines().skip_while(|line| !line.starts_with("| how sure |")).take(6).collect();
    let row = |opening: &str| {
        *rows.iter().find(|row| row.starts_with(&format!("| {opening}"))).unwrap_or_else(|| panic!("no row {opening}"))
    };
    let names = |row: &str, label: &str| {
        let spoken = if label == "R" || label == "Z" { format!("with `{label}`") } else { format!("`{label}") };
        row.match_indices(&spoken).any(|(at, _)| !row[at + spoken.len()..].starts_with(|c: char| c.is_alphanumeric()))
    };
    for (name, job) in day() {
        for file in job.files(Extent::FromMemory) {
            for (label, mark) in &file.from_memory {
                let row = row(&mark.words().replace("memory ", "memory, "));
                assert!(names(row, label), "{name}: {label} is {}, and the page does not say so", mark.words());
            }
        }
        for file in job.files(Extent::Confirmed) {
            for record in file.records.iter().filter(|record| record.label() != "TRCFMT") {
                assert!(names(row("a public source"), record.label()), "{name}: {record:?}");
            }
        }
    }
}

#[test]
fn codes_say_what_the_order_says() {
    let reference = reference();
    let meaning = |label: &str, code: &str| -> String {
        let row =
            reference["label"].as_array().unwrap().iter().find(|row| row["name"].as_str() == Some(label)).unwrap();
        row["codes"][code]["means"].as_str().unwrap().to_owned()
    };
    let mut said: Vec<(&str, &str, String)> = Vec::new();
    for (name, job) in day() {
        let files = job.files(Extent::FromMemory);
        let edger = read(files.iter().find(|file| file.device == Device::Edger).unwrap());
        for label in ["FTYP", "ETYP", "BEVP", "LMATTYPE"] {
            if let Sent::Value(code) = edger.texts(label).right {
                said.push((name, label, meaning(label, &code)));
            }
        }
    }
    let of = |name: &str| -> Vec<(&str, &str)> {
        said.iter().filter(|(of, ..)| *of == name).map(|(_, label, means)| (*label, means.as_str())).collect()
    };
    let rim = ("BEVP", "frame curve");
    assert_eq!(of("low minus"), [("FTYP", "plastic"), ("ETYP", "bevel"), rim, ("LMATTYPE", "plastic")]);
    assert_eq!(of("narrow"), [("FTYP", "metal"), ("ETYP", "bevel"), rim, ("LMATTYPE", "polycarbonate")]);
    assert_eq!(of("oblique")[3], ("LMATTYPE", "high index"));
    assert_eq!(of("cord"), [("ETYP", "groove"), ("BEVP", "front curve"), ("LMATTYPE", "plastic")]);
    assert_eq!(of("small bevel")[1..3], [("ETYP", "small bevel"), ("BEVP", "share of thickness")]);
    assert_eq!(of("drilled"), [("FTYP", "rimless"), ("ETYP", "flat"), ("LMATTYPE", "polycarbonate")]);
    let small = planned_of("small bevel");
    assert_eq!(read(&small.files(Extent::FromMemory)[1]).pair("BEVM").right, Sent::Value(37.5));
}

#[test]
fn a_stepped_bevel_is_left_to_the_hands() {
    let job = planned(&with(LOW_MINUS, &[("bevel = \"v\"", "bevel = \"stepped\"")]), KESTREL);
    let edger = &job.files(Extent::FromMemory)[1];
    assert_eq!(read(edger).record("ETYP"), None);
    assert!(edger.unsaid.iter().any(|what| what.contains("stepped")), "{:?}", edger.unsaid);
}

#[test]
fn a_mirrored_pair_has_mirrored_records() {
    // One rim traced, so the other is its mirror image; both eyes alike in all else.
    let one = String::from_utf8(KESTREL.to_vec()).unwrap();
    let right = one.split("TRCFMT=1;400;E;L").next().unwrap();
    let order = with(
        LOW_MINUS,
        &[
            ("monocular_pd_mm = { right = 31.0, left = 31.5 }", "monocular_pd_mm = { right = 31.0, left = 31.0 }"),
            (
                "left = { sphere_d = \"-1.50\", cylinder_d = \"-0.25\", axis_deg = 172 }",
                "left = { sphere_d = \"-1.25\", cylinder_d = \"-0.50\", axis_deg = 175 }",
            ),
            ("pantoscopic_deg = 8.0", "pantoscopic_deg = 8.0\nface_form_deg = 5.0"),
        ],
    );
    let job = planned(&order, right.as_bytes());
    for extent in [Extent::Confirmed, Extent::FromMemory] {
        for file in job.files(extent) {
            let reading = read(&file);
            for record in reading.records.iter().filter(|record| record.fields().count() == 2) {
                let label = record.label();
                let sent = reading.texts(label);
                if label == "AX" {
                    assert_eq!((sent.right, sent.left), (Sent::Value("005".to_owned()), Sent::Value("175".to_owned())));
                } else {
                    assert_eq!(sent.right, sent.left, "{label}");
                }
            }
            let [right, left] = Eye::BOTH.map(|eye| reading.trace(eye).unwrap().clone());
            let mirrored = right.mirrored();
            let close = |a: &[f64], b: &[f64]| {
                assert_eq!(a.len(), b.len());
                // Figured apart, the two may fall on either side of a half hundredth.
                a.iter().zip(b).all(|(a, b)| (a - b).abs() < 0.0101)
            };
            assert!(close(&mirrored.radii_mm, &left.radii_mm));
            match (&mirrored.heights, &left.heights) {
                (Some(a), Some(b)) => assert!(close(&a.mm, &b.mm)),
                (None, None) => {}
                other => panic!("{other:?}"),
            }
        }
    }
}

/// Right and left exchanged in an order: words, and axes seen from the other side.
fn other_way_round(order: &str) -> String {
    let lines = order.lines().map(|line| {
        let line = line.replace("right", "\u{1}").replace("left", "right").replace('\u{1}', "left");
        let Some((before, after)) = line.split_once("axis_deg = ") else { return line };
        let digits = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
        let axis: u16 = after[..digits].parse().unwrap();
        format!("{before}axis_deg = {}{}", 180 - axis % 180, &after[digits..])
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// A frame seen in a mirror.
fn frame_in_a_mirror(frame: &[u8]) -> Vec<u8> {
    let reading = records::read(frame);
    let mut mirrored: Vec<records::Record> = Vec::new();
    for record in &reading.records {
        let fields: Vec<String> = record.fields().map(|field| field.text().into_owned()).collect();
        if !["R", "A", "Z", "ZA", "TRCFMT", "ZFMT", "FEDAX"].contains(&record.label()) {
            mirrored.push(records::Record::new(record.label(), fields.iter().rev()).unwrap());
        }
    }
    for eye in Eye::BOTH {
        mirrored.extend(reading.trace(eye.other()).unwrap().mirrored().to_records().unwrap());
    }
    records::write(&mirrored).unwrap()
}

#[test]
fn the_world_in_a_mirror_has_the_records_in_a_mirror() {
    for (order, frame) in [(OBLIQUE, KESTREL), (PRISM, KESTREL), (NARROW, PLOVER)] {
        let (job, other) = (planned(order, frame), planned(&other_way_round(order), &frame_in_a_mirror(frame)));
        for (file, other) in job.files(Extent::FromMemory).iter().zip(other.files(Extent::FromMemory)) {
            let (one, other) = (read(file), read(&other));
            assert!(one.records.len() > 20);
            for record in one.records.iter().filter(|record| record.fields().count() == 2) {
                let label = record.label();
                let (one, other) = (one.texts(label), other.texts(label));
                for eye in Eye::BOTH {
                    // A figure that falls on a half hundredth may be rounded up in one world and down in the other.
                    match (&one[eye], &other[eye.other()]) {
                        (Sent::Value(a), Sent::Value(b)) if label == "AX" => {
                            assert_eq!(a.parse::<i32>().unwrap() + b.parse::<i32>().unwrap(), 180);
                        }
                        (Sent::Value(a), Sent::Value(b)) if a != b => {
                            let [a, b] = [a, b].map(|text| text.parse::<f64>().unwrap());
                            assert!((a - b).abs() < 0.0101, "{label} {eye}: {a} {b}");
                        }
                        (a, b) => assert_eq!(a, b, "{label} {eye}"),
                    }
                }
            }
            for eye in Eye::BOTH {
                let (trace, mirrored) = (one.trace(eye).unwrap(), other.trace(eye.other()).unwrap().mirrored());
                let apart =
                    trace.radii_mm.iter().zip(&mirrored.radii_mm).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
                assert!(apart < 0.0101, "{eye}: {apart}");
            }
        }
    }
}

#[test]
fn the_letter_of_a_source_is_only_what_is_known() {
    let source = |job: &Planned, extent| read(&job.files(extent)[0]).trace(Eye::Right).unwrap().source;
    let rim = planned(LOW_MINUS, KESTREL);
    assert_eq!(source(&rim, Extent::Confirmed), Source::Frame);
    let cord = planned(CORD, SANDERLING);
    assert_eq!(source(&cord, Extent::Confirmed), Source::Unknown);
    assert_eq!(source(&cord, Extent::FromMemory), Source::Lens);
}

#[test]
fn holes_are_written_one_a_record_and_only_from_memory() {
    let job = drilled(HOLES);
    let few = job.records(Extent::Confirmed).unwrap();
    assert_eq!(few.not_drilled, Some(CannotDrill::FromMemory));
    let all = job.records(Extent::FromMemory).unwrap();
    assert_eq!(all.not_drilled, None);
    assert_eq!(few.files.iter().map(|file| file.device).collect::<Vec<_>>(), [Device::Blocker, Device::Edger]);
    assert!(few.files.iter().all(|file| file.records.iter().all(|record| record.label() != "DRILLE")));
    let drill = all.files.iter().find(|file| file.device == Device::Drill).unwrap();
    let holes: Vec<String> = read(drill)
        .records
        .iter()
        .filter(|record| record.label() == "DRILLE")
        .map(|record| String::from_utf8(record.raw().to_vec()).unwrap())
        .collect();
    assert_eq!(holes, ["DRILLE=R;C;20.25;2.50;1.40", "DRILLE=R;C;-20.00;3.00;1.40", "DRILLE=L;C;20.25;2.50;1.60"]);
    // Nothing to drill is known from data, and is said.
    let undrilled = &planned(LOW_MINUS, KESTREL).files(Extent::Confirmed)[1];
    assert_eq!(read(undrilled).text("DRILLE"), Sent::Value("0".to_owned()));
}

#[test]
fn a_drilled_lens_without_its_holes_has_no_file_for_the_drill() {
    let why = |holes: &str| {
        let job = drilled(holes);
        let records = job.records(Extent::FromMemory).unwrap();
        assert_eq!(records.files.len(), 2);
        assert!(records.files.iter().all(|file| file.records.iter().all(|record| record.label() != "DRILLE")));
        let why = records.not_drilled.unwrap();
        assert!(!why.hint().is_empty() && !why.to_string().is_empty());
        why
    };
    assert_eq!(why("[lens]"), CannotDrill::NoHoles(Eye::Right));
    let one = "holes = [{ eye = \"right\", in_mm = 20.0, up_mm = 2.5, diameter_mm = 1.4 }]\n[lens]";
    assert_eq!(why(one), CannotDrill::NoHoles(Eye::Left));
    // One that lies outside, or breaks the edge, is a stop of the plan.
    for in_mm in ["40.0", "-25.0"] {
        let outside = drilled(&HOLES.replace("in_mm = -20.0", &format!("in_mm = {in_mm}")));
        let why = outside.records(Extent::FromMemory).unwrap_err();
        assert!(why.to_string().starts_with("stop hole-outside-lens (right)"), "{why}");
    }
}

#[test]
fn what_stands_open_is_never_sent() {
    let job = planned(NO_BLANK, KESTREL);
    let Err(NoRecords::Open { finding, .. }) = job.records(Extent::Confirmed) else { panic!("a stop") };
    assert_eq!(finding.kind.code, "no-blank");
    let why = job.records(Extent::FromMemory).unwrap_err();
    assert!(why.to_string().starts_with("stop no-blank") && !why.hint().is_empty(), "{why}");
    // An ask without an answer.
    let doubtful = with(OBLIQUE, &[("axis_deg = 55", "axis_deg = 100")]);
    let why = planned(&doubtful, KESTREL).records(Extent::Confirmed).unwrap_err();
    assert!(why.to_string().starts_with("ask axis-not-mirrored"), "{why}");
    // No shelf: nothing stands open, and there is no lens.
    let job = planned_on(LOW_MINUS, KESTREL, "", None);
    assert!(job.plan.is_good());
    assert_eq!(job.records(Extent::Confirmed).unwrap_err(), NoRecords::NoLens(Eye::Right));
}

#[test]
fn a_lens_that_is_made_alone_leaves_the_other_field_empty() {
    let job = planned(ONE_LENS, KESTREL);
    for file in job.files(Extent::FromMemory) {
        let reading = read(&file);
        assert!(matches!(reading.pair("HBOX").right, Sent::Value(_)));
        assert_eq!(reading.pair("HBOX").left, Sent::Empty);
        assert_eq!(reading.traces.len(), 1);
    }
}
