//! Properties of record files: no input panics, and what was read is written back the same.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use exchange::records::{self, Heights, Record, Source, Spacing, Trace};
use job::Eye;
use proptest::prelude::*;

/// Bytes as a broken tracer might send them: pieces of records, in any order and cut anywhere.
fn broken_file() -> impl Strategy<Value = Vec<u8>> {
    let piece = prop_oneof![
        Just(b"TRCFMT=1;4;E;R;F\r\n".to_vec()),
        Just(b"TRCFMT=1;3;U;L;F\r\n".to_vec()),
        Just(b"TRCFMT=4;3;U;L;F\r\n".to_vec()),
        Just(b"ZFMT=1;3;U;R\r\n".to_vec()),
        Just(b"R=2500;2600;2700\r\n".to_vec()),
        Just(b"A=0;12000;24000\r\n".to_vec()),
        Just(b"Z=-10;20;30\r\n".to_vec()),
        Just(b"ZA=0;12000;24000\r\n".to_vec()),
        Just(b"R=2500".to_vec()),
        Just(b"HBOX=51.00;51.00\r\nVBOX=36.00\r\nFEDAX=143;37\r\nCIRC=140;?\r\n".to_vec()),
        Just(b"SPH=-1.25;\n".to_vec()),
        "[A-Z_.]{0,9}=[ -~]{0,20}".prop_map(String::into_bytes),
        proptest::collection::vec(any::<u8>(), 0..12),
        Just(b"\r".to_vec()),
        Just(b";".to_vec()),
        Just(b"\x1C\x1E\x1D\x1A".to_vec()),
    ];
    proptest::collection::vec(piece, 0..40).prop_map(|pieces| pieces.concat())
}

/// A line that gives the reader nothing to remark on.
fn clean_line() -> impl Strategy<Value = String> {
    prop_oneof![
        "JOB=\"[0-9]{1,8}\"",
        "JOB=[0-9A-Za-z]{0,8}",
        "REM=[a-z][a-zA-Z0-9 :/.+-]{0,60}[a-z]",
        "SPH=[+-]?[0-2]?[0-9][.][0-9]{2};([?]|[+-]?[0-9][.]25)?",
        "HBOX=51[.][0-3]{0,2};[?]",
        "BEVM=([?]|[.][0-9]);?",
        "FTYP=[0-4]",
        "LTYPE=SV,AS;(SV)?",
        "_[A-Z]{1,3}=[0-9]{1,3};[a-z,]{0,4}",
        "FBFC(IN|UP)=-?[0-9][.][0-9];0",
        "STATUS=[0-9](;[a-z][a-z ]{0,20}[a-z])?",
        Just("TRCFMT=0".to_owned()),
        Just("\x1CREQ=FIL".to_owned()),
        Just("TRCFMT=1;4;E;R;F\r\nR=2500;2000;2600;2100".to_owned()),
    ]
}

fn line_end() -> impl Strategy<Value = &'static str> {
    prop_oneof![Just("\r\n"), Just("\n"), Just("\r"), Just("\r\n\r\n"), Just("\r\n\x1E\x1D\r\n")]
}

fn label() -> impl Strategy<Value = String> {
    prop_oneof![
        prop_oneof![
            Just("SPH"),
            Just("DBL"),
            Just("JOB"),
            Just("REM"),
            Just("FTYP"),
            Just("STATUS"),
            Just("DRILLE"),
            Just("D"),
        ]
        .prop_map(str::to_owned),
        "[A-Z0-9]{1,8}",
        "[_.][A-Z0-9]{1,7}",
    ]
}

/// A field that is a number, so that it may stand under any label; empty; unknown; or quoted text.
fn fields() -> impl Strategy<Value = Vec<String>> {
    proptest::collection::vec("|[?]|[+-]?[0-9]{1,3}", 1..12)
}

/// Label, and each field with whether it stood in quotes.
type Contents = (String, Vec<(Vec<u8>, bool)>);

fn contents(records: &[Record]) -> Vec<Contents> {
    let fields = |record: &Record| record.fields().map(|field| (field.bytes.to_vec(), field.quoted)).collect();
    records.iter().map(|record| (record.label().to_owned(), fields(record))).collect()
}

/// The same with the further records of a wrapped list joined to the first.
fn joined(records: &[Record]) -> Vec<Contents> {
    let mut out: Vec<Contents> = Vec::new();
    for (label, fields) in contents(records) {
        match out.last_mut() {
            Some(last) if last.0 == label && ["R", "A", "Z", "ZA", "D"].contains(&label.as_str()) => {
                last.1.extend(fields)
            }
            _ => out.push((label, fields)),
        }
    }
    out
}

fn trace() -> impl Strategy<Value = Trace> {
    let angles = |n: usize| {
        proptest::collection::btree_set(0..36_000_u32, n)
            .prop_map(|set| set.into_iter().map(|deg| f64::from(deg) / 100.0).collect::<Vec<_>>())
    };
    let set = move |low: i32, high: i32| {
        (3..120_usize, any::<bool>()).prop_flat_map(move |(n, even)| {
            let values = proptest::collection::vec((low..high).prop_map(|value| f64::from(value) / 100.0), n);
            let even_angles = (0..n).map(|i| 360.0 * i as f64 / n as f64).collect::<Vec<_>>();
            let spacing = if even { Spacing::Even } else { Spacing::Uneven };
            let angles = if even { Just(even_angles).boxed() } else { angles(n).boxed() };
            (Just(spacing), angles, values)
        })
    };
    let source = prop_oneof![Just(Source::Frame), Just(Source::Pattern), Just(Source::Lens), Just(Source::Unknown)];
    (prop_oneof![Just(Eye::Right), Just(Eye::Left)], source, set(1, 9000), proptest::option::of(set(-900, 900)))
        .prop_map(|(eye, source, (spacing, angles_deg, radii_mm), heights)| Trace {
            eye,
            source,
            spacing,
            angles_deg,
            radii_mm,
            heights: heights.map(|(spacing, angles_deg, mm)| Heights { spacing, angles_deg, mm }),
            line: 1,
        })
}

