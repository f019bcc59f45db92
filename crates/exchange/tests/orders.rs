//! Orders: the form of an order reads to the values that stand in it, and every fault is told at its place.

use exchange::{Fault, built_in_rules, read_order, report};
use job::{
    Base, Cylinder, EdgeKind, Eye, Eyes, FarPd, FrameMaterial, LensType, LensUse, MeasuredBy, Mounting, Order,
    OutlineFrom, OutlineOf,
};
use units::{Axis, Mm, Power};

/// The example of an order, as the documentation prints it.
const EXAMPLE: &str = include_str!("data/order.toml");

fn read(text: &str) -> Result<Order, Vec<Fault>> {
    read_order(text.as_bytes(), &built_in_rules())
}

fn faults(text: &str) -> Vec<Fault> {
    read(text).err().unwrap_or_default()
}

/// The example with one line in place of another.
fn with(line: &str, other: &str) -> String {
    assert_eq!(EXAMPLE.matches(line).count(), 1, "{line}");
    EXAMPLE.replace(line, other)
}

fn power(thousandths: i32) -> Power {
    Power::from_thousandths(thousandths)
}

#[test]
fn the_example_reads_to_its_values() {
    let order = read(EXAMPLE).unwrap_or_else(|f| panic!("{}", report("order.toml", EXAMPLE.as_bytes(), &f)));
    assert_eq!(order.number.as_str(), "0142");
    assert_eq!(order.taken.to_string(), "2026-03-02");
    assert_eq!(order.eyes, Eyes::Both);
    let wearer = &order.wearer;
    assert_eq!(wearer.born, Some(1988));
    let Some(FarPd::Monocular(far)) = wearer.far_pd else { panic!("monocular") };
    assert_eq!((far.right, far.left), (Some(Mm::new(31.5)), Some(Mm::new(32.0))));
    assert_eq!((wearer.near_pd.right, wearer.near_pd.left), (Some(Mm::new(29.5)), Some(Mm::new(30.0))));
    assert_eq!((wearer.pupil_height.right, wearer.pupil_height.left), (Some(Mm::new(21.0)), Some(Mm::new(21.0))));
    assert_eq!((wearer.measured_by, wearer.worn_vertex), (Some(MeasuredBy::Own), Some(Mm::new(13.0))));
    let prescription = &order.prescription;
    assert_eq!(prescription.written.map(|d| d.to_string()).as_deref(), Some("2026-02-11"));
    assert_eq!(prescription.refraction_vertex, Some(Mm::new(12.0)));
    let right = prescription.eyes.right.as_ref().expect("written");
    assert_eq!((right.sphere.power, right.sphere.written.as_str()), (power(-4250), "-4.25"));
    let Cylinder::Given { power: cylinder, axis } = &right.cylinder else { panic!("given") };
    assert_eq!((cylinder.power, *axis), (power(-1000), Axis::from_half_degrees(340).unwrap()));
    assert_eq!((right.prism[0].amount.thousandths(), right.prism[0].base), (1000, Base::In));
    let left = prescription.eyes.left.as_ref().expect("written");
    assert_eq!((left.sphere.power, &left.cylinder, left.prism.len()), (power(-3750), &Cylinder::None, 0));
    let frame = &order.frame;
    assert_eq!(frame.outline, "kestrel-50.txt");
    assert_eq!((frame.outline_of, frame.outline_from), (Some(OutlineOf::RimGroove), Some(OutlineFrom::ThisFrame)));
    assert_eq!((frame.mounting, frame.material), (Mounting::FullRim, Some(FrameMaterial::Acetate)));
    assert_eq!((frame.distance_between_lenses, frame.frame_curve_d), (Some(Mm::new(18.0)), Some(5.0)));
    let groove = frame.rim_groove.expect("written");
    assert_eq!((groove.depth, groove.width), (Mm::new(0.9), Mm::new(1.6)));
    assert_eq!((frame.face_form_deg, frame.pantoscopic_deg), (Some(5.0), Some(8.0)));
    let lens = &order.lens;
    assert_eq!((lens.purpose, lens.kind, lens.edge), (LensUse::Distance, LensType::SingleVision, EdgeKind::Bevel));
    assert_eq!((lens.material.as_str(), lens.task_distance), ("polycarbonate-1.586", Some(Mm::new(400.0))));
    assert_eq!(lens.treatments, job::Treatments::ANTI_REFLECTIVE.with(job::Treatments::HYDROPHOBIC));
    assert_eq!((lens.blank.right.as_deref(), lens.blank.left.as_deref()), (Some("sku"), Some("sku")));
    let answer = &order.answers[0];
    assert_eq!((answer.code.as_str(), answer.eye), ("axis-not-mirrored", None));
    assert_eq!((answer.figure.as_str(), answer.who.as_str()), ("170/120", "M."));
}

