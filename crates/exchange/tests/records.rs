//! Record, trace and write cases of `reference/interchange-cases.toml`, held to the letter; and bad files by hand.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use exchange::records::{self, Code, Problem, Reading, Record, Sent, Source, Spacing, Trace};
use job::{Eye, PerEye};
use toml::Value;

fn cases(kind: &str) -> Vec<Value> {
    let table: toml::Table = include_str!("../../../reference/interchange-cases.toml").parse().unwrap();
    let all = table["case"].as_array().unwrap();
    let found: Vec<Value> = all.iter().filter(|case| case["kind"].as_str() == Some(kind)).cloned().collect();
    assert!(!found.is_empty(), "no case of kind {kind}");
    found
}

fn id(case: &Value) -> &str {
    case["id"].as_str().unwrap()
}

fn codes(problems: &[Problem]) -> Vec<&'static str> {
    problems.iter().map(|problem| problem.code.as_str()).collect()
}

fn texts(value: &Value) -> Vec<String> {
    value.as_array().unwrap().iter().map(|text| text.as_str().unwrap().to_owned()).collect()
}

fn floats(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_float().unwrap()).collect()
}

/// Errors and warnings as the case has them: exactly these, so that a case without warnings has none.
fn check_problems(case: &Value, reading: &Reading) {
    let expect = &case["expect"];
    let error = expect.get("error").map(|code| code.as_str().unwrap());
    assert_eq!(codes(&reading.errors), error.into_iter().collect::<Vec<_>>(), "{}: {:?}", id(case), reading.errors);
    if let Some(problem) = reading.errors.first() {
        if let Some(line) = expect.get("error_line") {
            assert_eq!(Some(problem.line as i64), line.as_integer(), "{}", id(case));
        }
        if let Some(detail) = expect.get("error_detail") {
            assert_eq!(Some(problem.what.as_str()), detail.as_str(), "{}", id(case));
        }
    } else {
        let warnings = expect.get("warnings").map(texts).unwrap_or_default();
        assert_eq!(codes(&reading.warnings), warnings, "{}: {:?}", id(case), reading.warnings);
    }
}

#[test]
fn record_cases() {
    for case in cases("record") {
        let reading = records::read(case["input"].as_str().unwrap().as_bytes());
        check_problems(&case, &reading);
        let expect = &case["expect"];
        let expected = expect.get("records").map(|records| records.as_array().unwrap().as_slice());
        if let Some(expected) = expected {
            assert_eq!(reading.records.len(), expected.len(), "{}", id(&case));
            for (record, expected) in reading.records.iter().zip(expected) {
                assert_eq!(record.label(), expected["label"].as_str().unwrap(), "{}", id(&case));
                let fields: Vec<String> = record.fields().map(|field| field.text().into_owned()).collect();
                assert_eq!(fields, texts(&expected["fields"]), "{}", id(&case));
                let flag = |name: &str| expected.get(name).is_some_and(|flag| flag.as_bool().unwrap());
                assert_eq!(record.is_quoted(), flag("quoted"), "{}", id(&case));
                assert_eq!(record.is_local(), flag("local"), "{}", id(&case));
            }
        } else {
            assert!(expect.get("error").is_some(), "{} expects nothing", id(&case));
        }
        for (label, value) in expect.get("values").and_then(Value::as_table).into_iter().flatten() {
            check_value(&case, &reading, label, value);
        }
    }
}

fn check_value(case: &Value, reading: &Reading, label: &str, value: &Value) {
    let sent = |value: Option<&Value>| match value {
        None => Sent::NotSent,
        Some(Value::String(text)) if text == "?" => Sent::Unknown,
        Some(Value::String(text)) if text.is_empty() => Sent::Empty,
        Some(Value::Integer(number)) => Sent::Value(*number as f64),
        Some(value) => Sent::Value(value.as_float().unwrap_or_else(|| panic!("{}: {value:?}", id(case)))),
    };
    match value {
        Value::String(text) => assert_eq!(reading.text(label), Sent::Value(text.clone()), "{}", id(case)),
        Value::Table(pair) => {
            let expected = PerEye { right: sent(pair.get("right")), left: sent(pair.get("left")) };
            assert_eq!(reading.pair(label), expected, "{}", id(case));
        }
        number => assert_eq!(reading.number(label), sent(Some(number)), "{}", id(case)),
    }
}

