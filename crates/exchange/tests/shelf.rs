//! The shelf: a row reads to the blank that it describes, and every fault of every row is told at its cell.

use std::sync::Arc;

use exchange::{COLUMNS, Fault, MOST_SHOWN, built_in_rules, read_rules, read_shelf, report};
use job::blank::Cost;
use job::{Blank, BlankState, Eye, IndexLine, LensForm, LensType, TorusSide, Treatments};
use units::{Axis, CmPerM, Mm, Power};

const FULL: &str = "A-1,polycarbonate-1.586,clear,L7,single-vision,aspheric,-2.12,-0.75,170,+2.00,1.0,-0.5,right,70,67.5,\
    1.5,-0.5,1.8,4.6,30,180,4.25,1.530,1.591,e,anti-reflective+uv,90,0142,2026-01-31,3,450,EUR,B3,semi-finished,front,\
    -1.5,0.25";

fn read(text: &str) -> Result<Vec<Arc<Blank>>, Vec<Fault>> {
    read_shelf(text.as_bytes(), &built_in_rules())
}

fn header() -> String {
    COLUMNS.join(",")
}

fn faults(text: &str) -> Vec<Fault> {
    read(text).err().unwrap_or_default()
}

#[test]
fn every_column_reads_to_its_value() {
    let shelf = read(&format!("{}\n{FULL}\n", header())).unwrap_or_else(|f| panic!("{f:?}"));
    let [blank] = shelf.as_slice() else { panic!("one row") };
    let power = Power::from_thousandths;
    assert_eq!((blank.sku.as_str(), blank.material.as_str()), ("A-1", "polycarbonate-1.586"));
    assert_eq!(
        (blank.series.as_deref(), blank.lot.as_deref(), blank.place.as_deref()),
        (Some("clear"), Some("L7"), Some("B3"))
    );
    assert_eq!((blank.kind, blank.form), (LensType::SingleVision, LensForm::Aspheric));
    // -2.12 is an eighth cut short: -2.125.
    assert_eq!(blank.power.sphere(), power(-2125));
    assert_eq!(blank.power.cylinder(), Some((power(-750), Axis::from_half_degrees(340).unwrap())));
    assert_eq!((blank.fixed_axis, blank.add), (Axis::from_half_degrees(340), Some(power(2000))));
    let prism = blank.prism.expect("ground");
    assert_eq!((prism.base_in, prism.base_up), (CmPerM::new(1.0), CmPerM::new(-0.5)));
    assert_eq!((blank.eye, blank.nominal, blank.usable), (Some(Eye::Right), Mm::new(70.0), Some(Mm::new(67.5))));
    assert_eq!((blank.middle_in, blank.middle_up, blank.centre), (Mm::new(1.5), Mm::new(-0.5), Some(Mm::new(1.8))));
    let check = blank.check.expect("measured");
    assert_eq!((check.thickness, check.radius, check.deg), (Mm::new(4.6), Mm::new(30.0), Some(180.0)));
    assert_eq!(blank.front_curve.map(|f| (f.curve_d, f.index)), Some((4.25, 1.530)));
    assert_eq!((blank.index, blank.index_line), (Some(1.591), IndexLine::E));
    assert_eq!(blank.treatments, Treatments::ANTI_REFLECTIVE.with(Treatments::UV));
    assert_eq!((blank.polarised_deg, blank.quantity), (Some(90.0), 3));
    assert_eq!(blank.for_order.as_ref().map(|n| n.as_str()), Some("0142"));
    assert_eq!(blank.received.map(|d| d.to_string()).as_deref(), Some("2026-01-31"));
    assert_eq!(blank.unit_cost, Some(Cost { minor: 450, currency: *b"EUR" }));
    assert_eq!((blank.state, blank.torus), (BlankState::SemiFinished, TorusSide::Front));
    assert_eq!((blank.front_conic, blank.back_conic), (Some(-1.5), Some(0.25)));
}

