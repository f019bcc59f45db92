//! Plans to draw: invented orders on exact shapes, from the quiet to the crowded.

#![allow(dead_code, unreachable_pub, clippy::unwrap_used, reason = "each test and the example take what they need")]

use std::sync::Arc;

use job::rules::Rules;
use job::{Order, PerEye};
use outline::Outline;
use planner::plan::Shape;
use planner::{Bench, FrameShapes, Plan, Shelf};
use units::{Mm, Working};

/// What is planned: a name, the lines of an order that differ, a shape, a shelf.
pub struct Job {
    pub name: &'static str,
    right: &'static str,
    left: &'static str,
    more: &'static str,
    pd: &'static str,
    height: &'static str,
    eyes: &'static str,
    shape: fn() -> Outline,
    between: Option<f64>,
    rows: &'static str,
    rules: &'static str,
    face_form: &'static str,
    mounting: &'static str,
    edge: &'static str,
}

/// What every order and every blank is made of.
const MATERIAL: &str = "polycarbonate-1.586";

/// What else it might be made of.
pub const MATERIALS: [&str; 12] = [
    MATERIAL,
    "adc-1.498",
    "crown-1.523",
    "urethane-urea-1.53",
    "mid-1.56",
    "thiourethane-1.60",
    "thiourethane-1.67",
    "episulfide-1.70",
    "episulfide-1.74",
    "glass-1.60",
    "glass-1.70",
    "glass-1.80",
];

/// Readings of two uncut lenses that are thicker and flatter than their labels say.
pub const READINGS: &str =
    "[right]\ncentre_mm = 1.9\nfront_curve_d = 3.00\n[left]\ncentre_mm = 1.7\ndiameter_mm = 68.4\n";

const HEADER: &str = "sku,material,series,lot,type,form,sphere_d,cylinder_d,axis_deg,add_d,base_in_cm_per_m,base_up_cm_per_m,\
eye,nominal_mm,usable_mm,middle_in_mm,middle_up_mm,centre_mm,check_mm,check_radius_mm,check_deg,front_curve_d,\
front_curve_index,index,index_line,treatments,polarised_deg,for_order,received,quantity,unit_cost_minor,currency,place,\
state,torus\n";

fn superellipse(width: f64, height: f64, exponent: f64) -> Outline {
    Outline::superellipse(Mm::new(0.5 * width), Mm::new(0.5 * height), exponent).unwrap()
}

/// A row of the shelf in polycarbonate.
macro_rules! row {
    ($sku:literal, $sphere:literal, $cylinder:literal, $nominal:literal, $centre:literal, $front:literal) => {
        concat!(
            $sku,
            ",polycarbonate-1.586,plain,K1,single-vision,spheric,",
            $sphere,
            ",",
            $cylinder,
            ",,,,,,",
            $nominal,
            ",,,,",
            $centre,
            ",,,,",
            $front,
            ",1.530,,,,,,,9,,,B4,finished,back\n"
        )
    };
}

