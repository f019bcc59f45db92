//! Orders: one TOML file a job.

use job::frame::{Clearance, Frame, FrameMaterial, FrameOwner, Hole, Mounting, OutlineFrom, OutlineOf, RimGroove};
use job::order::{BevelKind, EdgeKind, LensOrder, LensType, LensUse, Mate};
use job::rules::Rules;
use job::{
    Answer, Base, Cylinder, Eye, EyePrescription, Eyes, FarPd, FrontCurve, MaterialId, MeasuredBy, Order, OrderNumber,
    OrderedPrism, PerEye, Prescription, Treatments, Wearer,
};

use units::{Power, WrittenPower};

use crate::fault::{Fault, shown};
use crate::limits::{self, Limits};
use crate::nearest::{nearest, suggestion};
use crate::toml_walk::{self, Table, Value};

/// Angles of a frame, per side or tilt.
const FACE_ANGLE: Limits = Limits::from_to(-30.0, 45.0, "degrees");
/// Distance between lenses.
const BETWEEN: Limits = Limits::between(0.0, 60.0, "mm");
/// A task.
const TASK: Limits = Limits::from_to(100.0, 6000.0, "mm");
/// Year of birth.
const YEAR: Limits = Limits::from_to(1890.0, 2200.0, "");
/// An allowance of radius.
const ALLOWANCE: Limits = Limits::from_to(-3.0, 3.0, "mm");
/// The curve of a frame, on 1.530.
const FRAME_CURVE: Limits = Limits::from_to(0.0, 20.0, "D");
/// A rim's groove, or a hole.
const GROOVE: Limits = Limits::between(0.0, 10.0, "mm");

/// Reads an order.
///
/// # Errors
/// Every fault of the file: what cannot be read or typed. What is readable but unwise is a finding of the plan.
pub fn read_order(bytes: &[u8], rules: &Rules) -> Result<Order, Vec<Fault>> {
    if bytes.trim_ascii().is_empty() {
        return Err(vec![Fault {
            line: 1,
            column: 1,
            ..Fault::at(0..0, "the file is empty; expected an order", "write it after the README's example")
        }]);
    }
    toml_walk::read(bytes, |file| order(file, rules))
}

fn order(file: &Table<'_, '_>, rules: &Rules) -> Option<Order> {
    let number = file.value("number").and_then(|v| {
        let text = v.text("an order number in quotes")?;
        let number = OrderNumber::new(text);
        number.or_else(|| v.wrong("1 to 12 digits in quotes", "numbers are typed at machines: digits only"))
    });
    let number = file.need("number", number, "write number = \"0142\"");
    let taken = file.need("taken", file.date("taken"), "write the day it was taken: taken = 2026-03-02");
    let eyes = file.word("eyes", &[("both", Eyes::Both), ("right", Eyes::Right), ("left", Eyes::Left)]);
    let eyes = file.need("eyes", eyes, "write eyes = \"both\", \"right\" or \"left\"");
    // Where the eyes are not known, none can be called missing.
    let made = eyes.map_or(&[][..], Eyes::made);
    for (table, hint) in [
        ("wearer", "write a [wearer] table with a pupillary distance"),
        ("prescription", "write a [prescription] table with the powers"),
        ("frame", "write a [frame] table with outline and mounting"),
        ("lens", "write a [lens] table with type, material and edge"),
    ] {
        file.need(table, file.has(table).then_some(()), hint);
    }
    let wearer = file.section("wearer").map(|t| wearer(&t, made));
    let prescription = file.section("prescription").map(|t| prescription(&t, made));
    let frame = file.section("frame").and_then(|t| frame(&t));
    let lens = file.section("lens").and_then(|t| lens(&t, rules));
    let answers = file.table("answers").map_or_else(Vec::new, |t| answers(&t));
    Some(Order {
        number: number?,
        taken: taken?,
        eyes: eyes?,
        wearer: wearer?,
        prescription: prescription?,
        frame: frame?,
        lens: lens?,
        answers,
    })
}