const LEAST: &str = "number = \"7\"\ntaken = 2026-03-02\neyes = \"right\"\n[wearer]\nmonocular_pd_mm = { right = 31.5 }\n\
    [prescription]\nright = { sphere_d = \"plano\" }\n[frame]\noutline = \"a.txt\"\nmounting = \"full-rim\"\n[lens]\n\
    type = \"single-vision\"\nmaterial = \"adc-1.498\"\nedge = \"bevel\"\n";

#[test]
fn what_is_not_required_may_be_absent() {
    let order = read(LEAST).expect("sound");
    let right = order.prescription.eyes.right.as_ref().expect("written");
    assert_eq!((right.sphere.power, &right.cylinder), (Power::ZERO, &Cylinder::NotGiven));
    assert_eq!((order.lens.purpose, order.frame.material, order.wearer.measured_by), (LensUse::Distance, None, None));
}

#[test]
fn everything_optional_reads() {
    let text = LEAST
        .replace("\"plano\"", "\"+0.12\", cylinder_d = \"+0.37\", axis_deg = 0, add_d = \"+2.00\", prism = [{ cm_per_m = \"0.50\", base = 360 }, { cm_per_m = \"1.00\", base = \"down\" }]")
        .replace("[frame]\n", "compensated = { right = { sphere_d = \"+0.25\", cylinder_d = \"none\" } }\n[frame]\n\
            holes = [{ eye = \"right\", in_mm = 20.0, up_mm = 2.5, diameter_mm = 1.4 }]\n\
            clearance = [{ deg = 90, back_mm = 2.0, what = \"nose pad\" }]\noutline_allowance_mm = 0.5\nowner = \"wearer\"\n")
        .replace("[wearer]\n", "[wearer]\noptical_centre_height_mm = { right = 20 }\nsegment_height_mm = { right = 17.0 }\nfitting_height_mm = { right = 22.0 }\n")
        + "centre_mm = { right = 2.0 }\nleast_edge_mm = { right = 1.5 }\nfront_curve_d = { right = 6.0 }\nbevel = \"stepped\"\n\
        [lens.mate]\nmaterial = \"adc-1.498\"\nseries = \"clear\"\nfront_curve_d = 6.0\nfront_curve_index = 1.53\ncentre_mm = 2.1\n\
        [[answers.adds-differ]]\neye = \"right\"\nfigure = \"1\"\nreason = \"a\"\nwho = \"b\"\n\
        [[answers.adds-differ]]\neye = \"left\"\nfigure = \"2\"\nreason = \"a\"\nwho = \"b\"\n";
    let order = read(&text).unwrap_or_else(|f| panic!("{}", report("order.toml", text.as_bytes(), &f)));
    let right = order.prescription.eyes.right.as_ref().expect("written");
    // 0.12 and 0.37 are eighths cut short; axis 0 is 180; a base of 360 degrees is 0, the viewer's right.
    assert_eq!((right.sphere.power, right.sphere.written.as_str()), (power(125), "+0.12"));
    assert!(
        matches!(&right.cylinder, Cylinder::Given { power: c, axis } if c.power == power(375) && axis.deg() == 180.0)
    );
    assert_eq!((right.prism[0].base, right.prism[1].base), (Base::Degrees(0.0), Base::Down));
    assert_eq!(right.add.as_ref().map(|a| a.power), Some(power(2000)));
    let compensated = order.prescription.compensated.right.as_ref().expect("written");
    assert_eq!((compensated.sphere.power, &compensated.cylinder), (power(250), &Cylinder::None));
    assert_eq!((order.frame.holes[0].eye, order.frame.holes[0].diameter), (Eye::Right, Mm::new(1.4)));
    assert_eq!((order.frame.clearance[0].deg, order.frame.clearance[0].what.as_str()), (90.0, "nose pad"));
    assert_eq!((order.lens.centre.right, order.lens.least_edge.right), (Some(Mm::new(2.0)), Some(Mm::new(1.5))));
    let mate = order.lens.mate.as_ref().expect("written");
    assert_eq!(mate.front_curve.map(|f| (f.curve_d, f.index)), Some((6.0, 1.53)));
    let eyes: Vec<_> = order.answers.iter().map(|a| (a.eye, a.figure.as_str())).collect();
    assert_eq!(eyes, [(Some(Eye::Right), "1"), (Some(Eye::Left), "2")]);
}