/// The jobs, plain ones first.
pub fn jobs() -> Vec<Job> {
    let plain = || Job {
        name: "plain",
        right: "sphere_d = \"-4.25\", cylinder_d = \"-1.00\", axis_deg = 170, prism = [{ cm_per_m = \"1.00\", base = \"in\" }]",
        left: "sphere_d = \"-3.75\", cylinder_d = \"none\"",
        more: "",
        pd: "monocular_pd_mm = { right = 31.5, left = 32.0 }",
        height: "pupil_height_mm = { right = 21.0, left = 21.0 }",
        eyes: "both",
        shape: || superellipse(50.0, 38.0, 2.7),
        between: Some(18.0),
        rows: concat!(
            row!("K70-1", "-4.25", "-1.00", "70", "1.5", "3.50"),
            row!("K70-2", "-3.75", "", "70", "1.5", "3.50")
        ),
        rules: "",
        face_form: "",
        mounting: "full-rim",
        edge: "edge = \"bevel\"\nbevel = \"v\"",
    };
    vec![
        plain(),
        Job {
            name: "high-minus",
            right: "sphere_d = \"-9.50\", cylinder_d = \"-2.25\", axis_deg = 35",
            left: "sphere_d = \"-10.25\", cylinder_d = \"-1.75\", axis_deg = 145",
            pd: "monocular_pd_mm = { right = 29.0, left = 29.5 }",
            shape: || superellipse(52.0, 40.0, 3.2),
            rows: concat!(
                row!("H75-1", "-9.50", "-2.25", "75", "1.4", "1.50"),
                row!("H75-2", "-10.25", "-1.75", "75", "1.4", "1.50")
            ),
            ..plain()
        },
        Job {
            name: "high-plus",
            right: "sphere_d = \"+6.00\", cylinder_d = \"+1.50\", axis_deg = 90",
            left: "sphere_d = \"+5.50\", cylinder_d = \"+2.00\", axis_deg = 80",
            shape: || superellipse(46.0, 36.0, 2.3),
            rows: concat!(
                row!("P65-1", "+6.00", "+1.50", "65", "7.4", "8.50"),
                row!("P65-2", "+5.50", "+2.00", "65", "7.2", "8.50")
            ),
            ..plain()
        },
        Job {
            name: "narrow",
            right: "sphere_d = \"-2.00\", cylinder_d = \"-3.50\", axis_deg = 5, prism = [{ cm_per_m = \"0.75\", base = \"up\" }, { cm_per_m = \"1.00\", base = \"out\" }]",
            left: "sphere_d = \"-2.50\", cylinder_d = \"-3.00\", axis_deg = 175, prism = [{ cm_per_m = \"0.75\", base = \"down\" }, { cm_per_m = \"1.00\", base = \"out\" }]",
            height: "pupil_height_mm = { right = 13.0, left = 12.5 }",
            shape: || superellipse(56.0, 24.0, 3.0),
            between: Some(15.0),
            rows: concat!(
                row!("N75-1", "-2.00", "-3.50", "80", "1.8", "4.00"),
                row!("N75-2", "-2.50", "-3.00", "80", "1.8", "4.00")
            ),
            ..plain()
        },
        Job {
            name: "deep",
            right: "sphere_d = \"-1.00\", cylinder_d = \"none\"",
            left: "sphere_d = \"-1.25\", cylinder_d = \"-0.50\", axis_deg = 90",
            height: "pupil_height_mm = { right = 28.0, left = 28.0 }",
            shape: || superellipse(44.0, 46.0, 2.4),
            between: Some(22.0),
            rows: concat!(
                row!("D70-1", "-1.00", "", "70", "2.0", "5.00"),
                row!("D70-2", "-1.25", "-0.50", "70", "2.0", "5.00")
            ),
            ..plain()
        },
        Job {
            name: "large",
            right: "sphere_d = \"-3.00\", cylinder_d = \"-0.75\", axis_deg = 60",
            left: "sphere_d = \"-3.00\", cylinder_d = \"-0.75\", axis_deg = 120",
            pd: "monocular_pd_mm = { right = 34.5, left = 34.0 }",
            height: "pupil_height_mm = { right = 27.0, left = 27.0 }",
            shape: || superellipse(61.0, 50.0, 2.8),
            between: Some(22.0),
            rows: row!("L85-1", "-3.00", "-0.75", "85", "1.6", "3.50"),
            ..plain()
        },
        Job {
            name: "short",
            right: "sphere_d = \"-3.00\", cylinder_d = \"none\"",
            left: "sphere_d = \"-3.00\", cylinder_d = \"none\"",
            more: "blank = { right = \"S65-1\", left = \"S65-1\" }",
            pd: "monocular_pd_mm = { right = 33.0, left = 33.0 }",
            height: "pupil_height_mm = { right = 21.0, left = 21.0 }",
            shape: || Outline::rounded_rectangle(Mm::new(54.0), Mm::new(34.0), Mm::new(10.0)).unwrap(),
            rows: row!("S65-1", "-3.00", "", "65", "1.6", "3.50"),
            ..plain()
        },
        Job {
            name: "child",
            right: "sphere_d = \"+3.00\", cylinder_d = \"-2.50\", axis_deg = 180",
            left: "sphere_d = \"+4.25\", cylinder_d = \"-3.25\", axis_deg = 5",
            pd: "monocular_pd_mm = { right = 25.0, left = 25.5 }",
            height: "pupil_height_mm = { right = 17.0, left = 17.0 }",
            shape: || superellipse(38.0, 29.0, 2.2),
            between: Some(14.0),
            rows: concat!(
                row!("C60-1", "+3.00", "-2.50", "60", "4.0", "6.50"),
                row!("C60-2", "+4.25", "-3.25", "60", "4.8", "6.50")
            ),
            ..plain()
        },
        Job {
            name: "wide",
            right: "sphere_d = \"-1.50\", cylinder_d = \"-4.00\", axis_deg = 45",
            left: "sphere_d = \"-1.25\", cylinder_d = \"-4.25\", axis_deg = 135",
            pd: "monocular_pd_mm = { right = 36.0, left = 36.5 }",
            height: "pupil_height_mm = { right = 30.0, left = 30.5 }",
            shape: || superellipse(68.0, 56.0, 3.5),
            between: Some(20.0),
            rows: concat!(
                row!("W90-1", "-1.50", "-4.00", "95", "2.2", "4.00"),
                row!("W90-2", "-1.25", "-4.25", "95", "2.2", "4.00")
            ),
            ..plain()
        },
        Job {
            name: "decentred",
            right: "sphere_d = \"-5.00\", cylinder_d = \"none\"",
            left: "sphere_d = \"-5.00\", cylinder_d = \"none\"",
            pd: "monocular_pd_mm = { right = 30.0, left = 30.0 }",
            more: "blank = { right = \"a long <name> & more of it 4711-0815-2342\", left = \"a long <name> & more of it 4711-0815-2342\" }",
            rows: "a long <name> & more of it 4711-0815-2342,polycarbonate-1.586,plain,K1,single-vision,spheric,-5.00,,,,,,,\
                   70,,-2.5,1.0,1.5,,,,2.50,1.530,,,,,,,9,,,B4,finished,back\n",
            ..plain()
        },
        Job {
            name: "wrapped",
            face_form: "face_form_deg = 9.0\npantoscopic_deg = 8.0\noutline_allowance_mm = 0.30\nframe_curve_d = 8.0\n",
            right: "sphere_d = \"plano\", cylinder_d = \"-0.50\", axis_deg = 12.5",
            left: "sphere_d = \"+0.25\", cylinder_d = \"-0.75\", axis_deg = 170",
            shape: || Outline::rounded_rectangle(Mm::new(58.0), Mm::new(36.0), Mm::new(3.0)).unwrap(),
            rows: concat!(
                row!("F85-1", "+0.00", "-0.50", "85", "2.0", "8.00"),
                row!("F85-2", "+0.25", "-0.75", "85", "2.0", "8.00")
            ),
            ..plain()
        },
        Job { name: "ellipse", shape: || Outline::ellipse(Mm::new(25.0), Mm::new(19.0)).unwrap(), ..plain() },
        Job { name: "seated", face_form: "frame_curve_d = 5.0\n", ..plain() },
        Job {
            name: "in-its-rim",
            face_form: "frame_curve_d = 5.0\nface_form_deg = 5.0\nrim_groove = { depth_mm = 0.9, width_mm = 1.6 }\n",
            ..plain()
        },
        Job {
            name: "gaping",
            right: "sphere_d = \"-9.50\", cylinder_d = \"-2.25\", axis_deg = 35",
            left: "sphere_d = \"-10.25\", cylinder_d = \"-1.75\", axis_deg = 145",
            face_form: "frame_curve_d = 6.0\nface_form_deg = 12.0\nrim_groove = { depth_mm = 0.7, width_mm = 2.4 }\n",
            shape: || superellipse(52.0, 40.0, 3.2),
            rows: concat!(
                row!("H75-1", "-9.50", "-2.25", "75", "1.4", "1.50"),
                row!("H75-2", "-10.25", "-1.75", "75", "1.4", "1.50")
            ),
            ..plain()
        },
        Job {
            name: "thin-plus",
            right: "sphere_d = \"+2.00\", cylinder_d = \"none\"",
            left: "sphere_d = \"+2.25\", cylinder_d = \"-0.50\", axis_deg = 90",
            face_form: "frame_curve_d = 5.0\nrim_groove = { depth_mm = 0.6, width_mm = 2.4 }\n",
            rows: concat!(
                row!("T65-1", "+2.00", "", "65", "2.6", "5.00"),
                row!("T65-2", "+2.25", "-0.50", "65", "2.6", "5.00")
            ),
            ..plain()
        },
        Job {
            name: "stepped",
            edge: "edge = \"bevel\"\nbevel = \"stepped\"",
            face_form: "frame_curve_d = 4.0\nrim_groove = { depth_mm = 0.8, width_mm = 1.8 }\n",
            ..plain()
        },
        Job {
            name: "small",
            edge: "edge = \"bevel\"\nbevel = \"small\"",
            face_form: "frame_curve_d = 4.0\n",
            rules: "[bevel]\nsmall_height_mm = 0.4\n",
            ..plain()
        },
        Job {
            name: "on-its-rim",
            mounting: "grooved-rim",
            edge: "edge = \"groove\"",
            face_form: "frame_curve_d = 4.0\n",
            ..plain()
        },
        Job {
            name: "wide-seated",
            right: "sphere_d = \"-1.50\", cylinder_d = \"-4.00\", axis_deg = 45",
            left: "sphere_d = \"-1.25\", cylinder_d = \"-4.25\", axis_deg = 135",
            pd: "monocular_pd_mm = { right = 36.0, left = 36.5 }",
            height: "pupil_height_mm = { right = 30.0, left = 30.5 }",
            face_form: "frame_curve_d = 7.0\nface_form_deg = 15.0\n",
            shape: || superellipse(68.0, 56.0, 3.5),
            between: Some(20.0),
            rows: concat!(
                row!("W90-1", "-1.50", "-4.00", "95", "2.2", "4.00"),
                row!("W90-2", "-1.25", "-4.25", "95", "2.2", "4.00")
            ),
            ..plain()
        },
        Job { name: "corded", mounting: "nylon-cord", edge: "edge = \"groove\"", ..plain() },
        Job {
            name: "drilled",
            mounting: "drilled",
            edge: "edge = \"flat\"",
            face_form: concat!(
                "holes = [{ eye = \"right\", in_mm = -20.0, up_mm = 4.0, diameter_mm = 1.4 }, ",
                "{ eye = \"left\", in_mm = 19.5, up_mm = 3.0, diameter_mm = 1.4 }]\n"
            ),
            ..plain()
        },
        Job {
            name: "even",
            right: "sphere_d = \"plano\", cylinder_d = \"none\"",
            left: "sphere_d = \"+0.25\", cylinder_d = \"none\"",
            rows: concat!(
                row!("E70-1", "+0.00", "", "70", "2.2", "4.00"),
                row!("E70-2", "+0.25", "", "70", "2.3", "4.00")
            ),
            ..plain()
        },
        Job { name: "right-only", eyes: "right", ..plain() },
        Job {
            name: "left-only",
            eyes: "left",
            left: "sphere_d = \"+1.50\", cylinder_d = \"-0.75\", axis_deg = 90, prism = [{ cm_per_m = \"0.50\", base = \"down\" }]",
            rows: row!("X70", "+1.50", "-0.75", "70", "3.6", "5.00"),
            ..plain()
        },
        Job { name: "no-blank", rows: row!("Z70", "-8.00", "", "70", "1.6", "3.50"), ..plain() },
        Job { name: "no-bridge", between: None, ..plain() },
        Job { name: "back-up", rules: "[block]\nlies = \"back-up\"\n", ..plain() },
    ]
}