#[test]
fn trace_cases() {
    for case in cases("trace") {
        let reading = records::read(case["input"].as_str().unwrap().as_bytes());
        check_problems(&case, &reading);
        let expect = &case["expect"];
        let Some(expected) = expect.get("traces") else {
            assert!(expect.get("error").is_some(), "{} expects nothing", id(&case));
            continue;
        };
        let expected = expected.as_array().unwrap();
        assert_eq!(reading.traces.len(), expected.len(), "{}", id(&case));
        for (trace, expected) in reading.traces.iter().zip(expected) {
            assert_eq!(trace.eye.letter(), expected["eye"].as_str().unwrap(), "{}", id(&case));
            assert_eq!(trace.source.letter(), expected["source"].as_str().unwrap(), "{}", id(&case));
            assert_eq!(trace.spacing.letter(), expected["spacing"].as_str().unwrap(), "{}", id(&case));
            assert_eq!(trace.angles_deg, floats(&expected["angles_deg"]), "{}", id(&case));
            assert_eq!(trace.radii_mm, floats(&expected["radii_mm"]), "{}", id(&case));
            let heights = trace.heights.as_ref();
            let angles = expected.get("z_angles_deg").map(floats);
            assert_eq!(heights.map(|heights| heights.angles_deg.clone()), angles, "{}", id(&case));
            let mm = expected.get("z_mm").map(floats);
            assert_eq!(heights.map(|heights| heights.mm.clone()), mm, "{}", id(&case));
        }
        if let Some(mirrored) = expect.get("mirrored_left") {
            let left = reading.trace(Eye::Right).unwrap().mirrored();
            assert_eq!(left.eye, Eye::Left);
            assert_eq!(left.angles_deg, floats(&mirrored["angles_deg"]), "{}", id(&case));
            assert_eq!(left.radii_mm, floats(&mirrored["radii_mm"]), "{}", id(&case));
        }
    }
}

#[test]
fn write_cases() {
    for case in cases("write") {
        let expect = &case["expect"];
        let written = records_of(&case).map_err(|problem| vec![problem]).and_then(|records| records::write(&records));
        match (expect.get("output"), expect.get("error")) {
            (Some(output), None) => {
                let written = written.unwrap_or_else(|problems| panic!("{}: {problems:?}", id(&case)));
                assert_eq!(String::from_utf8(written).unwrap(), output.as_str().unwrap(), "{}", id(&case));
            }
            (None, Some(error)) => assert_eq!(codes(&written.unwrap_err()), [error.as_str().unwrap()], "{}", id(&case)),
            _ => panic!("{} expects neither output nor error", id(&case)),
        }
    }
}

fn records_of(case: &Value) -> Result<Vec<Record>, Problem> {
    if let Some(records) = case.get("records") {
        let record = |record: &Value| Record::new(record["label"].as_str().unwrap(), texts(&record["fields"]));
        return records.as_array().unwrap().iter().map(record).collect();
    }
    let radii = &case["radii"];
    assert_eq!((radii["eye"].as_str(), radii["spacing"].as_str()), (Some("R"), Some("E")));
    assert_eq!(radii["source"].as_str(), Some("F"));
    let radii_mm: Vec<f64> =
        radii["values"].as_array().unwrap().iter().map(|value| value.as_integer().unwrap() as f64 / 100.0).collect();
    even(Eye::Right, radii_mm).to_records()
}

fn even(eye: Eye, radii_mm: Vec<f64>) -> Trace {
    let n = radii_mm.len();
    Trace {
        eye,
        source: Source::Frame,
        spacing: Spacing::Even,
        angles_deg: (0..n).map(|i| 360.0 * i as f64 / n as f64).collect(),
        radii_mm,
        heights: None,
        line: 0,
    }
}