#[test]
fn empty_is_not_known_and_columns_come_in_any_order() {
    let shelf = read("nominal_mm,sphere_d,sku,material\n65,+1.00,P,adc-1.498\n").expect("sound");
    let blank = &shelf[0];
    assert_eq!((blank.sku.as_str(), blank.nominal, blank.power.cylinder()), ("P", Mm::new(65.0), None));
    assert_eq!((blank.series.as_ref(), blank.usable, blank.centre, blank.check), (None, None, None, None));
    assert_eq!((blank.front_curve, blank.index, blank.index_line), (None, None, IndexLine::D));
    assert_eq!((blank.eye, blank.fixed_axis, blank.prism, blank.received), (None, None, None, None));
    assert_eq!((blank.form, blank.state, blank.torus), (LensForm::Unknown, BlankState::Finished, TorusSide::Back));
    assert_eq!((blank.quantity, blank.unit_cost, blank.treatments), (1, None, Treatments::NONE));
    assert_eq!((blank.front_conic, blank.back_conic), (None, None));
    // 2.0 mm of the diameter are unusable where the row does not say.
    assert_eq!(blank.unusable_rim(), Mm::new(1.0));
}

const HEAD: &str = "sku,material,sphere_d,cylinder_d,axis_deg,nominal_mm";

#[test]
fn rows_read_as_people_write_them() {
    let text = format!(
        "\u{feff}{HEAD},place,front_curve_d,front_curve_index,index_line,quantity,add_d\r\n\
         a,adc-1.498,plano,none,,65,\"drawer 3, left\",4,1.53,,0,\r\n\
         \r\n\
         ,,,,,,,,,,,\r\n\
         a,adc-1.498,-0.50,0.00,,65,\"say \"\"two\"\"\",4,1.498,,,\r\n\
         b,adc-1.498, -0.50 ,-1.00,8,65, B ,4,1.502,e,,+1.50\r\n\
         c,adc-1.498,-0.50,-1.00,,65,,,1.530,,,"
    );
    let shelf = read(&text).unwrap_or_else(|f| panic!("{}", report("shelf.csv", text.as_bytes(), &f)));
    let places: Vec<_> = shelf.iter().map(|b| b.place.as_deref().unwrap_or("")).collect();
    assert_eq!(places, ["drawer 3, left", "say \"two\"", "B", ""]);
    let indices: Vec<_> = shelf.iter().map(|b| b.front_curve.map(|f| f.index)).collect();
    assert_eq!(indices, [Some(1.530), Some(1.498), Some(1.502), None]);
    let axes: Vec<_> =
        shelf.iter().map(|b| (b.power.cylinder().map(|(_, a)| a.deg()), b.fixed_axis.map(Axis::deg))).collect();
    // An empty axis may be turned: the cylinder then lies along the packet's 0-180 line.
    assert_eq!(axes, [(None, None), (None, None), (Some(8.0), Some(8.0)), (Some(180.0), None)]);
    assert_eq!(shelf.iter().map(|b| b.quantity).collect::<Vec<_>>(), [0, 1, 1, 1]);
}

#[test]
fn a_semi_finished_blank_has_no_power_yet() {
    let text = "sku,material,sphere_d,nominal_mm,state\np,adc-1.498,,70,semi-finished\nq,adc-1.498,,70,finished\n";
    let faults = faults(text);
    assert_eq!(faults.iter().map(|f| (f.line, f.column)).collect::<Vec<_>>(), [(3, 13)]);
}

#[test]
fn what_the_rules_add_is_known() {
    let rules = read_rules(
        b"[treatments]\nadd = [\"lab-blue\"]\n[[material]]\nid = \"own-1.61\"\nname = \"own\"\nn_d = 1.607\nabbe = 40\ndensity_g_cm3 = 1.3\n",
    )
    .expect("sound");
    let text = "sku,material,sphere_d,nominal_mm,treatments,front_curve_d,front_curve_index\nx,own-1.61,-1.00,70,lab-blue+uv,4,1.607\n";
    let shelf = read_shelf(text.as_bytes(), &rules).expect("sound");
    assert_eq!(rules.treatments.joined(shelf[0].treatments), "uv+lab-blue");
    assert_eq!(faults(text).len(), 2, "the built-in rules know neither");
}