fn wearer(table: &Table<'_, '_>, made: &[Eye]) -> Wearer {
    let born = table.value("born").and_then(|v| v.whole(YEAR)).and_then(|year| i16::try_from(year).ok());
    let far_pd = far_pd(table);
    let near_pd = table.mm_per_eye("near_pd_mm", limits::PD);
    pd_of_each_eye(table, made);
    let heights = |key: &'static str| table.mm_per_eye(key, limits::HEIGHT);
    let pupil_height = heights("pupil_height_mm");
    let optical_centre_height = heights("optical_centre_height_mm");
    for eye in Eye::BOTH {
        if pupil_height[eye].is_some() && optical_centre_height[eye].is_some() {
            table.fault(
                format!("the {eye} eye has both pupil_height_mm and optical_centre_height_mm"),
                "keep the one that was meant: the optical centre's height is used as it stands",
            );
        }
    }
    let wearer = Wearer {
        born,
        far_pd,
        near_pd,
        pupil_height,
        optical_centre_height,
        segment_height: heights("segment_height_mm"),
        fitting_height: heights("fitting_height_mm"),
        measured_by: table.word("measured_by", MeasuredBy::WORDS),
        worn_vertex: table.mm("worn_vertex_mm", limits::VERTEX),
    };
    table.end();
    wearer
}

/// The far pupillary distance in the one of its three forms that was written.
fn far_pd(table: &Table<'_, '_>) -> Option<FarPd> {
    let given: Vec<&str> = FAR_PD.into_iter().filter(|key| table.has(key)).collect();
    if given.len() > 1 {
        table.fault(
            format!("the far pupillary distance is given {} times: {}", given.len(), given.join(", ")),
            "keep one of them",
        );
    }
    let monocular = table.mm_per_eye("monocular_pd_mm", limits::PD);
    let binocular = table.mm("binocular_pd_mm", limits::PD);
    let at_boxed_centres = table.word("pd", &[("boxed-centres", ())]);
    if monocular.right.is_some() || monocular.left.is_some() {
        return Some(FarPd::Monocular(monocular));
    }
    binocular.map(FarPd::Binocular).or(at_boxed_centres.map(|()| FarPd::BoxedCentres))
}

const FAR_PD: [&str; 3] = ["monocular_pd_mm", "binocular_pd_mm", "pd"];

/// Each eye that is made needs a pupillary distance of its own or of the pair, far or near.
fn pd_of_each_eye(table: &Table<'_, '_>, made: &[Eye]) {
    const HINT: &str = "write monocular_pd_mm = { right = 31.5, left = 32.0 }, or binocular_pd_mm = 63.5";
    if !FAR_PD.into_iter().chain(["near_pd_mm"]).any(|key| table.has(key)) {
        table.missing("a pupillary distance is missing", HINT);
        return;
    }
    if table.has("binocular_pd_mm") || table.has("pd") {
        return;
    }
    let written =
        |key: &'static str, eye: Eye| table.peek(key).is_some_and(|value| !value.is_table() || value.has(eye.word()));
    for &eye in made {
        if !written("monocular_pd_mm", eye) && !written("near_pd_mm", eye) {
            table.missing(format!("the {eye} eye is made, but its pupillary distance is missing"), HINT);
        }
    }
}

fn prescription(table: &Table<'_, '_>, made: &[Eye]) -> Prescription {
    let eyes = PerEye::from_fn(|eye: Eye| {
        let read = table.value(eye.word()).and_then(|v| eye_prescription(&v));
        if made.contains(&eye) {
            table.need(eye.word(), read, "write the power of each eye that is made")
        } else {
            read
        }
    });
    let prescription = Prescription {
        written: table.date("written"),
        refraction_vertex: table.mm("refraction_vertex_mm", limits::VERTEX),
        eyes,
        compensated: table.per_eye("compensated", eye_prescription),
    };
    table.end();
    prescription
}