impl Job {
    fn text(&self) -> String {
        let eyes: Vec<String> = [("right", self.right), ("left", self.left)]
            .iter()
            .filter(|(eye, _)| self.eyes == "both" || self.eyes == *eye)
            .map(|(eye, rx)| format!("{eye} = {{ {rx} }}"))
            .collect();
        format!(
            "number = \"0142\"\ntaken = 2026-03-02\neyes = \"{}\"\n[wearer]\nborn = 1988\n{}\n{}\nmeasured_by = \"pupillometer\"\n\
             [prescription]\nwritten = 2026-02-11\n{}\n[frame]\noutline = \"none.txt\"\noutline_of = \"rim-groove\"\n\
             outline_from = \"this-frame\"\nmounting = \"{}\"\nmaterial = \"acetate\"\nowner = \"shop\"\n{}\
             [lens]\nuse = \"distance\"\ntype = \"single-vision\"\nmaterial = \"polycarbonate-1.586\"\ntreatments = []\n\
             {}\n{}\n",
            self.eyes,
            self.pd,
            self.height,
            eyes.join("\n"),
            self.mounting,
            self.face_form,
            self.edge,
            self.more
        )
    }

    /// The rules that it is planned by.
    pub fn rules(&self) -> Rules {
        exchange::read_rules(self.rules.as_bytes()).unwrap_or_else(|f| panic!("{}: {f:?}", self.name))
    }