/// One cell of the full row changed: where the fault stands, what it says, what it hints.
#[test]
fn each_fault_is_told_at_its_cell() {
    let cases: &[(&str, &str, &str, &str)] = &[
        ("sku", "", "`sku` is empty", "write it"),
        ("material", "", "`material` is empty", "write it"),
        (
            "material",
            "policarbonate-1.586",
            "expected a material that the rules know",
            "did you mean `polycarbonate-1.586`?",
        ),
        ("type", "single", "expected single-vision, multifocal or progressive-power", "did you mean `single-vision`?"),
        ("form", "flat", "expected spheric, aspheric or unknown", "write spheric"),
        ("sphere_d", "2.12", "`2.12` has no sign", "+2.12 or -2.12"),
        ("sphere_d", "-212", "`-212` is beyond 40", "decimal point"),
        ("sphere_d", "NaN", "`NaN` is not a number", "sign, digits"),
        ("cylinder_d", "0.75", "`0.75` has no sign", ""),
        ("cylinder_d", "", "`axis_deg` is given without a cylinder", "leave the axis empty"),
        ("cylinder_d", "none", "`axis_deg` is given without a cylinder", "leave the axis empty"),
        ("axis_deg", "181", "expected an axis from 0 to 180", "packet"),
        ("axis_deg", "17.3", "expected an axis", "packet"),
        ("add_d", "2.00", "`2.00` has no sign", ""),
        ("base_in_cm_per_m", "1e1", "expected a number from -40 to 40 cm/m", "plain decimal"),
        ("eye", "R", "`eye` is `R`; expected right or left", ""),
        ("nominal_mm", "", "`nominal_mm` is empty", ""),
        ("nominal_mm", "0", "expected a number above 0 and below 150 mm", ""),
        ("nominal_mm", "700", "expected a number above 0 and below 150 mm", "decimal point"),
        ("nominal_mm", "0x46", "expected a number", "plain decimal"),
        ("usable_mm", "75", "expected at most the nominal 70 mm", "exchanged"),
        ("middle_in_mm", "inf", "expected a number", "plain decimal"),
        ("centre_mm", "-1.8", "`centre_mm` is `-1.8`", "without a minus"),
        ("check_radius_mm", "", "`check_mm` has no radius", "check_radius_mm"),
        ("check_deg", "400", "expected a number from 0 to 360", ""),
        ("front_curve_index", "", "`front_curve_d` has no index", "1.530"),
        ("front_curve_index", "1.586", "expected 1.530 or the lens's own 1.591", "one of the two"),
        ("front_curve_index", "1.523", "expected 1.530 or the lens's own 1.591", "one of the two"),
        ("index", "15.91", "expected a number from 1.3 to 2.2", "decimal point"),
        ("index_line", "f", "expected d or e", ""),
        ("treatments", "anti-reflective+blue", "`blue` is no treatment", ""),
        ("treatments", "anti-reflective+", "`` is no treatment", "write anti-reflective"),
        ("polarised_deg", "-1", "expected a number from 0 to 360", "minus"),
        ("for_order", "A142", "expected an order number of 1 to 12 digits", ""),
        ("received", "31.01.2026", "expected a day that exists", "2026-03-02"),
        ("received", "2026-02-30", "expected a day that exists", "2026-03-02"),
        ("quantity", "-1", "expected a number from 0", "minus"),
        ("quantity", "1.5", "expected a whole number", "decimals"),
        ("unit_cost_minor", "4.50", "expected a whole number", "decimals"),
        ("currency", "", "`unit_cost_minor` has no currency", "EUR"),
        ("currency", "euro", "expected three capitals", "ISO 4217"),
        ("state", "done", "expected finished or semi-finished", ""),
        ("torus", "rear", "expected back or front", ""),
        ("check_radius_mm", "37", "expected a radius inside a blank of 70 mm", "not the diameter"),
        ("check_radius_mm", "76", "expected a number above 0 and below 75 mm", "decimal point"),
        ("front_conic", "20.5", "expected a number from -20 to 20", "decimal point"),
        ("front_conic", "-20.5", "expected a number from -20 to 20", "leave it out"),
        ("back_conic", "-1e0", "expected a number from -20 to 20", "plain decimal"),
        ("back_conic", "NaN", "expected a number from -20 to 20", "plain decimal"),
    ];
    let mut amiss = String::new();
    for (column, value, what, hint) in cases {
        let at = COLUMNS.iter().position(|c| c == column).expect("a column");
        // Finished: a semi-finished blank needs no power.
        let mut cells: Vec<&str> = FULL.split(',').map(|c| if c == "semi-finished" { "finished" } else { c }).collect();
        cells[at] = value;
        let text = format!("{}\n{}\n", header(), cells.join(","));
        let faults = faults(&text);
        // A pair of cells is told at the one that is filled.
        let told_at = match (*column, value.is_empty()) {
            ("cylinder_d", _) if what.contains("axis_deg") => "axis_deg",
            ("check_radius_mm", true) => "check_mm",
            ("front_curve_index", true) => "front_curve_d",
            ("currency", true) => "unit_cost_minor",
            (column, _) => column,
        };
        let told_at = COLUMNS.iter().position(|c| *c == told_at).expect("a column");
        let place = 1 + cells[..told_at].iter().map(|c| c.len() + 1).sum::<usize>();
        let good = |f: &Fault| {
            f.what.contains(what) && f.hint.contains(hint) && !f.hint.is_empty() && (f.line, f.column) == (2, place)
        };
        if faults.len() != 1 || !good(&faults[0]) {
            let shown = report("shelf.csv", text.as_bytes(), &faults);
            amiss.push_str(&format!("--- {column} = {value}: wanted 2:{place}: {what}, hint: {hint}\n{shown}"));
        }
    }
    assert!(amiss.is_empty(), "{amiss}");
}

