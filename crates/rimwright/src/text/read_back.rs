//! An order in words that its wearer understands: what the numbers say, never whether they are right.

use job::frame::FrameOwner;
use job::order::{LensType, LensUse};
use job::prescription::{Base, OrderedPrism};
use job::{Cylinder, EyePrescription, FarPd, Finding, MeasuredBy, Mounting, Order, PerEye, Rules, Severity};
use units::{Axis, Mm, Power, WrittenPower};

use super::words::{count, minus};

/// The order read back, line by line; an empty line parts what does not belong together.
pub(crate) fn lines(order: &Order, rules: &Rules) -> Vec<String> {
    let mut lines = vec![
        format!("Your order {}, taken on {}.", order.number, order.taken),
        "This is how we read it. Please compare every line with your prescription. Where they differ, the prescription \
         holds, and what your prescriber says comes before anything we say: tell us before we begin."
            .to_owned(),
    ];
    let made = order.eyes.made();
    for &eye in made {
        lines.push(String::new());
        lines.push(format!("{} eye, the one on your own {eye} side:", capital(eye.word())));
        match &order.prescription.eyes[eye] {
            Some(written) => lines.extend(of_eye(written)),
            None => lines.push("No power was written down for it.".to_owned()),
        }
        if order.prescription.compensated[eye].is_some() {
            lines.push(
                "The lens is made to other figures than these, worked out for how the frame sits on your face."
                    .to_owned(),
            );
        }
    }
    if let [only] = made {
        lines.push(format!("We make the {only} lens alone; the other stays as it is."));
    }
    if let Some(written) = order.prescription.written {
        lines.push(format!("The prescription was written on {written}."));
    }
    lines.push(String::new());
    lines.extend(eyes_and_heights(order));
    lines.push(String::new());
    lines.push(frame(order));
    lines.push(lens(order, rules));
    lines.push(treatments(order, rules));
    lines
}

fn of_eye(written: &EyePrescription) -> Vec<String> {
    let mut lines = vec![sphere(&written.sphere)];
    lines.push(match &written.cylinder {
        Cylinder::Given { power, axis } => cylinder(power, *axis),
        Cylinder::None => "Cylinder: none. No correction of astigmatism is written.".to_owned(),
        Cylinder::NotGiven => "Cylinder: nothing is written, neither a number nor \"none\".".to_owned(),
    });
    lines.extend(written.prism.iter().map(prism));
    if let Some(add) = &written.add {
        lines.push(format!(
            "Addition (add) {}: {} dioptres more for near, for reading.",
            spoken(&add.written),
            number(&add.written)
        ));
    }
    lines
}

fn sphere(power: &WrittenPower) -> String {
    let said = match power.power.cmp(&Power::ZERO) {
        core::cmp::Ordering::Less => "a minus lens, thinner in the middle, as short-sighted eyes wear",
        core::cmp::Ordering::Greater => {
            "a plus lens, thicker in the middle, as long-sighted eyes wear, or anyone for reading"
        }
        core::cmp::Ordering::Equal => return "Sphere (sph): plano, which is no power.".to_owned(),
    };
    format!("Sphere (sph) {}: {said}.", spoken(&power.written))
}

fn cylinder(power: &WrittenPower, axis: Axis) -> String {
    if power.power == Power::ZERO {
        return "Cylinder: 0.00, which is none.".to_owned();
    }
    format!(
        "Cylinder (cyl) {} at axis {deg}: it corrects astigmatism, and the axis says which way it lies: {deg} degrees is {}.",
        spoken(&power.written),
        lies(axis.deg()),
        deg = axis.deg()
    )
}

/// How an axis lies, for someone who faces the wearer: it counts anticlockwise from that person's right.
fn lies(deg: f64) -> &'static str {
    match deg {
        d if d <= 10.0 || d >= 170.0 => "level, or nearly so",
        d if (80.0..=100.0).contains(&d) => "upright, or nearly so",
        d if d < 90.0 => "slanting, its upper end towards the right hand of someone who faces you",
        _ => "slanting, its upper end towards the left hand of someone who faces you",
    }
}

fn prism(prism: &OrderedPrism) -> String {
    let towards = match prism.base {
        Base::In => "base in: its thick edge points to your nose".to_owned(),
        Base::Out => "base out: its thick edge points to your temple".to_owned(),
        Base::Up => "base up: its thick edge points upwards".to_owned(),
        Base::Down => "base down: its thick edge points downwards".to_owned(),
        Base::Degrees(deg) => format!("base at {deg} degrees, counted like the axis but all the way round"),
    };
    format!("Prism {}, {towards}; it helps the two eyes to work together.", prism.amount)
}