/// Readable but unwise: the plan asks, the reader lets it through.
#[test]
fn what_is_unwise_is_no_fault() {
    for (line, other) in [
        ("monocular_pd_mm = { right = 31.5, left = 32.0 }", "monocular_pd_mm = { right = 6.3, left = 32.0 }"),
        ("monocular_pd_mm = { right = 31.5, left = 32.0 }", "binocular_pd_mm = 6.3"),
        ("monocular_pd_mm = { right = 31.5, left = 32.0 }", "pd = \"boxed-centres\""),
        ("cylinder_d = \"none\" }", "add_d = \"+2.00\" }"),
        ("cylinder_d = \"none\" }", "cylinder_d = \"0.00\" }"),
        ("cylinder_d = \"none\" }", "cylinder_d = \"0.00\", axis_deg = 90 }"),
        ("axis_deg = 170", "axis_deg = 92.5"),
        ("\"-4.25\"", "\"-12.34\""),
        ("type = \"single-vision\"", "type = \"progressive-power\""),
        ("frame_curve_d = 5.0", "frame_curve_d = 0"),
        ("written = 2026-02-11", "written = 2019-02-11"),
        ("edge = \"bevel\" ", "edge = \"groove\" "),
    ] {
        let text = with(line, other);
        assert!(read(&text).is_ok(), "{other}: {:?}", read(&text));
    }
}