    /// The shapes of its frame, the left one mirrored.
    pub fn frame(&self) -> FrameShapes {
        let right = Shape::exact((self.shape)());
        let left = right.mirrored();
        let eyes = PerEye { right: Arc::new(right), left: Arc::new(left) };
        FrameShapes { eyes, between_lenses: self.between.map(Mm::new), doubts: Vec::new(), difference: None }
    }

    /// The order.
    pub fn order(&self) -> Order {
        exchange::read_order(self.text().as_bytes(), &self.rules()).unwrap_or_else(|f| panic!("{}: {f:?}", self.name))
    }

    /// Face form of the order, degrees.
    pub fn face_form_deg(&self) -> Option<f64> {
        self.order().frame.face_form_deg
    }

    /// Every view of it, in these sections.
    pub fn drawn(&self, sections_at: &[u32]) -> Vec<(String, drawing::Scene)> {
        drawing::all(&self.plan(), &self.order(), &self.rules(), sections_at)
    }

    /// Its plan.
    pub fn plan(&self) -> Plan {
        self.plan_in(MATERIAL)
    }

    /// Its plan with order and blanks in another material, their front curves and centre thicknesses the same.
    pub fn plan_in(&self, material: &str) -> Plan {
        self.ready(material, |order, bench, shapes| planner::plan(order, shapes, bench, Working::off()))
    }