fn eyes_and_heights(order: &Order) -> Vec<String> {
    let wearer = &order.wearer;
    let mut lines = Vec::new();
    let by = wearer.measured_by.map_or(String::new(), |by| format!("; measured {}", measured(by)));
    lines.push(match wearer.far_pd {
        Some(FarPd::Monocular(pd)) => format!(
            "Distance from the middle of your nose to each pupil, looking far away (PD): {}{by}.",
            each(&pd).unwrap_or_else(|| "not given".to_owned())
        ),
        Some(FarPd::Binocular(pd)) => {
            format!("Distance between your pupils, looking far away (PD): {} mm for both eyes together{by}.", mm(pd))
        }
        Some(FarPd::BoxedCentres) => {
            "Distance between your pupils (PD): none is needed for lenses without power.".to_owned()
        }
        None => "Distance between your pupils, looking far away (PD): not given.".to_owned(),
    });
    lines.extend(each(&wearer.near_pd).map(|near| format!("The same for near (near PD): {near}.")));
    for (heights, what) in [
        (&wearer.pupil_height, "Height of your pupils above the lowest edge of the lens"),
        (&wearer.optical_centre_height, "Height at which the middle of each lens's power is to stand"),
        (&wearer.segment_height, "Height of the reading part"),
        (&wearer.fitting_height, "Height of the fitting cross"),
    ] {
        lines.extend(each(heights).map(|heights| format!("{what}: {heights}.")));
    }
    lines
}

const fn measured(by: MeasuredBy) -> &'static str {
    match by {
        MeasuredBy::Own => "by yourself",
        MeasuredBy::Pupillometer => "with an instrument for it (pupillometer)",
        MeasuredBy::RuleExaminer => "with a rule, by a trained person",
        MeasuredBy::RuleSelf => "with a rule, by yourself",
        MeasuredBy::App => "with a telephone",
        MeasuredBy::Unknown => "we do not know how",
    }
}

fn frame(order: &Order) -> String {
    let frame = &order.frame;
    let mounting = match frame.mounting {
        Mounting::FullRim => "a frame with a rim all round the lenses",
        Mounting::NylonCord => "a frame that holds the lenses by a cord",
        Mounting::GroovedRim => "a frame whose rim sits in a groove of the lenses",
        Mounting::Drilled => "a frame that is screwed to holes in the lenses",
    };
    let material = frame.material.filter(|m| *m != job::FrameMaterial::Unknown);
    let material = material.map_or(String::new(), |m| format!(", of {}", m.word()));
    let owner = match frame.owner {
        Some(FrameOwner::Wearer) => ", your own",
        Some(FrameOwner::Shop) => ", from our shop",
        None => "",
    };
    format!("Frame: {mounting}{material}{owner}.")
}

fn lens(order: &Order, rules: &Rules) -> String {
    let lens = &order.lens;
    let kind = match lens.kind {
        LensType::SingleVision => "one power all over (single vision)",
        LensType::Multifocal => "a separate part for reading (multifocal)",
        LensType::ProgressivePower => "a power that grows from far to near (progressive)",
    };
    let task = lens.task_distance.map_or(String::new(), |task| format!(", for a task {:.0} cm away", task.mm() / 10.0));
    let purpose = match lens.purpose {
        LensUse::Distance => "for seeing far away and all round",
        LensUse::Near => "for reading and near work, blurred far away",
        LensUse::Intermediate => "for in between, such as a screen, blurred far away",
    };
    let material = rules.material(&lens.material).map_or(lens.material.as_str(), |m| m.name.as_str());
    let lenses = count(order.eyes.made().len(), "lens", "lenses");
    format!("Lenses: {lenses} of {material} ({}), with {kind}, {purpose}{task}.", lens.material)
}

fn treatments(order: &Order, rules: &Rules) -> String {
    let names: Vec<String> = rules.treatments.of(order.lens.treatments).map(in_words).collect();
    if names.is_empty() { "Treatments: none.".to_owned() } else { format!("Treatments: {}.", names.join("; ")) }
}

/// A treatment for whoever wears it; one that the rules add keeps its name.
fn in_words(name: &str) -> String {
    let says = match name {
        "anti-reflective" => "takes reflections off both faces",
        "hydrophobic" => "water and dirt come off easily",
        "scratch" => "a harder face, which still can be scratched",
        "tint" => "coloured all over",
        "gradient" => "coloured, lighter towards the bottom",
        "photochromic" => "darkens in daylight",
        "polarised" => "a film against glare from level ground and water",
        "mirror" => "a mirror on the front",
        "uv" => "keeps ultraviolet light out",
        own => return own.to_owned(),
    };
    format!("{name} ({says})")
}

/// What the wearer is asked: one question for each finding that waits for an answer and that a wearer can help with.
/// What is said alike of both eyes is asked once.
pub(crate) fn questions(found: &[Finding]) -> Vec<(&Finding, String)> {
    let mut asked: Vec<(&Finding, String)> = Vec::new();
    for finding in found.iter().filter(|f| f.is_open() && f.kind.severity <= Severity::Ask) {
        if let Some(question) = question(finding)
            && !asked.iter().any(|(_, before)| *before == question)
        {
            asked.push((finding, question));
        }
    }
    asked
}