/// Radii in mm of a superellipse of exponent 4, 52 by 36 mm, with one corner drawn out at `corner_deg`.
fn shape(n: usize, corner_deg: f64) -> Vec<f64> {
    (0..n)
        .map(|i| {
            let deg = 360.0 * i as f64 / n as f64;
            let (sin, cos) = (units::maths::sin_deg(deg), units::maths::cos_deg(deg));
            let (x, y) = (units::maths::sq(cos / 26.0), units::maths::sq(sin / 18.0));
            let superellipse = 1.0 / (x * x + y * y).sqrt().sqrt();
            let near = units::maths::cos_deg(deg - corner_deg);
            superellipse + if near > 0.0 { 3.0 * near * near * near * near } else { 0.0 }
        })
        .collect()
}

fn file(head: &str, traces: &[Trace]) -> Vec<u8> {
    let mut bytes = head.as_bytes().to_vec();
    for trace in traces {
        bytes.extend(records::write(&trace.to_records().unwrap()).unwrap());
    }
    bytes
}

fn pair_file() -> Vec<u8> {
    let right = even(Eye::Right, shape(400, 150.0));
    let left = right.mirrored();
    file("REQ=FIL\r\nJOB=\"0871\"\r\nDBL=17.50\r\nFTYP=1\r\n", &[right, left])
}

#[test]
fn a_measured_pair_reads_without_a_warning() {
    let reading = records::read(&pair_file());
    assert_eq!((codes(&reading.errors), codes(&reading.warnings)), (vec![], vec![]));
    assert_eq!(reading.trace(Eye::Right).unwrap().radii_mm.len(), 400);
    assert_eq!(reading.trace(Eye::Left).unwrap().radii_mm.len(), 400);
    assert_eq!(reading.texts("FTYP"), PerEye { right: Sent::Value("1".to_owned()), left: Sent::NotSent });
}

#[test]
fn every_prefix_of_a_good_file_reads_well_or_says_what_is_missing() {
    let whole = pair_file();
    for end in 0..whole.len() {
        let reading = records::read(&whole[..end]);
        for problem in reading.errors.iter().chain(&reading.warnings) {
            assert!(!problem.what.is_empty() && !problem.mend.is_empty(), "{end}: {problem:?}");
            assert!(problem.line >= 1, "{end}: {problem:?}");
        }
        let begun = whole[..end].windows(7).filter(|seven| *seven == b"TRCFMT=").count();
        // A number that was cut at the very end cannot be told from a whole one; that set then warns, or is complete.
        assert!(reading.traces.len() == begun || !reading.errors.is_empty(), "{end}: {:?}", reading.errors);
    }
    let cut = records::read(&whole[..whole.len() / 2]);
    assert_eq!(codes(&cut.errors), ["trace-count"]);
    assert!(cut.errors[0].mend.contains("cut short"), "{}", cut.errors[0]);
}

