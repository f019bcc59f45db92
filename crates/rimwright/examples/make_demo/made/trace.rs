//! A frame as a tracer would hand it in: records with rounding, noise, a pole that is a little off.

use exchange::records::{self, Record};
use units::maths::{cos_deg, hypot, sin_deg, sqrt};

use super::chance::Chance;
use super::frames::{Frame, Heights, Taken};
use super::rim::{Polar, Ring, Sizes, grown, mirrored};

const RADII: usize = 400;
const HEIGHTS: usize = 200;
/// Noise of the heights, rms: stylus wheels feel them less finely than radii.
const HEIGHT_NOISE_MM: f64 = 0.02;
/// By how much the left rim differs from the mirrored right one, most.
const RIMS_DIFFER_MM: f64 = 0.03;

/// The bytes of the record file.
pub(crate) fn records(frame: &Frame) -> Result<Vec<u8>, String> {
    let right = frame.form.ring();
    let left = grown(&mirrored(&right), |deg| RIMS_DIFFER_MM * cos_deg(2.0 * deg + 40.0));
    let eyes: &[(&str, &Ring)] =
        if frame.taken == Taken::RightOnly { &[("R", &right)] } else { &[("R", &right), ("L", &left)] };
    let mut file = File { records: Vec::new(), fault: None };
    let pair = |each: fn(&Sizes) -> f64, places: usize| {
        let mut fields: Vec<String> =
            eyes.iter().map(|(_, ring)| format!("{:.places$}", each(&Sizes::of(ring)))).collect();
        fields.resize(2, String::new());
        fields
    };
    file.put("REQ", ["FIL"]);
    file.put("FRAM", [format!("\"{}\"", frame.name)]);
    if frame.taken == Taken::DemoLenses {
        file.put("REM", ["demonstration lenses traced at their edge"]);
    }
    file.put("DO", [if eyes.len() == 2 { "B" } else { "R" }]);
    file.put("FTYP", [frame.rim]);
    file.put("DBL", [format!("{:.2}", frame.distance_between_lenses_mm)]);
    file.put("HBOX", pair(|s| s.width_mm, 2));
    file.put("VBOX", pair(|s| s.height_mm, 2));
    file.put("CIRC", pair(|s| s.round_mm, 2));
    file.put("FED", pair(|s| s.effective_diameter_mm, 2));
    file.put("FEDAX", pair(|s| s.effective_diameter_deg, 0));
    // What a demonstration lens is bent to says nothing of the frame.
    if frame.taken != Taken::DemoLenses {
        let curve = format!("{:.1}", frame.frame_curve_d);
        file.put("FCRV", [curve.as_str(), if eyes.len() == 2 { curve.as_str() } else { "" }]);
    }
    for (eye, ring) in eyes {
        one_eye(&mut file, frame, eye, ring);
    }
    match file.fault {
        Some(fault) => Err(fault),
        None => records::write(&file.records).map_err(|problems| format!("{problems:?}")),
    }
}

struct File {
    records: Vec<Record>,
    fault: Option<String>,
}

impl File {
    fn put<F: AsRef<str>>(&mut self, label: &str, fields: impl IntoIterator<Item = F>) {
        match Record::new(label, fields) {
            Ok(record) => self.records.push(record),
            Err(problem) => self.fault = Some(format!("{problem:?}")),
        }
    }
}

fn one_eye(file: &mut File, frame: &Frame, eye: &str, ring: &Ring) {
    let mut chance = Chance::of(&format!("{} {eye}", frame.name));
    let nasal = if eye == "R" { 1.0 } else { -1.0 };
    let (x, y) = Sizes::of(ring).middle;
    let polar = Polar::of(ring, (x + nasal * frame.pole_mm.0, y + frame.pole_mm.1));
    let uneven = frame.taken == Taken::BothUneven;
    let angles = if uneven { along(ring, (x + nasal * frame.pole_mm.0, y + frame.pole_mm.1)) } else { even(RADII) };
    let source = if frame.taken == Taken::DemoLenses { "L" } else { "F" };
    file.put("TRCFMT", ["1", &RADII.to_string(), if uneven { "U" } else { "E" }, eye, source]);
    let hundredths = |value: f64| ((value * 100.0).round() as i64).to_string();
    let mut read = |deg: f64| hundredths(polar.radius(deg) + frame.noise_mm * chance.noise());
    file.put("R", angles.iter().map(|&deg| read(deg)).collect::<Vec<_>>());
    if uneven {
        file.put("A", angles.iter().map(|&deg| hundredths(deg)).collect::<Vec<_>>());
    }
    let sign = match frame.heights {
        Heights::None => return,
        Heights::TowardsFace => 1.0,
        Heights::TowardsViewer => -1.0,
    };
    // The zero of a tracer's heights is where its stylus happens to rest.
    let rest_mm = 1.5 + 2.0 * chance.share();
    let mut height = |deg: f64| {
        let radius = polar.radius(deg);
        let depth = on_sphere(frame.frame_curve_d, radius * cos_deg(deg), radius * sin_deg(deg));
        hundredths(sign * (depth - rest_mm) + HEIGHT_NOISE_MM * chance.noise())
    };
    file.put("ZFMT", ["1", &HEIGHTS.to_string(), "E", eye, source]);
    file.put("Z", even(HEIGHTS).iter().map(|&deg| height(deg)).collect::<Vec<_>>());
}

fn even(n: usize) -> Vec<f64> {
    (0..n).map(|i| 360.0 * i as f64 / n as f64).collect()
}

/// Directions of points at even steps along the ring, to the hundredth of a degree, growing from the first above 0.
fn along(ring: &Ring, pole: (f64, f64)) -> Vec<f64> {
    let step = Sizes::of(ring).round_mm / RADII as f64;
    let mut found = Vec::with_capacity(RADII);
    let (mut run, mut next) = (0.0, 0.4 * step);
    let mut before = *ring.last().unwrap_or(&pole);
    for &(x, y) in ring {
        run += hypot(x - before.0, y - before.1);
        before = (x, y);
        if run >= next && found.len() < RADII {
            next += step;
            let deg = (units::maths::atan2_deg(y - pole.1, x - pole.0) + 360.0) % 360.0;
            found.push((deg * 100.0).round() / 100.0);
        }
    }
    found.sort_by(f64::total_cmp);
    found
}

/// Depth below the pole of a frame curve's sphere; the rim's sphere is a little rounder across than up.
fn on_sphere(frame_curve_d: f64, x: f64, y: f64) -> f64 {
    let radius = 530.0 / frame_curve_d;
    radius - sqrt(radius * radius - x * x - y * y) + 0.000_01 * (x * x - y * y)
}