/// One line changed: the fault's line is that line's, its column, a piece of what it says, a piece of the hint.
#[test]
fn each_fault_is_told_at_its_place() {
    let prescription = "right = { sphere_d = \"-4.25\", cylinder_d = \"-1.00\", axis_deg = 170, prism = [{ cm_per_m = \"1.00\", base = \"in\" }] }";
    let right = |change: &str, by: &str| (prescription.to_owned(), prescription.replace(change, by));
    let line = |line: &str, by: &str| (line.to_owned(), by.to_owned());
    let cases: Vec<((String, String), usize, &str, &str)> = vec![
        // Powers, cylinder and axis, prism and base.
        (right("\"-4.25\"", "\"4.25\""), 22, "`prescription.right.sphere_d`: `4.25` has no sign", "+4.25 or -4.25"),
        (right("\"-4.25\"", "-4.25"), 22, "is the number -4.25; expected a power in quotes", "\"-4.25\""),
        (right("\"-4.25\"", "4.25"), 22, "is the number 4.25", "with its sign"),
        (right("\"-4.25\"", "\"-4,25\""), 22, "is the text `-4,25`", "with a point"),
        (right("\"-4.25\"", "\"-425\""), 22, "`-425` is beyond 40", "decimal point missing"),
        (right("\"-4.25\"", "\"none\""), 22, "`none` is not a number", "sign, digits"),
        (right("\"-4.25\"", "\"NaN\""), 22, "`NaN` is not a number", "sign, digits"),
        (right("\"-4.25\"", "\"\""), 22, "is an empty text", "write the power"),
        (right("\"-4.25\"", "true"), 22, "is true; expected a power", "quotes"),
        (right("sphere_d = \"-4.25\", ", ""), 9, "`prescription.right.sphere_d` is missing", "plano"),
        (right(", axis_deg = 170", ""), 44, "`prescription.right.cylinder_d` is given without an axis", "axis_deg"),
        (
            right("cylinder_d = \"-1.00\", ", ""),
            42,
            "`prescription.right.axis_deg` is given without a cylinder",
            "none",
        ),
        (right("\"-1.00\"", "\"none\""), 63, "although there is no cylinder", "take out the axis"),
        (right("\"-1.00\"", "\"DS\""), 44, "is the text `DS`", "\"none\""),
        (right("170", "181"), 64, "is the number 181; expected an axis", "again"),
        (right("170", "90.25"), 64, "is the number 90.25; expected an axis", "again"),
        (right("170", "\"170\""), 64, "expected an axis", "without quotes"),
        (right("170", "0x10"), 64, "is the number 0x10", "without quotes"),
        (right(", base = \"in\"", ""), 78, "`prescription.right.prism[1].base` is missing", "needs its base"),
        (right("cm_per_m = \"1.00\", ", ""), 78, "cm_per_m` is missing", "1.00"),
        (right("\"in\"", "\"nasal\""), 106, "expected in, out, up or down", "write in, out"),
        (right("\"in\"", "\"90\""), 106, "expected a word, or degrees", "without quotes"),
        (right("\"in\"", "370"), 106, "is the number 370; expected a number from 0 to 360 degrees", ""),
        (right("\"1.00\"", "1.00"), 91, "expected an amount in quotes", "without sign"),
        (right("\"1.00\"", "\"-1.00\""), 91, "`-1.00` is not a number", "without sign"),
        (
            right("[{ cm_per_m = \"1.00\", base = \"in\" }]", "{ cm_per_m = \"1.00\", base = \"in\" }"),
            77,
            "expected a list",
            "[a, b]",
        ),
        (right("axis_deg = 170", "axis_deg = 170, add_d = \"-2.00\""), 77, "expected a plus power", "always plus"),
        (right("axis_deg", "axis"), 53, "`axis` is not a key of [prescription.right]", "did you mean `axis_deg`?"),
        // The wearer.
        (line("born = 1988", "born = 88"), 8, "expected a number from 1890", ""),
        (line("born = 1988", "born = 1988.5"), 8, "expected a whole number", ""),
        (
            line("{ right = 31.5, left = 32.0 }   #", "{ right = 315, left = 32.0 }   #"),
            29,
            "expected a number above 0 and below 200 mm",
            "decimal point",
        ),
        (
            line("{ right = 31.5, left = 32.0 }   #", "{ right = -31.5, left = 32.0 }   #"),
            29,
            "is the number -31.5",
            "minus",
        ),
        (
            line("{ right = 31.5, left = 32.0 }   #", "{ right = nan, left = 32.0 }   #"),
            29,
            "is the number nan",
            "plain decimal",
        ),
        (
            line("{ right = 31.5, left = 32.0 }   #", "{ right = inf, left = 32.0 }   #"),
            29,
            "is the number inf",
            "plain decimal",
        ),
        (
            line("{ right = 31.5, left = 32.0 }   #", "{ right = \"31.5\", left = 32.0 }   #"),
            29,
            "is the text `31.5`",
            "without quotes",
        ),
        (
            line("{ right = 31.5, left = 32.0 }   #", "{ right = 0x1F, left = 32.0 }   #"),
            29,
            "is the number 0x1F",
            "plain decimal",
        ),
        (line("{ right = 31.5, left = 32.0 }   #", "63.5   #"), 19, "expected one value for each eye", "{ right"),
        (
            line("born = 1988", "binocular_pd_mm = 63.5"),
            1,
            "is given 2 times: monocular_pd_mm, binocular_pd_mm",
            "keep one",
        ),
        (line("monocular_pd_mm = { right = 31.5, left = 32.0 }", "pd = \"middle\""), 6, "expected boxed-centres", ""),
        (
            line("born = 1988", "optical_centre_height_mm = { right = 20.0 }"),
            1,
            "the right eye has both",
            "keep the one",
        ),
        (
            line("measured_by = \"self\"", "measured_by = \"pupilometer\""),
            15,
            "the text `pupilometer`",
            "did you mean `pupillometer`?",
        ),
        (
            line("worn_vertex_mm = 13.0", "worn_vertex = 13.0"),
            1,
            "`worn_vertex` is not a key of [wearer]",
            "`worn_vertex_mm`",
        ),
        (
            line("worn_vertex_mm = 13.0", "frame_curve_d = 5"),
            1,
            "`frame_curve_d` is not a key of [wearer]",
            "belongs in [frame]",
        ),
        (
            line("owner = \"shop\"", "pupil_heigth_mm = 3"),
            1,
            "`pupil_heigth_mm` is not a key of [frame]",
            "`pupil_height_mm`, in [wearer]?",
        ),
        // Dates, number, eyes.
        (
            line("taken = 2026-03-02", "taken = \"2026-03-02\""),
            9,
            "is the text `2026-03-02`; expected a date",
            "without quotes",
        ),
        (line("taken = 2026-03-02", "taken = 2026-03-02T10:00:00"), 9, "expected a date", ""),
        (line("taken = 2026-03-02", "taken = 2026-02-30"), 9, "no date", "2026-03-02"),
        (line("number = \"0142\"", "number = 142"), 10, "is the number 142", "double quotes"),
        (line("number = \"0142\"", "number = \"A142\""), 10, "expected 1 to 12 digits", "digits only"),
        (line("eyes = \"both\"", "eyes = \"booth\""), 8, "expected both, right or left", "did you mean `both`?"),
        // Frame.
        (line("mounting = \"full-rim\"", "mounting = \"rimless\""), 12, "expected full-rim, nylon-cord", ""),
        (
            line("mounting = \"full-rim\"", "mounting = \"Full-Rim\""),
            12,
            "the text `Full-Rim`",
            "did you mean `full-rim`?",
        ),
        (line("outline = \"kestrel-50.txt\"", "outline = \"\""), 11, "is an empty text", ""),
        (
            line("rim_groove = { depth_mm = 0.9, width_mm = 1.6 }", "rim_groove = { depth_mm = 0.9 }"),
            14,
            "`frame.rim_groove.width_mm` is missing",
            "",
        ),
        (
            line("rim_groove = { depth_mm = 0.9, width_mm = 1.6 }", "rim_groove = { depth_mm = -0.9, width_mm = 1.6 }"),
            27,
            "is the number -0.9",
            "minus",
        ),
        (
            line("owner = \"shop\"", "holes = [{ eye = \"right\", in_mm = 20.0, up_mm = 2.5 }]"),
            10,
            "`frame.holes[1].diameter_mm` is missing",
            "",
        ),
        (
            line("owner = \"shop\"", "clearance = [{ deg = 90, back_mm = 1.0 }]"),
            14,
            "`frame.clearance[1].what` is missing",
            "",
        ),
        (line("owner = \"shop\"", "owner = \"shop\"\nowner = \"shop\""), 1, "`owner` is given twice", "keep one"),
        // Lens.
        (
            line("material = \"polycarbonate-1.586\"", "material = \"polycarbonat-1.586\""),
            12,
            "expected a material that the rules know",
            "did you mean `polycarbonate-1.586`?",
        ),
        (
            line("treatments = [\"anti-reflective\", \"hydrophobic\"]", "treatments = [\"anti-reflexive\"]"),
            15,
            "expected a treatment that the rules know",
            "did you mean `anti-reflective`?",
        ),
        (line("treatments = [\"anti-reflective\", \"hydrophobic\"]", "treatments = \"uv\""), 14, "expected a list", ""),
        (line("edge = \"bevel\" ", "edge = \"bevle\" "), 8, "expected bevel, groove or flat", "did you mean `bevel`?"),
        (line("edge = \"bevel\" ", "edge = bevel "), 8, "`bevel` stands without quotes", "double quotes"),
        (
            line("task_distance_mm = 400", "centre_mm = { right = -2.0 }"),
            23,
            "is the number -2.0; expected a number above 0 and below 40 mm",
            "minus",
        ),
        (line("task_distance_mm = 400", "centre_mm = 2.0"), 13, "expected one value for each eye", ""),
        (line("task_distance_mm = 400", "centre_mm = {}"), 13, "`lens.centre_mm` has neither right nor left", ""),
        (
            line("task_distance_mm = 400", "mate = { front_curve_d = 6.0 }"),
            8,
            "`lens.mate.front_curve_index` is missing",
            "go together",
        ),
        // Answers.
        (
            line("[answers.axis-not-mirrored]", "[answers.axis-not-mirored]"),
            1,
            "`axis-not-mirored` is not the code",
            "`axis-not-mirrored`?",
        ),
        (line("who = \"M.\"", "why = \"M.\""), 1, "`why` is not a key of [answers.axis-not-mirrored]", "who"),
        // What TOML itself refuses.
        (line("born = 1988", "born = 1988 = 2"), 13, "stands behind a finished value", ""),
        (line("worn_vertex_mm = 13.0", "worn_vertex_mm = 13,0"), 20, "`,0", "point, not a comma"),
        (line("worn_vertex_mm = 13.0", "worn_vertex_mm = 13 mm"), 18, "stands without quotes", "unit is in the key"),
        (line("worn_vertex_mm = 13.0", "worn_vertex_mm ="), 17, "nothing stands behind `=`", "take the key out"),
        (line("worn_vertex_mm = 13.0", "worn_vertex_mm = .5"), 18, "this is no number", "0.5"),
        (right("170", "008"), 64, "begins with 0", "write 8"),
        (line("measured_by = \"self\"", "measured_by = “self”"), 15, "printer's quotes", "straight"),
    ];
    let mut amiss = String::new();
    for ((old, new), column, what, hint) in &cases {
        let text = with(old, new);
        let faults = faults(&text);
        let mut line = 1 + EXAMPLE[..EXAMPLE.find(old).unwrap()].matches('\n').count();
        // Told at the head of the table, or at the second of two lines.
        let head = ["given 2 times", "has both"].iter().any(|w| what.contains(w));
        line += usize::from(what.contains("twice"));
        let more = ["why =", " axis = "].iter().filter(|w| new.contains(*w)).count();
        let good = |f: &Fault| {
            f.what.contains(what)
                && f.hint.contains(hint)
                && !f.hint.is_empty()
                && (f.line, f.column) == (if head { 4 } else { line }, *column)
        };
        if faults.len() != 1 + more || !faults.iter().any(good) {
            let shown = report("order.toml", text.as_bytes(), &faults);
            amiss.push_str(&format!("--- wanted {line}:{column}: {what}, hint: {hint}\n{shown}"));
        }
    }
    assert!(amiss.is_empty(), "{amiss}");
    assert!(cases.len() > 70);
}

