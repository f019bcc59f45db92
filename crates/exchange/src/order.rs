//! Orders: one TOML file a job.

use job::frame::{Clearance, Frame, FrameMaterial, FrameOwner, Hole, Mounting, OutlineFrom, OutlineOf, RimGroove};
use job::order::{BevelKind, EdgeKind, LensOrder, LensType, LensUse, Mate};
use job::rules::Rules;
use job::{
    Answer, Base, Cylinder, Eye, EyePrescription, Eyes, FarPd, FrontCurve, MaterialId, MeasuredBy, Order, OrderNumber,
    OrderedPrism, PerEye, Prescription, Treatments, Wearer,
};

use crate::fault::Fault;
use crate::limits::{self, Limits};
use crate::nearest::suggestion;
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

/// Reads an order.
///
/// # Errors
/// Every fault of the file: what cannot be read or typed. What is readable but unwise is a finding of the plan.
pub fn read_order(bytes: &[u8], rules: &Rules) -> Result<Order, Vec<Fault>> {
    toml_walk::read(bytes, |file| order(file, rules))
}

fn order(file: &Table<'_, '_>, rules: &Rules) -> Option<Order> {
    let number = file.value("number").and_then(|v| {
        let text = v.text("an order number in quotes")?;
        OrderNumber::new(text)
            .or_else(|| v.wrong("1 to 12 digits in quotes", "numbers are typed at machines: digits only"))
    });
    let number = file.need("number", number, "write number = \"0142\"");
    let taken = file.need("taken", file.date("taken"), "write the day it was taken: taken = 2026-03-02");
    let eyes = file.word("eyes", &[("both", Eyes::Both), ("right", Eyes::Right), ("left", Eyes::Left)]);
    let eyes = file.need("eyes", eyes, "write eyes = \"both\", \"right\" or \"left\"");
    let made = eyes.unwrap_or(Eyes::Both);
    let wearer_table = file.need("wearer", file.table("wearer"), "write a [wearer] table with a pupillary distance");
    let wearer = wearer_table.as_ref().and_then(wearer);
    let prescription_table = file.need("prescription", file.table("prescription"), "write a [prescription] table");
    let prescription = prescription_table.as_ref().map(|t| prescription(t, made));
    let frame_table = file.need("frame", file.table("frame"), "write a [frame] table");
    let frame = frame_table.as_ref().and_then(frame);
    let lens_table = file.need("lens", file.table("lens"), "write a [lens] table");
    let lens = lens_table.as_ref().and_then(|t| lens(t, rules));
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

fn wearer(table: &Table<'_, '_>) -> Option<Wearer> {
    let born = table.value("born").and_then(|v| v.whole(YEAR)).and_then(|year| i16::try_from(year).ok());
    let monocular = table.mm_per_eye("monocular_pd_mm", limits::PD);
    let binocular = table.mm("binocular_pd_mm", limits::PD);
    let at_boxed_centres = table.word("pd", &[("boxed-centres", ())]);
    let near_pd = table.mm_per_eye("near_pd_mm", limits::PD);
    let given = [table.has("monocular_pd_mm"), table.has("binocular_pd_mm"), table.has("pd")];
    match given.iter().filter(|&&g| g).count() {
        0 if !table.has("near_pd_mm") => table.fault(
            "a pupillary distance is missing",
            "write monocular_pd_mm = { right = 31.5, left = 32.0 } (or binocular_pd_mm = 63.5)",
        ),
        0 | 1 => {}
        _ => {
            table.fault("the far pupillary distance is given twice", "keep one of monocular_pd_mm, binocular_pd_mm, pd")
        }
    }
    let far_pd = if given[0] {
        Some(FarPd::Monocular(monocular))
    } else if let Some(binocular) = binocular {
        Some(FarPd::Binocular(binocular))
    } else {
        at_boxed_centres.map(|()| FarPd::BoxedCentres)
    };
    let heights = |key: &str| table.mm_per_eye(key, limits::HEIGHT);
    let wearer = Wearer {
        born,
        far_pd,
        near_pd,
        pupil_height: heights("pupil_height_mm"),
        optical_centre_height: heights("optical_centre_height_mm"),
        segment_height: heights("segment_height_mm"),
        fitting_height: heights("fitting_height_mm"),
        measured_by: table.word("measured_by", MeasuredBy::WORDS),
        worn_vertex: table.mm("worn_vertex_mm", limits::VERTEX),
    };
    table.end();
    Some(wearer)
}

fn prescription(table: &Table<'_, '_>, made: Eyes) -> Prescription {
    let eyes = PerEye::from_fn(|eye: Eye| {
        let read = table.value(eye.word()).and_then(|v| eye_prescription(&v));
        if made.makes(eye) { table.need(eye.word(), read, "write the power of each eye that is made") } else { read }
    });
    let compensated = table.per_eye("compensated", eye_prescription);
    let prescription = Prescription {
        written: table.date("written"),
        refraction_vertex: table.mm("refraction_vertex_mm", limits::VERTEX),
        eyes,
        compensated,
    };
    table.end();
    prescription
}

fn eye_prescription(value: &Value<'_, '_>) -> Option<EyePrescription> {
    let table = value.table()?;
    let sphere = table.need("sphere_d", table.power("sphere_d"), "write sphere_d = \"-4.25\" or \"plano\"");
    let cylinder_value = table.value("cylinder_d");
    let axis_value = table.value("axis_deg");
    let none = cylinder_value.as_ref().and_then(Value::as_text).is_some_and(|t| t.trim().eq_ignore_ascii_case("none"));
    let cylinder = match (&cylinder_value, &axis_value) {
        (None, None) => Some(Cylinder::NotGiven),
        (None, Some(axis)) => axis.fault(
            format!("`{}` is given without a cylinder", axis.path),
            "write the cylinder, or cylinder_d = \"none\" without an axis",
        ),
        (Some(_), axis) if none => match axis {
            None => Some(Cylinder::None),
            Some(axis) => axis.fault(
                format!("`{}` is given although there is no cylinder", axis.path),
                "take out the axis, or write the cylinder",
            ),
        },
        (Some(cylinder), axis) => {
            let power = cylinder.power();
            let axis_read = axis.as_ref().map(Value::axis);
            match (power, axis_read) {
                (Some(power), None) if power.power.thousandths() == 0 => Some(Cylinder::None),
                (Some(_), None) => cylinder
                    .fault(format!("`{}` is given without an axis", cylinder.path), "write axis_deg, from 1 to 180"),
                (Some(power), Some(Some(axis))) => Some(Cylinder::Given { power, axis }),
                _ => None,
            }
        }
    };
    let prism: Vec<Option<OrderedPrism>> = table.list("prism").iter().map(prism).collect();
    let add = table.value("add_d").and_then(|v| {
        let power = v.power()?;
        if power.power.thousandths() < 0 {
            return v.wrong("a plus power", "an addition is always plus");
        }
        Some(power)
    });
    table.end();
    Some(EyePrescription {
        sphere: sphere?,
        cylinder: cylinder?,
        prism: prism.into_iter().collect::<Option<_>>()?,
        add,
    })
}

fn prism(value: &Value<'_, '_>) -> Option<OrderedPrism> {
    let table = value.table()?;
    let amount = table.value("cm_per_m").and_then(|v| v.prism_amount());
    let amount = table.need("cm_per_m", amount, "write cm_per_m = \"1.00\"");
    let base = table.value("base").and_then(|v| match v.as_text() {
        Some(_) => v.word(&[("in", Base::In), ("out", Base::Out), ("up", Base::Up), ("down", Base::Down)]),
        None => v.number(limits::DIRECTION).map(|deg| Base::Degrees(if deg >= 360.0 { 0.0 } else { deg })),
    });
    let base = table.need(
        "base",
        base,
        "a prism without base is none: write base = \"in\", \"out\", \"up\", \"down\" or degrees",
    );
    table.end();
    Some(OrderedPrism { amount: amount?, base: base? })
}

fn frame(table: &Table<'_, '_>) -> Option<Frame> {
    let outline = table.need("outline", table.text("outline"), "name the record file: outline = \"kestrel-50.txt\"");
    let mounting = table.need("mounting", table.word("mounting", Mounting::WORDS), "write mounting = \"full-rim\"");
    let rim_groove = table.table("rim_groove").and_then(|groove| {
        let depth = groove.need("depth_mm", groove.mm("depth_mm", limits::THICKNESS), "write its depth_mm");
        let width = groove.need("width_mm", groove.mm("width_mm", limits::THICKNESS), "write its width_mm");
        groove.end();
        Some(RimGroove { depth: depth?, width: width? })
    });
    let holes: Vec<Option<Hole>> = table.list("holes").iter().map(hole).collect();
    let clearance: Vec<Option<Clearance>> = table.list("clearance").iter().map(clearance).collect();
    let frame = Frame {
        outline: outline?.to_owned(),
        outline_of: table.word("outline_of", OutlineOf::WORDS),
        outline_from: table.word("outline_from", OutlineFrom::WORDS),
        outline_allowance: table.mm("outline_allowance_mm", ALLOWANCE),
        mounting: mounting?,
        material: table.word("material", FrameMaterial::WORDS),
        owner: table.word("owner", FrameOwner::WORDS),
        distance_between_lenses: table.mm("distance_between_lenses_mm", BETWEEN),
        frame_curve_d: table.number("frame_curve_d", Limits::from_to(0.0, 15.0, "D")),
        rim_groove,
        face_form_deg: table.number("face_form_deg", FACE_ANGLE),
        pantoscopic_deg: table.number("pantoscopic_deg", FACE_ANGLE),
        holes: holes.into_iter().collect::<Option<_>>()?,
        clearance: clearance.into_iter().collect::<Option<_>>()?,
    };
    table.end();
    Some(frame)
}

fn hole(value: &Value<'_, '_>) -> Option<Hole> {
    let table = value.table()?;
    let eye = table.need("eye", table.word("eye", EYES), "write eye = \"right\" or \"left\"");
    let mm = |key: &str, limits| table.need(key, table.mm(key, limits), "write the hole's place from the boxed centre");
    let (inwards, up, diameter) =
        (mm("in_mm", limits::SHIFT), mm("up_mm", limits::SHIFT), mm("diameter_mm", limits::THICKNESS));
    table.end();
    Some(Hole { eye: eye?, inwards: inwards?, up: up?, diameter: diameter? })
}

fn clearance(value: &Value<'_, '_>) -> Option<Clearance> {
    let table = value.table()?;
    let deg = table.need("deg", table.number("deg", limits::DIRECTION), "write its direction in degrees");
    let back = table.need("back_mm", table.mm("back_mm", Limits::from_to(0.0, 40.0, "mm")), "write back_mm");
    let what = table.need("what", table.text("what"), "say what needs the room");
    table.end();
    Some(Clearance { deg: deg? % 360.0, back: back?, what: what?.to_owned() })
}

const EYES: &[(&str, Eye)] = &[("right", Eye::Right), ("left", Eye::Left)];

fn material(value: &Value<'_, '_>, rules: &Rules) -> Option<MaterialId> {
    let text = value.text("a material in double quotes")?;
    let id = MaterialId::new(text);
    if rules.material(&id).is_some() {
        return Some(id);
    }
    let known = rules.materials.iter().map(|m| m.id.as_str());
    value.wrong("a material of the rules", &suggestion(text, known))
}

fn lens(table: &Table<'_, '_>, rules: &Rules) -> Option<LensOrder> {
    let kind = table.need("type", table.word("type", LensType::WORDS), "write type = \"single-vision\"");
    let id = table.value("material").and_then(|v| material(&v, rules));
    let id = table.need("material", id, "write a material of the rules, such as \"polycarbonate-1.586\"");
    let edge =
        table.need("edge", table.word("edge", EdgeKind::WORDS), "write edge = \"bevel\", \"groove\" or \"flat\"");
    let treatments = table.list("treatments").iter().fold(Treatments::NONE, |set, v| {
        let Some(name) = v.text("a treatment in double quotes") else { return set };
        match rules.treatments.find(name) {
            Some(one) => set.with(one),
            None => {
                let known = rules.treatments.all().iter().map(String::as_str);
                v.wrong::<()>("a treatment that the rules know", &suggestion(name, known));
                set
            }
        }
    });
    let mate = table.table("mate").map(|mate| {
        let curve = mate.number("front_curve_d", limits::CURVE);
        let index = mate.number("front_curve_index", limits::INDEX);
        if curve.is_some() && index.is_none() && !mate.has("front_curve_index") {
            mate.fault(
                "`lens.mate.front_curve_index` is missing",
                "write the index on which the curve is stated: 1.530 or the lens's own",
            );
        }
        let read = Mate {
            material: mate.value("material").and_then(|v| material(&v, rules)),
            series: mate.text("series").map(str::to_owned),
            front_curve: curve.zip(index).map(|(curve_d, index)| FrontCurve { curve_d, index }),
            centre: mate.mm("centre_mm", limits::THICKNESS),
        };
        mate.end();
        read
    });
    let lens = LensOrder {
        purpose: table.word("use", LensUse::WORDS).unwrap_or(LensUse::Distance),
        task_distance: table.mm("task_distance_mm", TASK),
        kind: kind?,
        material: id?,
        treatments,
        edge: edge?,
        bevel: table.word("bevel", BevelKind::WORDS),
        blank: table.per_eye("blank", |v| v.text("a stock-keeping unit in double quotes").map(str::to_owned)),
        centre: table.mm_per_eye("centre_mm", limits::THICKNESS),
        least_edge: table.mm_per_eye("least_edge_mm", limits::THICKNESS),
        front_curve_d: table.per_eye("front_curve_d", |v| v.number(limits::CURVE)),
        mate,
    };
    table.end();
    Some(lens)
}

fn answers(table: &Table<'_, '_>) -> Vec<Answer> {
    let mut answers = Vec::new();
    for (code, span, value) in table.each() {
        if !job::kinds::ALL.iter().any(|kind| kind.code == code) {
            let known = job::kinds::ALL.iter().map(|kind| kind.code);
            value.fault::<()>(format!("`{code}` is not the code of a finding"), suggestion(&code, known));
            continue;
        }
        let _ = span;
        let each = if value.is_list() { value.list() } else { vec![value] };
        answers.extend(each.iter().filter_map(|v| answer(&code, v)));
    }
    answers
}

fn answer(code: &str, value: &Value<'_, '_>) -> Option<Answer> {
    let table = value.table()?;
    let text = |key: &str, hint: &str| table.need(key, table.text(key), hint).map(str::to_owned);
    let figure = text("figure", "quote the value that the finding prints");
    let reason = text("reason", "say why it may stand");
    let who = text("who", "say who answers");
    let eye = table.word("eye", EYES);
    table.end();
    Some(Answer { code: code.to_owned(), eye, figure: figure?, reason: reason?, who: who? })
}