fn eye_prescription(value: &Value<'_, '_>) -> Option<EyePrescription> {
    let table = value.table()?;
    let sphere = table.need("sphere_d", table.power("sphere_d"), "write sphere_d = \"-4.25\" or \"plano\"");
    let cylinder = cylinder(table.value("cylinder_d").as_ref(), table.value("axis_deg").as_ref());
    let prism: Vec<Option<OrderedPrism>> = table.list("prism").iter().map(prism).collect();
    let add = table.value("add_d").and_then(|v| {
        let power = v.power()?;
        if power.power < Power::ZERO { v.wrong("a plus power", "an addition is always plus") } else { Some(power) }
    });
    table.end();
    Some(EyePrescription {
        sphere: sphere?,
        cylinder: cylinder?,
        prism: prism.into_iter().collect::<Option<_>>()?,
        add,
    })
}

/// The cylinder with its axis: both or neither. An empty box is not the same as `none`, and a cylinder of zero needs no
/// axis.
fn cylinder(cylinder: Option<&Value<'_, '_>>, axis: Option<&Value<'_, '_>>) -> Option<Cylinder> {
    let Some(cylinder) = cylinder else {
        let Some(axis) = axis else { return Some(Cylinder::NotGiven) };
        axis.axis();
        return axis.fault(
            format!("`{}` is given without a cylinder", axis.path()),
            "write the cylinder, or cylinder_d = \"none\" and no axis",
        );
    };
    let none = cylinder.as_text().is_some_and(|t| t.trim().eq_ignore_ascii_case("none"));
    match axis {
        None if none => Some(Cylinder::None),
        Some(axis) if none => axis.fault(
            format!("`{}` is given although there is no cylinder", axis.path()),
            "take out the axis, or write the cylinder",
        ),
        None => {
            let power = cylinder_power(cylinder)?;
            if power.power == Power::ZERO {
                return Some(Cylinder::None);
            }
            cylinder.fault(
                format!("`{}` is given without an axis", cylinder.path()),
                "write axis_deg beside it, from 1 to 180",
            )
        }
        Some(axis) => {
            let (power, axis) = (cylinder_power(cylinder), axis.axis());
            Some(Cylinder::Given { power: power?, axis: axis? })
        }
    }
}

fn cylinder_power(value: &Value<'_, '_>) -> Option<WrittenPower> {
    match value.as_text().map(|t| t.trim().to_ascii_lowercase()) {
        Some(no) if ["ds", "sph", "sphere", "-", "--"].contains(&no.as_str()) => {
            value.wrong("a power such as \"-1.00\", or \"none\"", "where no cylinder was ordered write \"none\"")
        }
        _ => value.power(),
    }
}

fn prism(value: &Value<'_, '_>) -> Option<OrderedPrism> {
    const BASE: &str = "a prism needs its base: write base = \"in\", \"out\", \"up\", \"down\", or degrees";
    let table = value.table()?;
    let amount = table.value("cm_per_m").and_then(|v| v.prism_amount());
    let amount = table.need("cm_per_m", amount, "write cm_per_m = \"1.00\"");
    let base = table.value("base").and_then(|v| match v.as_text() {
        Some(text) if text.trim().parse::<f64>().is_ok() => {
            v.wrong("a word, or degrees", "write degrees without quotes")
        }
        Some(_) => v.word(&[("in", Base::In), ("out", Base::Out), ("up", Base::Up), ("down", Base::Down)]),
        None => v.number(limits::DIRECTION).map(|deg| Base::Degrees(deg % 360.0)),
    });
    let base = table.need("base", base, BASE);
    table.end();
    Some(OrderedPrism { amount: amount?, base: base? })
}