#[test]
fn empty_and_foreign_files_say_so() {
    for empty in [&b""[..], b"\r\n\r\n", b"  \n\x1A", b"\xEF\xBB\xBF"] {
        assert_eq!(codes(&records::read(empty).errors), ["no-records"], "{empty:?}");
    }
    assert_eq!(codes(&records::read(b"\xFF\xFED\0B\0L\0=\0").errors), ["not-ascii"]);
    let binary: Vec<u8> = (0..200_000_u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
    let errors = records::read(&binary).errors;
    assert_eq!(errors.len(), 51, "capped");
    assert!(errors.iter().any(|problem| problem.code == Code::TooManyErrors));
}

#[test]
fn a_line_of_ten_megabytes_is_refused_and_the_next_one_read() {
    let mut bytes = b"R=".to_vec();
    bytes.extend(b"2500;".repeat(2_000_000));
    bytes.extend(b"\r\nDBL=18.00\r\n");
    let reading = records::read(&bytes);
    assert_eq!(codes(&reading.errors), ["record-too-long"]);
    assert!(reading.errors[0].what.contains("10000002 bytes"), "{}", reading.errors[0]);
    assert_eq!(reading.number("DBL").value(), Some(18.0));
    assert_eq!(reading.records.len(), 1);
}

#[test]
fn millions_of_records_are_no_job() {
    let reading = records::read("A1=1\n".repeat(2_000_000).as_bytes());
    assert_eq!(codes(&reading.errors), ["too-many-records"]);
    assert_eq!(codes(&reading.warnings[..2]), ["unknown-label", "unknown-label"]);
    assert_eq!(reading.records.len(), records::MOST_RECORDS);
}

#[test]
fn bytes_that_are_no_utf_8_are_kept_and_told() {
    let reading = records::read(b"REM=caf\xE9\r\nFRAM=\xFF\r\n");
    assert!(reading.errors.is_empty());
    assert_eq!(codes(&reading.warnings), ["non-ascii-byte", "non-ascii-byte"]);
    assert_eq!((reading.warnings[0].line, reading.warnings[0].column), (1, Some(8)));
    assert_eq!(reading.records[0].raw(), b"REM=caf\xE9");
    assert_eq!(reading.records[0].field(0).unwrap().bytes, b"caf\xE9");
    assert_eq!(codes(&records::write(&reading.records).unwrap_err()), ["reserved-character", "reserved-character"]);
}

#[test]
fn several_faults_are_told_in_one_run_each_at_its_place() {
    let reading =
        records::read(b"DBL=18,0\r\nnonsense\r\nHBOX=52.0; x\r\nTRCFMT=1;4;E;R;F\r\nR=2500;2000;2600\r\n=4\r\n");
    let places: Vec<_> = reading.errors.iter().map(|problem| (problem.code.as_str(), problem.line)).collect();
    assert_eq!(
        places,
        [("bad-number", 1), ("missing-label-separator", 2), ("bad-number", 3), ("trace-count", 4), ("empty-label", 6)]
    );
    assert_eq!(reading.errors[2].column, Some(12));
    assert_eq!(
        reading.errors[0].to_string(),
        "line 1, column 5: DBL is a number, not `18,0` [bad-number]\n\
         hint: write digits with a decimal point, no comma, no exponent; `?` for unknown"
    );
    assert_eq!(reading.records.len(), 4, "what could be read is kept");
}

#[test]
fn packet_marks_between_records_are_skipped_and_inside_refused() {
    let good = b"\x1CREQ=FIL\r\nDBL=18.00\r\n\x1ECRC=1\r\n\x1D\x1A";
    let reading = records::read(good);
    assert_eq!((codes(&reading.errors), codes(&reading.warnings)), (vec![], vec![]));
    assert_eq!(reading.records.len(), 3);
    for bad in [&b"DBL=18.00\x1D\r\n"[..], b"D\x1CBL=18.00\r\n", b"REM=a\tb\r\n", b"REM=\0\r\n", b"REM=\x1A\r\n"] {
        assert_eq!(codes(&records::read(bad).errors), ["reserved-character"], "{:?}", bad.escape_ascii().to_string());
    }
}

#[test]
fn a_byte_order_mark_is_no_part_of_the_first_label() {
    let reading = records::read(b"\xEF\xBB\xBFDBL=18.00\r\n");
    assert_eq!(reading.records[0].label(), "DBL");
    assert!(reading.warnings.is_empty());
}

#[test]
fn the_bytes_of_a_binary_trace_are_not_read_as_text() {
    let reading = records::read(b"TRCFMT=4;400;E;R;F\r\nR=\x01\x9F;\n\xFFgarbage\r=\r\n\x00\x01=x\r\nDBL=18.00\r\n");
    assert_eq!(codes(&reading.errors), ["unsupported-trace-format"]);
    assert!(reading.warnings.is_empty(), "{:?}", reading.warnings);
    assert_eq!(reading.number("DBL").value(), Some(18.0));
    assert_eq!(codes(&records::read(b"TRCFMT=7;400;E;R;F\r\n").errors), ["unsupported-trace-format"]);
}

#[test]
fn format_records_are_checked_field_by_field() {
    for (input, expected) in [
        ("TRCFMT=1;4\r\n", vec!["bad-spacing", "bad-eye"]),
        ("TRCFMT=1;4;X;R;F\r\nR=1;2;3\r\n", vec!["bad-spacing"]),
        ("TRCFMT=1;-4;E;R;F\r\n", vec!["trace-count"]),
        ("TRCFMT=1;99999999999999999999;E;R;F\r\n", vec!["bad-integer"]),
        ("TRCFMT=x\r\nR=2500\r\n", vec!["bad-integer"]),
        ("TRCFMT=1;3;E;R;F\r\nR=2500;?;2500\r\n", vec!["bad-integer"]),
        ("TRCFMT=1;3;E;R;F\r\nR=2500;;2500\r\n", vec!["bad-integer"]),
        ("TRCFMT=1;3;E;R;F\r\nR=2500;-2500;2500\r\n", vec!["bad-radius"]),
        ("TRCFMT=1;3;U;R;F\r\nR=2500;2500;2500\r\nA=-1;100;200\r\n", vec!["angle-range"]),
        ("TRCFMT=1;3;U;R;F\r\nR=2500;2500;2500\r\nA=1;100\r\n", vec!["trace-count"]),
        ("TRCFMT=1;3;E;R;F\r\nR=2500;2500;2500\r\nZFMT=1;3;E;R;F\r\nZ=1;2\r\n", vec!["trace-count"]),
        ("TRCFMT=0\r\nR=2500;2500;2500\r\n", vec!["data-without-format"]),
        ("TRCFMT=1;3;E;R;F\r\nR=2500;2500;2500\r\nZ=1;2;3\r\n", vec!["data-without-format"]),
        (
            "ZFMT=1;3;E;L;F\r\nTRCFMT=1;3;E;R;F\r\nZ=1;2;3\r\nR=2500;2500;2500\r\n",
            vec!["trace-count", "data-without-format"],
        ),
        ("TRCFMT=?\r\nR=?\r\n", vec![]),
    ] {
        assert_eq!(codes(&records::read(input.as_bytes()).errors), expected, "{input}");
    }
}

#[test]
fn what_is_forgiven_is_told() {
    let square = "R=2500;2500;2500;2500";
    for (input, expected) in [
        ("TRCFMT=1;4;e;r;f\r\nR=2500;2500;2500;2500\r\n".to_owned(), vec!["lower-case-code"; 3]),
        (format!("TRCFMT=1;4;E;R;X\r\n{square}\r\n"), vec!["unknown-source"]),
        (format!("TRCFMT=1;4;E;R;F;9\r\n{square}\r\n"), vec!["extra-field"]),
        ("TRCFMT=1;4;E;R;F\r\nR=2500;2500;\r\nR=2500;2500\r\n".to_owned(), vec!["extra-field"]),
        (format!("TRCFMT=1;4;E;R;F\r\n{square}\r\nTRCFMT=1;4;E;R;L\r\n{square}\r\n"), vec!["repeated-trace"]),
        (format!("TRCFMT=1;4;U;R;F\r\n{square}\r\nA=0;9000;9000;27000\r\n"), vec!["doubled-angle"]),
        ("ZFMT=1;3;E;L;F\r\nZ=1;2;3\r\nDBL=18\r\n".to_owned(), vec!["heights-without-trace"]),
        ("TRCFMT=1;4;E;R;F\r\nR=250;250;250;250\r\n".to_owned(), vec!["radius-range"]),
        ("LNAM=ab*;x\r\n".to_owned(), vec!["reserved-character-in-value"]),
        ("JOB=\"12\r\n".to_owned(), vec!["reserved-character-in-value"]),
        ("LTYPE=SV,AS;SV\r\n".to_owned(), vec![]),
        ("FCOCIN=2.5;2.5\r\n_AB=x,y\r\n".to_owned(), vec![]),
        ("VERYLONGLABEL=1\r\n".to_owned(), vec!["odd-label"]),
        ("DBL=180\r\n".to_owned(), vec!["out-of-range"]),
        ("SPH=-1.25 ; -1.50\r\n".to_owned(), vec!["space-around-separator"]),
        ("DBL= 18;19 \r\n".to_owned(), vec!["space-around-separator", "extra-field"]),
    ] {
        let reading = records::read(input.as_bytes());
        assert_eq!((codes(&reading.errors), codes(&reading.warnings)), (vec![], expected), "{input}");
    }
}

#[test]
fn heights_go_to_their_eye_in_any_order() {
    let radii = "R=2500;2500;2500";
    for input in [
        format!("ZFMT=1;3;E;L;F\r\nZ=-1;2;3\r\nTRCFMT=1;3;E;R;F\r\n{radii}\r\nTRCFMT=1;3;E;L;F\r\n{radii}\r\n"),
        format!("TRCFMT=1;3;E;L;F\r\nZFMT=1;3;E;L;F\r\n{radii}\r\nZ=-1;2;3\r\nTRCFMT=1;3;E;R;F\r\n{radii}\r\n"),
    ] {
        let reading = records::read(input.as_bytes());
        assert_eq!((codes(&reading.errors), codes(&reading.warnings)), (vec![], vec![]), "{input}");
        assert_eq!(reading.trace(Eye::Left).unwrap().heights.as_ref().unwrap().mm, [-0.01, 0.02, 0.03]);
        assert!(reading.trace(Eye::Right).unwrap().heights.is_none());
    }
}

#[test]
fn one_bad_point_shows_as_a_step() {
    let mut radii = shape(400, 150.0);
    radii[200] += 3.0;
    let reading = records::read(&file("", &[even(Eye::Right, radii)]));
    assert_eq!(codes(&reading.warnings), ["radius-step"]);
    assert!(reading.warnings[0].what.contains("2 step(s)"), "{}", reading.warnings[0]);
    let mut radii = shape(400, 150.0);
    radii[0] += 3.0;
    let reading = records::read(&file("", &[even(Eye::Right, radii)]));
    assert!(reading.warnings[0].what.contains("2 step(s)"), "last to first: {}", reading.warnings[0]);
}

#[test]
fn box_and_circumference_of_the_records_are_held_against_the_points() {
    // A circle of radius 25: box 50 x 50, circumference 157.0796 (2 pi r), which the 400-sided polygon misses by 0.002.
    let circle = even(Eye::Right, vec![25.0; 400]);
    let sizes = circle.raw_sizes();
    assert!((sizes.width_mm - 50.0).abs() < 1e-9 && (sizes.height_mm - 50.0).abs() < 1e-9, "{sizes:?}");
    // Regular n-gon: 2 n r sin(180/n).
    assert!((sizes.perimeter_mm - 800.0 * 25.0 * units::maths::sin_deg(0.45)).abs() < 1e-9, "{sizes:?}");
    for (head, expected) in [
        ("HBOX=50.0;60.0\r\nVBOX=50.4;\r\nCIRC=157.1;?\r\n", vec![]),
        ("HBOX=50.6;50.6\r\n", vec!["box-mismatch"]),
        ("VBOX=49.4\r\n", vec!["box-mismatch"]),
        ("CIRC=161.0\r\n", vec![]),
        ("CIRC=164.0\r\n", vec!["circumference-mismatch"]),
        ("CIRC=155.5\r\n", vec!["circumference-mismatch"]),
    ] {
        let reading = records::read(&file(head, std::slice::from_ref(&circle)));
        assert_eq!(codes(&reading.warnings), expected, "{head}");
    }
}

#[test]
fn eyes_that_are_copies_or_swapped_are_told() {
    let right = even(Eye::Right, shape(400, 150.0));
    let left = right.mirrored();
    let copy = Trace { eye: Eye::Left, ..right.clone() };
    let reading = records::read(&file("", &[right.clone(), copy]));
    assert_eq!(codes(&reading.warnings), ["eyes-differ"]);
    assert!(reading.warnings[0].what.contains("one is a copy of the other"), "{}", reading.warnings[0]);

    let swapped = [Trace { eye: Eye::Right, ..left.clone() }, Trace { eye: Eye::Left, ..right.clone() }];
    assert_eq!(codes(&records::read(&file("", &swapped)).warnings), ["eyes-doubtful"]);
    // The longest radius, as the records state it for each eye.
    let stated = format!("FEDAX={:.0};{:.0}\r\n", right.raw_sizes().longest_deg, left.raw_sizes().longest_deg);
    assert_eq!(codes(&records::read(&file(&stated, &swapped)).warnings), ["eyes-doubtful"]);
    assert!(records::read(&file(&stated, &[right, left])).warnings.is_empty());

    let round = even(Eye::Right, vec![22.0; 400]);
    assert!(records::read(&file("", &[round.mirrored(), round])).warnings.is_empty(), "a circle has no sides");
}

#[test]
fn mirroring_twice_is_the_identity() {
    for n in [4, 400, 401, 799] {
        let trace = Trace {
            spacing: if n % 2 == 0 { Spacing::Even } else { Spacing::Uneven },
            ..even(Eye::Right, shape(n, 150.0))
        };
        let twice = trace.mirrored().mirrored();
        assert_eq!(twice.radii_mm, trace.radii_mm, "{n}");
        for (found, expected) in twice.angles_deg.iter().zip(&trace.angles_deg) {
            assert!((found - expected).abs() < 1e-9, "{n}: {found} {expected}");
        }
        for deg in [0.0, 12.5, 90.0, 181.0, 359.9] {
            let (one, other) = (trace.radius_at(deg), trace.mirrored().radius_at(180.0 - deg));
            assert!((one - other).abs() < 1e-9, "{n}: {deg}: {one} {other}");
        }
    }
}

#[test]
fn heights_are_interpolated_round_the_closed_curve() {
    let input = b"TRCFMT=1;3;E;R;F\r\nR=2500;2500;2500\r\nZFMT=1;3;U;R;F\r\nZ=100;300;500\r\nZA=1000;13000;25000\r\n";
    let reading = records::read(input);
    let heights = reading.trace(Eye::Right).unwrap().heights.clone().unwrap();
    for (deg, mm) in [(10.0, 1.0), (70.0, 2.0), (250.0, 5.0), (310.0, 3.0), (0.0, 1.0 + 4.0 / 12.0), (-50.0, 3.0)] {
        assert!((heights.at(deg) - mm).abs() < 1e-12, "{deg}: {}", heights.at(deg));
    }
}

#[test]
fn the_writer_refuses_what_the_grammar_does_not_have() {
    for (label, field) in [
        ("REM", "a=b"),
        ("REM", "a\"b"),
        ("REM", "a,b"),
        ("REM", "a*"),
        ("REM", "why?"),
        ("REM", "é"),
        ("REM", "a\nb"),
        ("_X", "a;b"),
    ] {
        assert_eq!(Record::new(label, [field]).unwrap_err().code, Code::ReservedCharacter, "{label}={field}");
    }
    for label in ["", "A B", "NINECHARS", "_", "É", "A-B", "__A"] {
        assert_eq!(Record::new(label, ["1"]).unwrap_err().code, Code::BadLabel, "{label}");
    }
    let refused =
        |label: &str, field: &str| codes(&records::write(&[Record::new(label, [field]).unwrap()]).unwrap_err());
    assert_eq!(refused("DBL", "1.8e1"), ["bad-number"]);
    assert_eq!(refused("R", "25.00"), ["bad-integer"]);
    assert_eq!(refused("REM", &"x".repeat(75)), ["long-record"]);
    assert!(records::write(&[Record::new("REM", ["x".repeat(74)]).unwrap()]).unwrap().len() == 80);
    let even_only = Trace { angles_deg: vec![0.0, 91.0, 180.0, 270.0], ..even(Eye::Right, vec![25.0; 4]) };
    assert_eq!(even_only.to_records().unwrap_err().code, Code::AnglesNotEven);
    for bad in [0.0, -1.0, f64::NAN] {
        assert_eq!(even(Eye::Right, vec![25.0, 25.0, bad]).to_records().unwrap_err().code, Code::BadRadius, "{bad}");
    }
}