    /// Its plan by the labels and by these readings.
    pub fn measured(&self, readings: &str) -> planner::Measured {
        let uncut = exchange::read_uncut(readings.as_bytes()).unwrap_or_else(|f| panic!("{}: {f:?}", self.name));
        self.ready(MATERIAL, |order, bench, shapes| {
            planner::measured(order, shapes, bench, uncut, None, Working::off())
        })
    }

    fn ready<T>(&self, material: &str, then: impl FnOnce(&job::Order, &Bench<'_>, &FrameShapes) -> T) -> T {
        let rules = self.rules();
        let text = self.text().replace(MATERIAL, material);
        let order = exchange::read_order(text.as_bytes(), &rules).unwrap_or_else(|f| panic!("{}: {f:?}", self.name));
        let rows = format!("{HEADER}{}", self.rows).replace(MATERIAL, material);
        let rows = exchange::read_shelf(rows.as_bytes(), &rules).unwrap_or_else(|f| panic!("{}: {f:?}", self.name));
        let shelf = Shelf::new(rows);
        let bench = Bench { shelf: Some(&shelf), left: None, rules: &rules, uncut: job::PerEye::default() };
        then(&order, &bench, &self.frame())
    }
}

/// The edges of a job side by side in so many materials, the first the one that is ordered: one scene for each eye.
pub fn beside(job: &Job, many: usize) -> Vec<drawing::Scene> {
    let plans: Vec<(&str, Plan)> = MATERIALS[..many].iter().map(|&name| (name, job.plan_in(name))).collect();
    job::Eye::BOTH
        .into_iter()
        .filter_map(|eye| {
            let rows: Vec<drawing::EdgeRow<'_>> = plans
                .iter()
                .filter_map(|(name, plan)| {
                    let lens = plan.eyes[eye].as_ref()?.lens.as_ref()?;
                    let figures = format!("centre {:.2} mm, {:.1} g", lens.thickness.vertex.mm(), lens.mass_g);
                    let details = vec![lens.blank.sku.clone(), figures];
                    Some(drawing::EdgeRow {
                        title: (*name).to_owned(),
                        details,
                        lens,
                        otherwise: None,
                        chosen: *name == MATERIAL,
                    })
                })
                .collect();
            drawing::strips("0142", eye, &rows)
        })
        .collect()
}