#[test]
fn required_keys_are_each_called_missing() {
    for (line, what) in [
        ("number = \"7\"\n", "`number` is missing"),
        ("taken = 2026-03-02\n", "`taken` is missing"),
        ("eyes = \"right\"\n", "`eyes` is missing"),
        ("monocular_pd_mm = { right = 31.5 }\n", "a pupillary distance is missing"),
        ("right = { sphere_d = \"plano\" }\n", "`prescription.right` is missing"),
        ("outline = \"a.txt\"\n", "`frame.outline` is missing"),
        ("mounting = \"full-rim\"\n", "`frame.mounting` is missing"),
        ("type = \"single-vision\"\n", "`lens.type` is missing"),
        ("material = \"adc-1.498\"\n", "`lens.material` is missing"),
        ("edge = \"bevel\"\n", "`lens.edge` is missing"),
    ] {
        let faults = faults(&LEAST.replace(line, ""));
        assert_eq!(faults.iter().map(|f| f.what.as_str()).collect::<Vec<_>>(), [what], "{line}");
    }
    let both =
        LEAST.replace("\"right\"\n", "\"both\"\n").replace("[frame]", "left = { sphere_d = \"plano\" }\n[frame]");
    let faults_of_both = faults(&both);
    assert_eq!(faults_of_both.len(), 1, "{faults_of_both:?}");
    assert_eq!(faults_of_both[0].what, "the left eye is made, but its pupillary distance is missing");
    let whats: Vec<_> = faults("number = \"7\"\n").iter().map(|f| f.what.clone()).collect();
    let tables =
        ["`taken`", "`eyes`", "`wearer`", "`prescription`", "`frame`", "`lens`"].map(|t| format!("{t} is missing"));
    assert_eq!(whats, tables);
}