fn frame(table: &Table<'_, '_>) -> Option<Frame> {
    let outline = table.need("outline", table.text("outline"), "name the record file: outline = \"kestrel-50.txt\"");
    let mounting = table.need("mounting", table.word("mounting", Mounting::WORDS), "write mounting = \"full-rim\"");
    let holes: Vec<Option<Hole>> = table.list("holes").iter().map(hole).collect();
    let clearance: Vec<Option<Clearance>> = table.list("clearance").iter().map(clearance).collect();
    let outline_of = table.word("outline_of", OutlineOf::WORDS);
    let outline_from = table.word("outline_from", OutlineFrom::WORDS);
    let outline_allowance = table.mm("outline_allowance_mm", ALLOWANCE);
    let material = table.word("material", FrameMaterial::WORDS);
    let owner = table.word("owner", FrameOwner::WORDS);
    let distance_between_lenses = table.mm("distance_between_lenses_mm", BETWEEN);
    let frame_curve_d = table.number("frame_curve_d", FRAME_CURVE);
    let rim_groove = table.table("rim_groove").and_then(|t| rim_groove(&t));
    let face_form_deg = table.number("face_form_deg", FACE_ANGLE);
    let pantoscopic_deg = table.number("pantoscopic_deg", FACE_ANGLE);
    table.end();
    Some(Frame {
        outline: outline?.to_owned(),
        outline_of,
        outline_from,
        outline_allowance,
        mounting: mounting?,
        material,
        owner,
        distance_between_lenses,
        frame_curve_d,
        rim_groove,
        face_form_deg,
        pantoscopic_deg,
        holes: holes.into_iter().collect::<Option<_>>()?,
        clearance: clearance.into_iter().collect::<Option<_>>()?,
    })
}

fn rim_groove(table: &Table<'_, '_>) -> Option<RimGroove> {
    let depth = table.need("depth_mm", table.mm("depth_mm", GROOVE), "write its depth_mm");
    let width = table.need("width_mm", table.mm("width_mm", GROOVE), "write its width_mm");
    table.end();
    Some(RimGroove { depth: depth?, width: width? })
}

fn hole(value: &Value<'_, '_>) -> Option<Hole> {
    let table = value.table()?;
    let eye = table.need("eye", table.word("eye", EYES), "write eye = \"right\" or \"left\"");
    let inwards = table.need("in_mm", table.mm("in_mm", limits::SHIFT), "write how far in from the boxed centre");
    let up = table.need("up_mm", table.mm("up_mm", limits::SHIFT), "write how far up from the boxed centre");
    let diameter = table.need("diameter_mm", table.mm("diameter_mm", GROOVE), "write the hole's diameter");
    table.end();
    Some(Hole { eye: eye?, inwards: inwards?, up: up?, diameter: diameter? })
}

fn clearance(value: &Value<'_, '_>) -> Option<Clearance> {
    let table = value.table()?;
    let deg = table.need("deg", table.number("deg", limits::DIRECTION), "write its direction in degrees");
    let back = table.need("back_mm", table.mm("back_mm", Limits::from_to(0.0, 40.0, "mm")), "write the room it needs");
    let what = table.need("what", table.text("what"), "say what needs the room");
    table.end();
    Some(Clearance { deg: deg? % 360.0, back: back?, what: what?.to_owned() })
}

const EYES: &[(&str, Eye)] = &[("right", Eye::Right), ("left", Eye::Left)];

fn material(value: &Value<'_, '_>, rules: &Rules) -> Option<MaterialId> {
    let text = value.text("a material in double quotes")?;
    match rules.materials.iter().find(|m| m.id.as_str() == text) {
        Some(material) => Some(material.id.clone()),
        None => {
            let known = rules.materials.iter().map(|m| m.id.as_str());
            value.wrong("a material that the rules know", &suggestion(text, known))
        }
    }
}