/// A radius counts from the vertex: half the blank, and how far its middle lies from there.
#[test]
fn a_check_radius_lies_on_the_blank() {
    let head = format!("{HEAD},middle_in_mm,centre_mm,check_mm,check_radius_mm");
    for (middle, radius, good) in [("0", "35", true), ("0", "35.1", false), ("3", "38", true), ("3", "38.1", false)] {
        // A check thickness is worth reading without the centre's.
        for centre in ["", "2.0"] {
            let text = format!("{head}\na,adc-1.498,-1.00,,,70,{middle},{centre},3.1,{radius}\n");
            assert_eq!(read(&text).is_ok(), good, "{middle} {radius} {centre}");
        }
    }
}

#[test]
fn an_index_on_the_e_line_must_be_known() {
    // Poly(methyl methacrylate) has no e index in the reference materials.
    let text = "sku,material,sphere_d,nominal_mm,index_line\nx,pmma-1.49,-1.00,70,e\n";
    assert!(faults(text)[0].what.contains("on the d line only"));
}

#[test]
fn thirty_faulty_rows_are_thirty_faults() {
    let mut text = format!("{HEAD}\n");
    for i in 0..60 {
        let power = if i % 2 == 0 { "-1.00" } else { "1.00" };
        text.push_str(&format!("s{i},adc-1.498,{power},,,70\n"));
    }
    let faults = faults(&text);
    let lines: Vec<_> = faults.iter().map(|f| f.line).collect();
    assert_eq!(lines, (0..30).map(|i| 3 + 2 * i).collect::<Vec<_>>());
    let report = report("shelf.csv", text.as_bytes(), &faults);
    assert_eq!(report.matches("fault: ").count(), 30);
    assert!(report.contains("shelf.csv:61:15"), "{report}");
}

#[test]
fn a_report_of_very_many_faults_ends() {
    let text = format!("{HEAD}\n{}", "s,adc-1.498,1.00,,,70\n".repeat(20_000));
    let faults = faults(&text);
    assert_eq!(faults.len(), 20_000);
    let report = report("shelf.csv", text.as_bytes(), &faults);
    assert_eq!(report.matches("fault: ").count(), MOST_SHOWN);
    assert!(report.ends_with("and 19950 more faults\n"));
}

#[test]
fn a_lost_quote_costs_its_own_line_only() {
    let text = format!(
        "{HEAD}\na,adc-1.498,\"-1.00,,,70\nb,adc-1.498,1.00,,,70\nc,\"adc-1.498\"x,+1.00,,,70\nd,adc-1.498,+1.00,,,70\n"
    );
    let places: Vec<_> = faults(&text).iter().map(|f| (f.line, f.column)).collect();
    assert_eq!(places, [(2, 13), (3, 13), (4, 14)]);
}

#[test]
fn rows_fit_the_header() {
    for (row, what, hint, column) in [
        ("a,adc-1.498,-1.00,,,70,", "the row has 7 cells; the header names 6", "with a point", 24),
        ("a,adc-1.498,-1,00,,,70", "the row has 7 cells; the header names 6", "with a point", 21),
        ("a,adc-1.498,-1.00,,70", "the row has 5 cells; the header names 6", "keeps its comma", 22),
    ] {
        let faults = faults(&format!("{HEAD}\n{row}\n"));
        assert_eq!(faults.len(), 1, "{row}");
        assert!(faults[0].what == what && faults[0].hint.contains(hint), "{}", faults[0]);
        assert_eq!((faults[0].line, faults[0].column), (2, column), "{row}");
    }
}