#[test]
fn many_faults_are_told_in_one_run_in_the_order_of_the_file() {
    let text = "number = 7\ntaken = \"today\"\neyes = \"all\"\nshop = 1\n[wearer]\nborn = -1\nmonocular_pd_mm = 3\nleft = 1\n\
        [prescription]\nwritten = 5\nright = { sphere_d = \"1.00\", cylinder_d = \"1.00\", axis_deg = 200, base = 1 }\n\
        [frame]\nmounting = \"wire\"\nface_form_deg = 99\n[lens]\ntype = 3\nmaterial = \"wood\"\nedge = \"sharp\"\nblank = 4\n";
    let places: Vec<_> = faults(text).iter().map(|f| (f.line, f.column)).collect();
    let lines: Vec<_> = places.iter().map(|(line, _)| *line).collect();
    // Line 11 has five: two powers without sign, an axis, an unknown key; 12 is the frame without outline.
    assert_eq!(lines, [1, 2, 3, 4, 6, 7, 8, 10, 11, 11, 11, 11, 12, 13, 14, 16, 17, 18, 19]);
    assert!(places.is_sorted(), "{places:?}");
}

#[test]
fn a_lost_table_head_is_told_by_where_its_keys_stand() {
    let faults = faults(&with("[lens]\n", ""));
    let told: Vec<_> = faults.iter().map(|f| (f.line, f.hint.as_str())).collect();
    assert!(told.contains(&(30, "it belongs in [lens]")), "{told:?}");
}