proptest! {
    #[test]
    fn no_bytes_panic(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        let reading = records::read(&bytes);
        prop_assert!(!reading.records.is_empty() || !reading.errors.is_empty());
    }

    #[test]
    fn no_broken_file_panics_and_every_fault_helps(bytes in broken_file()) {
        let reading = records::read(&bytes);
        let lines = bytes.iter().filter(|byte| matches!(byte, b'\r' | b'\n')).count() + 1;
        for problem in reading.errors.iter().chain(&reading.warnings) {
            prop_assert!((1..=lines).contains(&problem.line) && !problem.what.is_empty() && !problem.mend.is_empty());
        }
        for trace in &reading.traces {
            let finite = trace.angles_deg.iter().chain(&trace.radii_mm).all(|number| number.is_finite());
            prop_assert!(finite && trace.radii_mm.iter().all(|radius| *radius > 0.0));
            prop_assert_eq!(trace.angles_deg.len(), trace.radii_mm.len());
        }
    }

    #[test]
    fn what_was_read_without_remark_is_written_the_same(bytes in broken_file()) {
        let reading = records::read(&bytes);
        // Where the reader had something to say the writer may refuse; otherwise it must not.
        if reading.errors.is_empty() && reading.warnings.is_empty() {
            let written = records::write(&reading.records).unwrap();
            prop_assert_eq!(joined(&records::read(&written).records), joined(&reading.records));
        }
    }

    #[test]
    fn a_clean_file_is_written_with_the_same_records(lines in proptest::collection::vec((clean_line(), line_end()), 1..30)) {
        let bytes = lines.into_iter().map(|(line, end)| line + end).collect::<String>().into_bytes();
        let reading = records::read(&bytes);
        prop_assert!(reading.errors.is_empty(), "{:?}", reading.errors);
        prop_assert!(reading.warnings.iter().all(|warning| matches!(warning.code, records::Code::RepeatedLabel | records::Code::RepeatedTrace)));
        let written = records::write(&reading.records).unwrap();
        prop_assert_eq!(joined(&records::read(&written).records), joined(&reading.records));
        let raw: Vec<u8> = reading.records.iter().flat_map(|record| [record.raw(), b"\r\n"].concat()).collect();
        prop_assert_eq!(written, raw, "no list here is long enough to be wrapped");
    }

    #[test]
    fn written_records_are_read_the_same(given in proptest::collection::vec((label(), fields()), 1..20)) {
        let given: Vec<Record> = given.into_iter().map(|(label, fields)| Record::new(&label, fields).unwrap()).collect();
        let written = match records::write(&given) {
            Ok(written) => written,
            Err(problems) => {
                // Whole numbers may stand under any label, so only length can be refused.
                prop_assert!(problems.iter().all(|problem| problem.code == records::Code::LongRecord), "{problems:?}");
                return Ok(());
            }
        };
        prop_assert!(written.is_ascii());
        prop_assert!(written.split(|byte| *byte == b'\n').all(|line| line.len() <= records::LONGEST_WRITTEN + 1));
        prop_assert_eq!(joined(&records::read(&written).records), joined(&given));
        let again = records::write(&records::read(&written).records).unwrap();
        prop_assert_eq!(again, written, "writing what was read is the identity");
    }

    #[test]
    fn quoted_text_survives(text in "[ -~]{1,30}") {
        if let Ok(record) = Record::new("REM", [format!("\"{text}\"")]) {
            let read = records::read(&records::write(std::slice::from_ref(&record)).unwrap());
            prop_assert!(read.errors.is_empty() && read.warnings.is_empty(), "{:?}", read.warnings);
            prop_assert_eq!(contents(&read.records), contents(&[record]));
        }
    }

    #[test]
    fn written_traces_are_read_the_same(trace in trace()) {
        let written = records::write(&trace.to_records().unwrap()).unwrap();
        let reading = records::read(&written);
        prop_assert!(reading.errors.is_empty(), "{:?}", reading.errors);
        prop_assert_eq!(reading.traces, vec![trace]);
    }

    #[test]
    fn a_mirrored_trace_is_sound_and_mirrors_back(trace in trace()) {
        let mirrored = trace.mirrored();
        prop_assert!(mirrored.angles_deg.windows(2).all(|two| two[0] < two[1]));
        prop_assert!(mirrored.angles_deg.iter().all(|deg| (0.0..360.0).contains(deg)));
        let (one, back) = (trace.raw_sizes(), mirrored.mirrored().raw_sizes());
        prop_assert!((one.perimeter_mm - back.perimeter_mm).abs() < 1e-6, "{} {}", one.perimeter_mm, back.perimeter_mm);
        prop_assert!((one.width_mm - mirrored.raw_sizes().width_mm).abs() < 1e-6);
    }
}
