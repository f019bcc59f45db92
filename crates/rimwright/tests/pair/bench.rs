//! A pair on the bench: powers, blanks, an exact shape; a plan of it.

use std::fmt::Write;
use std::sync::Arc;

use job::{Eye, PerEye};
use outline::Outline;
use planner::plan::{LensPlan, Spread};
use planner::{Bench, EyePlan, FrameShapes, Plan, Shape, Shelf, plan};
use units::{Mm, Working};

/// One eye of the pair.
#[derive(Debug, Clone)]
pub(crate) struct Given {
    /// The prescription's inner part, as an order writes it.
    pub(crate) power: &'static str,
    /// Sphere and cylinder of the row.
    pub(crate) label: &'static str,
    pub(crate) front: f64,
    pub(crate) centre: f64,
    pub(crate) pd: f64,
}

/// A pair; a test changes what it is about.
#[derive(Debug, Clone)]
pub(crate) struct Pair {
    pub(crate) eyes: PerEye<Given>,
    /// Lines of `[wearer]` beside the pupillary distances.
    pub(crate) wearer: String,
    /// Lines of `[prescription]`.
    pub(crate) prescription: &'static str,
    /// Lines of `[frame]`.
    pub(crate) frame: &'static str,
    /// Lines of `[lens]`: material, edge and so on.
    pub(crate) lens: String,
    /// Index on which the front curves are stated; the material's index.
    pub(crate) curve_index: f64,
    pub(crate) index: f64,
    pub(crate) height: f64,
    pub(crate) shape: Shape,
    pub(crate) rules: String,
    /// Further rows of the shelf.
    pub(crate) rows: String,
    pub(crate) uncut: PerEye<Option<job::Uncut>>,
}

const HEADER: &str = "sku,material,form,sphere_d,cylinder_d,nominal_mm,usable_mm,centre_mm,front_curve_d,front_curve_index,index,base_in_cm_per_m,quantity";

impl Pair {
    /// A pair of these powers and labels, front curves on 1.530, centres as given.
    pub(crate) fn new(right: Given, left: Given) -> Self {
        Self {
            eyes: PerEye { right, left },
            wearer: "measured_by = \"pupillometer\"".to_owned(),
            prescription: "refraction_vertex_mm = 12.0",
            frame: "mounting = \"full-rim\"",
            lens: "material = \"adc-1.498\"\nedge = \"bevel\"".to_owned(),
            curve_index: 1.530,
            index: 1.498,
            height: 21.0,
            shape: Shape::exact(superellipse()),
            rules: String::new(),
            rows: String::new(),
            uncut: PerEye::default(),
        }
    }

    /// A row of the shelf for an eye's power, with another centre or front.
    pub(crate) fn row(&self, sku: &str, eye: Eye, centre: f64, front: f64) -> String {
        let (label, index, on) = (self.eyes[eye].label, self.index, self.curve_index);
        format!("{sku},adc-1.498,spheric,{label},80,79,{centre:.9},{front:.9},{on},{index},,5\n")
    }

    pub(crate) fn plan(&self) -> Plan {
        let rules = exchange::read_rules(self.rules.as_bytes()).unwrap_or_else(|f| panic!("rules: {f:?}"));
        let (r, l, height) = (&self.eyes.right, &self.eyes.left, self.height);
        let order = format!(
            "number = \"1\"\ntaken = 2026-03-02\neyes = \"both\"\n[wearer]\n\
             monocular_pd_mm = {{ right = {:.6}, left = {:.6} }}\npupil_height_mm = {{ right = {height:.6}, left = {height:.6} }}\n{}\n\
             [prescription]\n{}\nright = {{ {} }}\nleft = {{ {} }}\n[frame]\noutline = \"x.txt\"\n\
             distance_between_lenses_mm = 18.0\n{}\n[lens]\ntype = \"single-vision\"\nblank = {{ right = \"r\", left = \"l\" }}\n{}\n",
            r.pd, l.pd, self.wearer, self.prescription, r.power, l.power, self.frame, self.lens
        );
        let mut shelf = format!("{HEADER}\n");
        for (eye, sku) in [(Eye::Right, "r"), (Eye::Left, "l")] {
            let _ = write!(shelf, "{}", self.row(sku, eye, self.eyes[eye].centre, self.eyes[eye].front));
        }
        shelf.push_str(&self.rows);
        let order = exchange::read_order(order.as_bytes(), &rules).unwrap_or_else(|f| panic!("order: {f:?}\n{order}"));
        let shelf = exchange::read_shelf(shelf.as_bytes(), &rules).unwrap_or_else(|f| panic!("shelf: {f:?}"));
        let shelf = Shelf::new(shelf);
        let right = self.shape.clone();
        let eyes = PerEye { left: Arc::new(right.mirrored()), right: Arc::new(right) };
        let frame = FrameShapes { eyes, between_lenses: None, doubts: Vec::new(), difference: None };
        let bench = Bench { shelf: Some(&shelf), left: None, rules: &rules, uncut: self.uncut };
        plan(&order, &frame, &bench, Working::off())
    }
}

/// A sphere's eye: power as written, front on 1.530, centre.
pub(crate) fn sphere(power: &'static str, label: &'static str, front: f64, centre: f64) -> Given {
    Given { power, label, front, centre, pd: 31.5 }
}

pub(crate) fn superellipse() -> Outline {
    Outline::superellipse(Mm::new(25.0), Mm::new(19.0), 2.5).unwrap_or_else(|e| panic!("{e}"))
}

pub(crate) fn eye_of(plan: &Plan, eye: Eye) -> &EyePlan {
    plan.eyes[eye].as_ref().unwrap_or_else(|| panic!("the {eye} eye is made"))
}

pub(crate) fn lens_of(plan: &Plan, eye: Eye) -> &LensPlan {
    let findings = || plan.findings.iter().map(|f| &f.sentence).collect::<Vec<_>>();
    eye_of(plan, eye).lens.as_ref().unwrap_or_else(|| panic!("no {eye} lens: {:?}", findings()))
}

/// The spread of a figure of one eye by a cause.
pub(crate) fn spread<'a>(plan: &'a Plan, eye: Eye, figure: &str, cause: &str) -> Option<&'a Spread> {
    lens_of(plan, eye).spread.iter().find(|s| s.figure == figure && s.cause == cause)
}