#[test]
fn syntax_faults_stand_beside_others_and_hide_only_their_own_line() {
    let text = with("born = 1988", "born 1988")
        .replace("taken = 2026-03-02", "taken = 3")
        .replace("owner = \"shop\"", "owner = shop");
    let lines: Vec<_> = faults(&text).iter().map(|f| f.line).collect();
    assert_eq!(lines, [2, 5, 22], "{:?}", faults(&text));
}

#[test]
fn line_ends_and_byte_order_mark_do_not_matter() {
    let crlf = EXAMPLE.replace('\n', "\r\n");
    assert_eq!(read(&crlf), read(EXAMPLE));
    let marked = format!("\u{feff}{EXAMPLE}");
    assert_eq!(read(&marked), read(EXAMPLE));
    let fault = &faults(&marked.replace("\"0142\"", "142"))[0];
    assert_eq!((fault.line, fault.column), (1, 10));
    let fault = &faults(&crlf.replace("born = 1988", "born = 1"))[0];
    assert_eq!((fault.line, fault.column), (5, 8));
}

#[test]
fn files_that_are_no_orders_say_so() {
    let rules = built_in_rules();
    let first = |bytes: &[u8]| read_order(bytes, &rules).expect_err("no order")[0].clone();
    assert!(first(b"").what.contains("empty"));
    assert!(first(b" \r\n\n").what.contains("empty"));
    let latin = b"number = \"7\"\n# caf\xe9 and b\xe9b\xe9\n";
    let fault = read_order(latin, &rules).expect_err("no order").into_iter().find(|f| f.line == 2).expect("told");
    assert!(fault.what.contains("0xE9") && fault.what.contains("2 more"), "{fault}");
    assert_eq!((fault.line, fault.column), (2, 6));
    assert!(first(b"\xff\xfen\0u\0").what.contains("UTF-16"));
    let long = "x".repeat(10 * 1024 * 1024);
    let fault = first(long.as_bytes());
    assert!(fault.what.contains("10485760 bytes"), "{fault}");
    assert!(report("order.toml", long.as_bytes(), &[fault]).len() < 1000);
    // Below the limit a line may be as long as it likes, and what is told of it stays short.
    let long = format!("number = \"{}\"", "9".repeat(1_000_000));
    let faults = read_order(long.as_bytes(), &rules).expect_err("no order");
    assert!(report("order.toml", long.as_bytes(), &faults).len() < 5000);
}

#[test]
fn a_report_shows_place_line_and_hint() {
    let text = with("edge = \"bevel\" ", "edge = \"bevle\" ");
    let report = report("monday/0142.toml", text.as_bytes(), &faults(&text));
    for part in [
        "fault: `lens.edge` is the text `bevle`; expected bevel, groove or flat",
        "monday/0142.toml:34:8",
        "edge = \"bevle\"",
        "^^^^^^^",
        "hint: did you mean `bevel`?",
    ] {
        assert!(report.contains(part), "{part}\n{report}");
    }
    assert!(!report.contains('\u{1b}'), "no colour unless asked");
}

proptest::proptest! {
    #[test]
    fn no_bytes_bring_it_down(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..400)) {
        if let Err(faults) = read_order(&bytes, &built_in_rules()) {
            proptest::prop_assert!(!faults.is_empty());
            proptest::prop_assert!(!report("x", &bytes, &faults).is_empty());
        }
    }

    /// The example with a piece taken out, doubled or replaced: read, or refused with a place inside the file.
    #[test]
    fn no_mutilation_brings_it_down(at in 0..EXAMPLE.len(), len in 0usize..40, by in "[ -~\n\u{e9}]{0,12}") {
        let end = (at + len).min(EXAMPLE.len());
        let text = format!("{}{by}{}", &EXAMPLE[..at], &EXAMPLE[end..]);
        if let Err(faults) = read(&text) {
            proptest::prop_assert!(!faults.is_empty());
            let lines = text.matches('\n').count() + 1;
            for fault in &faults {
                proptest::prop_assert!((1..=lines).contains(&fault.line) && fault.column >= 1, "{fault}");
                proptest::prop_assert!(!fault.what.is_empty() && !fault.hint.is_empty());
            }
            proptest::prop_assert!(!report("x", text.as_bytes(), &faults).is_empty());
        }
    }
}