/// The question of a finding, in the wearer's words; none where only the bench can answer.
fn question(finding: &Finding) -> Option<String> {
    let value = minus(&finding.value);
    let eye = finding.eye.map_or("both eyes".to_owned(), |eye| format!("the {eye} eye"));
    let copy = "Please read it again, digit by digit, or send us a photograph of the prescription.";
    let text = match finding.kind.code {
        "cylinder-not-given" => format!(
            "For {eye} the box for the cylinder (cyl) is empty. Is there really nothing on your prescription: no number, a dash, or \"DS\"? {copy}"
        ),
        "opposite-signs" => format!(
            "One eye is written plus and the other minus ({value}). Are both signs as they stand on your prescription? Do you see better far away or near without spectacles? {copy}"
        ),
        "powers-far-apart" => {
            format!("The two eyes are written very differently ({value}). Is that as it stands on your prescription? {copy}")
        }
        "mixed-cylinder-signs" => format!(
            "One cylinder is written plus and the other minus ({value}). Are both signs as they stand on your prescription? {copy}"
        ),
        "axis-not-mirrored" | "axis-half-degree" => {
            format!("The axis is written {value} for {eye}. Is that as it stands on your prescription? {copy}")
        }
        "power-step" | "power-unusual" | "add-unusual" | "adds-differ" => {
            format!("{} is written {value} for {eye}. Is that as it stands on your prescription? {copy}", what(finding))
        }
        "prism-large" | "prism-bases" => format!(
            "A prism is written ({value}). Does your prescription give it for each eye, or for both together, and which way does each base point? {copy}"
        ),
        "add-on-single-vision" => format!(
            "An addition ({value}) is written, but you ordered lenses with one power. Are they for far away, for reading, or for something between?"
        ),
        "add-missing" => "You ordered lenses with a part for reading, but no addition (add) is written. Is there one on your prescription?".to_owned(),
        "not-prescribed" => {
            format!("Nothing is written for {eye}. What does your prescription say of it, or do you want the other lens alone?")
        }
        "pd-monocular" | "pd-binocular" | "pd-uneven" | "near-pd-not-less" => format!(
            "The distance of your pupils (PD) is written {value} mm. Few faces have that. Could it be measured again, best by a trained person, and sent with a word on how?"
        ),
        "no-far-pd" => "We need the distance of your pupils looking far away (PD). Can you have it measured?".to_owned(),
        "no-near-pd" => "We need the distance of your pupils for near. Can you have it measured, or tell us how far away you hold what you look at?".to_owned(),
        "pd-not-good-enough" => {
            "Your lenses ask for a more exact distance of the pupils (PD) than we have. Can a trained person measure it, or an instrument?".to_owned()
        }
        "height-needed" | "heights-uneven" => {
            "We need the height of your pupils in the frame as you wear it. Can it be measured, with the frame level on your face?".to_owned()
        }
        "vertex-not-given" => format!(
            "The power for {eye} is strong ({value}). Does your prescription say how far the test lens stood from the eye (vertex distance, BVD)?"
        ),
        "prescription-old" => format!(
            "Your prescription is of {value}. Is there a newer one? When were your eyes last examined?"
        ),
        "prescription-after" => format!("Your prescription is dated {value}, after the order. Which day does it bear?"),
        "child" => "The wearer seems to be a child. Who looks after the order, and which prescriber may we speak to?".to_owned(),
        "boxed-centres-with-power" => {
            "Your lenses have power, so that we need the distance of your pupils (PD). Can you have it measured?".to_owned()
        }
        "mate-material" => format!("The new lens is ordered of {value}, your other lens is of another material. Is that meant so?"),
        _ => return None,
    };
    Some(text)
}

/// The figure of a finding as the wearer's prescription names it.
fn what(finding: &Finding) -> &'static str {
    match finding.figure.as_str() {
        "prescription.cylinder_d" => "The cylinder (cyl)",
        "prescription.add_d" => "The addition (add)",
        _ => "The sphere (sph)",
    }
}

/// `right 31.5 mm, left 32.0 mm`.
fn each(values: &PerEye<Option<Mm>>) -> Option<String> {
    let told: Vec<String> =
        values.iter().filter_map(|(eye, value)| Some(format!("{eye} {} mm", mm((*value)?)))).collect();
    (!told.is_empty()).then(|| told.join(", "))
}

fn mm(length: Mm) -> String {
    format!("{:.1}", length.mm())
}

/// A written power with its sign in words, so that a lost sign is heard: `−4.25 (minus 4.25)`.
fn spoken(written: &str) -> String {
    let sign = match written.trim().chars().next() {
        Some('-' | '\u{2212}') => "minus",
        Some('+') => "plus",
        _ => return minus(written),
    };
    format!("{} ({sign} {})", minus(written), number(written))
}

/// A written power without its sign.
fn number(written: &str) -> &str {
    written.trim().trim_start_matches(['+', '-', '\u{2212}'])
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