#[test]
fn headers_are_read_by_name() {
    for (text, place, what, hint) in [
        ("", (1, 1), "the shelf is empty", "sku,material"),
        ("\n \n", (1, 1), "the shelf is empty", "sku,material"),
        ("sku;material;sphere_d\n", (1, 4), "separated by semicolons", "comma-separated"),
        ("sku\tmaterial\n", (1, 4), "separated by tabs", "comma-separated"),
        ("sku,material\rx,adc-1.498\r", (1, 1), "carriage returns", "line ends"),
        ("sku,material,sphere_d,nominal_mm,sku\n", (1, 34), "the column `sku` stands twice", "keep one"),
        ("sku,material,sphere_d,nominal\n", (1, 23), "`nominal` is not a column", "did you mean `nominal_mm`?"),
        ("sku,material,sphere_d,nominal_mm,colour\n", (1, 34), "`colour` is not a column", ""),
        ("sku,\"material,sphere_d\n", (1, 5), "a quote is opened", "close it"),
    ] {
        let faults = faults(text);
        assert!(faults[0].what.contains(what) && faults[0].hint.contains(hint), "{}", faults[0]);
        assert_eq!((faults[0].line, faults[0].column), place, "{text}");
    }
    let missing: Vec<_> = faults("sku\nx\n").into_iter().map(|f| f.what).collect();
    assert_eq!(missing, ["material", "sphere_d", "nominal_mm"].map(|c| format!("the column `{c}` is missing")));
    // A stranger among the columns does not hide the faults of the rows.
    let lines: Vec<_> = faults(&format!("{HEAD},colour\na,adc-1.498,1.00,,,70,red\n")).iter().map(|f| f.line).collect();
    assert_eq!(lines, [1, 2]);
    assert_eq!(read(HEAD).map(|rows| rows.len()), Ok(0), "a shelf may be bare");
}

#[test]
fn bytes_and_lines_of_any_kind_are_told() {
    let rules = built_in_rules();
    let latin = [HEAD.as_bytes(), b"\nsch\xf6n,adc-1.498,1.00,,,70\n"].concat();
    let faults = read_shelf(&latin, &rules).expect_err("faulty");
    assert_eq!(faults.iter().map(|f| (f.line, f.column)).collect::<Vec<_>>(), [(2, 4), (2, 17)]);
    assert!(report("shelf.csv", &latin, &faults).contains("byte 0xF6 is not UTF-8"));
    assert!(read_shelf(b"\xff\xfes\0k\0", &rules).expect_err("faulty")[0].what.contains("UTF-16"));
    for long in [
        "x".repeat(10_000_000),
        ",".repeat(10_000_000),
        format!("{HEAD}\n{},adc-1.498,-1.00,,,70", "x".repeat(10_000_000)),
    ] {
        let faults = read(&long).expect_err("faulty");
        let report = report("shelf.csv", long.as_bytes(), &faults);
        assert!(report.len() < 100_000 && !report.is_empty(), "{}", report.len());
    }
}

proptest::proptest! {
    #[test]
    fn no_bytes_bring_it_down(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..300), head in proptest::prelude::any::<bool>()) {
        let mut file = if head { format!("{HEAD}\n").into_bytes() } else { Vec::new() };
        file.extend(bytes);
        if let Err(faults) = read_shelf(&file, &built_in_rules()) {
            proptest::prop_assert!(!faults.is_empty());
            proptest::prop_assert!(!report("x", &file, &faults).is_empty());
        }
    }

    #[test]
    fn no_row_of_scraps_brings_it_down(row in "([-+0-9.a-z\"é ]{0,6},){5}[-+0-9.a-z\" ]{0,6}") {
        let text = format!("{HEAD}\n{row}\n");
        match read(&text) {
            Ok(rows) => proptest::prop_assert!(rows.len() <= 1),
            Err(faults) => {
                proptest::prop_assert!(faults.iter().all(|f| f.line == 2 && f.column <= row.chars().count() + 1));
                proptest::prop_assert!(!report("x", text.as_bytes(), &faults).is_empty());
            }
        }
    }
}
