//! A small invented shop in a folder of its own: one order, its frame, a shelf.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::{fs, process};

use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;

/// An order with a little of everything, which the shelf can make.
pub(crate) const ORDER: &str = r#"number = "0142"
taken = 2026-03-02
eyes = "both"
[wearer]
born = 1988
monocular_pd_mm = { right = 31.5, left = 32.0 }
pupil_height_mm = { right = 21.0, left = 21.0 }
measured_by = "pupillometer"
worn_vertex_mm = 12.0
[prescription]
written = 2026-02-11
refraction_vertex_mm = 12.0
right = { sphere_d = "-4.25", cylinder_d = "-1.00", axis_deg = 170, prism = [{ cm_per_m = "1.00", base = "in" }] }
left = { sphere_d = "-3.75", cylinder_d = "none" }
[frame]
outline = "frame.txt"
outline_of = "rim-groove"
outline_from = "this-frame"
mounting = "full-rim"
material = "acetate"
[lens]
use = "distance"
type = "single-vision"
material = "polycarbonate-1.586"
treatments = ["anti-reflective"]
edge = "bevel"
bevel = "v"
"#;

/// The shelf: two blanks for the order and some that are not for it.
pub(crate) const SHELF: &str = "\
sku,material,series,lot,type,form,sphere_d,cylinder_d,axis_deg,nominal_mm,usable_mm,centre_mm,front_curve_d,front_curve_index,treatments,quantity,place
R-70,polycarbonate-1.586,S1,A,single-vision,spheric,-4.25,-1.00,,70,68,1.5,3.25,1.530,anti-reflective,3,drawer 1
L-70,polycarbonate-1.586,S1,A,single-vision,spheric,-3.75,,,70,68,1.5,3.25,1.530,anti-reflective,3,drawer 2
L-50,polycarbonate-1.586,S1,A,single-vision,spheric,-3.75,,,50,48,1.5,3.25,1.530,anti-reflective,3,drawer 2
R-CR,adc-1.498,S2,B,single-vision,spheric,-4.25,-1.00,,70,68,2.0,3.25,1.530,,3,drawer 7
";

/// A folder that goes when the test ends.
pub(crate) struct Shop(TempDir);

impl Shop {
    /// With order, frame and shelf.
    pub(crate) fn new() -> Self {
        let shop = Self(tempfile::tempdir().unwrap());
        shop.write("order.toml", ORDER);
        shop.write("frame.txt", frame());
        shop.write("shelf.csv", SHELF);
        shop
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    /// Writes the order with one piece of it replaced.
    pub(crate) fn order(&self, name: &str, from: &str, to: &str) {
        assert!(ORDER.contains(from), "{from} is not in the order");
        self.write(name, ORDER.replace(from, to));
    }

    /// Everything in the folder, by name.
    pub(crate) fn names(&self, folder: &str) -> Vec<String> {
        names(&self.path(folder))
    }

    /// Runs the command in the folder.
    pub(crate) fn run(&self, arguments: &[&str]) -> Ran {
        Ran::from(rimwright().current_dir(self.0.path()).args(arguments).output().unwrap())
    }

    /// Runs it and reads its one line of JSON.
    pub(crate) fn plan(&self, arguments: &[&str]) -> Value {
        let ran = self.run(&[&["plan"], arguments, &["--json"]].concat());
        serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {}{}", ran.out, ran.err))
    }
}

/// Everything in a folder, by name.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// The command, without a terminal's habits.
pub(crate) fn rimwright() -> Command {
    Command::new(assert_cmd::cargo::cargo_bin!("rimwright"))
}

/// What a run left behind.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) exit: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl From<process::Output> for Ran {
    fn from(output: process::Output) -> Self {
        Self {
            exit: output.status.code().expect("an exit code, no signal"),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

/// An ellipse 50 x 36 for the right eye, 400 radii in hundredths of a millimetre: the rounding is all its noise.
pub(crate) fn frame() -> String {
    let mut text = String::from("REQ=FIL\r\nDBL=18.00\r\nFCRV=5.00;5.00\r\nTRCFMT=1;400;E;R;F\r\n");
    let radii: Vec<String> = (0..400)
        .map(|i| {
            let t = f64::from(i) * std::f64::consts::TAU / 400.0;
            let (c, s) = (t.cos() / 25.0, t.sin() / 18.0);
            format!("{:.0}", 100.0 / (c * c + s * s).sqrt())
        })
        .collect();
    for row in radii.chunks(10) {
        write!(text, "R={}\r\n", row.join(";")).unwrap();
    }
    text
}