fn lens(table: &Table<'_, '_>, rules: &Rules) -> Option<LensOrder> {
    let kind = table.need("type", table.word("type", LensType::WORDS), "write type = \"single-vision\"");
    let id = table.value("material").and_then(|v| material(&v, rules));
    let id = table.need("material", id, "write a material of the rules, such as \"polycarbonate-1.586\"");
    let edge = table.word("edge", EdgeKind::WORDS);
    let edge = table.need("edge", edge, "write edge = \"bevel\", \"groove\" or \"flat\"");
    let purpose = table.word("use", LensUse::WORDS).unwrap_or(LensUse::Distance);
    let task_distance = table.mm("task_distance_mm", TASK);
    let treatments = treatments(&table.list("treatments"), rules);
    let bevel = table.word("bevel", BevelKind::WORDS);
    let blank = table.per_eye("blank", |v| v.text("a stock-keeping unit in double quotes").map(str::to_owned));
    let centre = table.mm_per_eye("centre_mm", limits::THICKNESS);
    let least_edge = table.mm_per_eye("least_edge_mm", limits::THICKNESS);
    let front_curve_d = table.per_eye("front_curve_d", |v| v.number(limits::CURVE));
    let mate = table.table("mate").map(|t| mate(&t, rules));
    table.end();
    Some(LensOrder {
        purpose,
        task_distance,
        kind: kind?,
        material: id?,
        treatments,
        edge: edge?,
        bevel,
        blank,
        centre,
        least_edge,
        front_curve_d,
        mate,
    })
}

fn treatments(list: &[Value<'_, '_>], rules: &Rules) -> Treatments {
    list.iter().fold(Treatments::NONE, |set, value| {
        let Some(name) = value.text("a treatment in double quotes") else { return set };
        if let Some(one) = rules.treatments.find(name) {
            return set.with(one);
        }
        let known = rules.treatments.all().iter().map(String::as_str);
        value.wrong::<()>("a treatment that the rules know", &suggestion(name, known));
        set
    })
}

fn mate(table: &Table<'_, '_>, rules: &Rules) -> Mate {
    let curve = table.number("front_curve_d", limits::CURVE);
    let index = table.number("front_curve_index", limits::INDEX);
    for (here, other) in [("front_curve_d", "front_curve_index"), ("front_curve_index", "front_curve_d")] {
        if table.has(here) {
            table.need(
                other,
                table.has(other).then_some(()),
                "a curve and the index on which it is stated go together",
            );
        }
    }
    let mate = Mate {
        material: table.value("material").and_then(|v| material(&v, rules)),
        series: table.text("series").map(str::to_owned),
        front_curve: curve.zip(index).map(|(curve_d, index)| FrontCurve { curve_d, index }),
        centre: table.mm("centre_mm", limits::THICKNESS),
    };
    table.end();
    mate
}

fn answers(table: &Table<'_, '_>) -> Vec<Answer> {
    let mut answers = Vec::new();
    for (code, value) in table.each() {
        if job::kinds::ALL.iter().all(|kind| kind.code != code) {
            let known = job::kinds::ALL.iter().map(|kind| kind.code);
            let hint = nearest(&code, known).map_or_else(
                || "write the code as the finding prints it".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            value.fault::<()>(format!("`{}` is not the code of a finding", shown(&code)), hint);
        }
        let each = if value.is_list() { value.list() } else { vec![value] };
        answers.extend(each.iter().filter_map(|v| answer(&code, v)));
    }
    table.end();
    answers
}

fn answer(code: &str, value: &Value<'_, '_>) -> Option<Answer> {
    let table = value.table()?;
    let text = |key: &'static str, hint: &str| table.need(key, table.text(key), hint).map(str::to_owned);
    let figure = text("figure", "quote the value that the finding prints");
    let reason = text("reason", "say why it may stand");
    let who = text("who", "say who answers");
    let eye = table.word("eye", EYES);
    table.end();
    Some(Answer { code: code.to_owned(), eye, figure: figure?, reason: reason?, who: who? })
}
