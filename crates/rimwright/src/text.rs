//! Plans and outlines as a person at the bench reads them: 80 columns, findings first, right eye left.

use std::fmt::Write;

use job::{Eye, Finding, Order, OutlineFrom, Rules, Severity};
use planner::plan::{EyePlan, LensPlan, OrderThickness, Place};
use planner::{FrameShapes, Plan};
use units::working::{Step, printed};

use crate::commands::open;
use crate::failure::Failure;

/// Width of a line.
const WIDTH: usize = 80;
/// Near misses shown for an eye.
const MISSES: usize = 4;

/// A plan.
pub(crate) fn plan(plan: &Plan, order: &Order, rules: &Rules) -> String {
    let mut out = String::new();
    let eyes = match order.eyes {
        job::Eyes::Both => "both eyes",
        job::Eyes::Right => "right eye only",
        job::Eyes::Left => "left eye only",
    };
    line(&mut out, &"=".repeat(WIDTH));
    line(
        &mut out,
        &format!(
            "{}   {eyes}   {}   {}   {} edge",
            plan.number,
            order.lens.material,
            order.frame.mounting.word(),
            order.lens.edge.word()
        ),
    );
    line(&mut out, "");
    findings(&mut out, &plan.findings);
    line(&mut out, &verdict(plan));
    blanks(&mut out, plan);
    hands(&mut out, plan, order, rules);
    figures(&mut out, plan);
    misses(&mut out, plan);
    answers(&mut out, &plan.findings);
    cautions(&mut out, plan, order, rules);
    out
}

/// The summary of a day.
pub(crate) fn summary(plans: &[(&Order, &Plan)], faulty: usize) -> String {
    let mut out = String::new();
    line(&mut out, &"=".repeat(WIDTH));
    let good = plans.iter().filter(|(_, p)| p.is_good()).count();
    line(
        &mut out,
        &format!("{} orders planned: {good} ready to make, {} to settle first", plans.len(), plans.len() - good),
    );
    if faulty > 0 {
        line(&mut out, &format!("{faulty} could not be read; see the faults above"));
    }
    line(&mut out, "");
    for (_, plan) in plans {
        let (stops, asks) = (open(plan, Severity::Stop), open(plan, Severity::Ask));
        let state = match (stops, asks) {
            (0, 0) => "ready".to_owned(),
            (0, n) => format!("{n} to answer"),
            (n, _) => format!("cannot: {n}"),
        };
        let first =
            plan.findings.iter().find(|f| f.is_open()).map_or(String::new(), |f| {
                format!("{}{}", f.eye.map_or(String::new(), |e| format!("{e}: ")), f.sentence)
            });
        let blanks: Vec<String> = plan
            .planned()
            .filter_map(|e| e.lens.as_ref().map(|l| format!("{} {}", e.eye.letter(), l.blank.sku)))
            .collect();
        let what = if first.is_empty() { blanks.join("  ") } else { first };
        wrapped(&mut out, &format!("{:<8}{state:<14}", plan.number.as_str()), &what);
    }
    out
}

fn line(out: &mut String, text: &str) {
    out.push_str(text);
    out.push('\n');
}

/// A text under a hanging head, wrapped at words.
fn wrapped(out: &mut String, head: &str, text: &str) {
    let indent = head.chars().count();
    let mut row = head.to_owned();
    let mut length = indent;
    for word in text.split_whitespace() {
        let long = word.chars().count();
        if length > indent && length + 1 + long > WIDTH {
            line(out, row.trim_end());
            row = " ".repeat(indent);
            length = indent;
        }
        if length > indent {
            row.push(' ');
            length += 1;
        }
        row.push_str(word);
        length += long;
    }
    line(out, row.trim_end());
}

const fn shape(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "[X]",
        Severity::Ask => "[?]",
        Severity::Warn => "/!\\",
        Severity::Note => "(i)",
    }
}

fn findings(out: &mut String, findings: &[Finding]) {
    for finding in findings {
        let eye = finding.eye.map_or("", Eye::word);
        let answered = if finding.answered.is_some() { "answered" } else { finding.kind.severity.word() };
        wrapped(out, &format!("{} {answered:<9}{eye:<6}", shape(finding.kind.severity)), &sentence(&finding.sentence));
        if let Some(answer) = &finding.answered {
            wrapped(out, "                   ", &format!("{}: {}", answer.who, answer.reason));
        } else if finding.kind.severity != Severity::Note && !finding.mend.is_empty() {
            wrapped(out, "                   > ", &finding.mend);
        }
    }
    if !findings.is_empty() {
        line(out, "");
    }
}

/// A sentence with its capital, and typographic minus before figures.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map_or(String::new(), |c| c.to_uppercase().collect());
    format!("{first}{}", letters.as_str())
}

fn verdict(plan: &Plan) -> String {
    let (stops, asks) = (open(plan, Severity::Stop), open(plan, Severity::Ask));
    let count = |n: usize, one: &str, many: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {many}") };
    match (stops, asks) {
        (0, 0) if plan.planned().all(|e| e.lens.is_some()) => "MAKE IT. Pull these blanks:".to_owned(),
        (0, 0) => "NOTHING AGAINST IT, but no blank was chosen.".to_owned(),
        (0, n) => format!("DO NOT CUT YET: {} to answer.", count(n, "question", "questions")),
        (n, 0) => format!("DO NOT CUT: {}.", count(n, "stop", "stops")),
        (n, m) => {
            format!("DO NOT CUT: {}, and {} to answer.", count(n, "stop", "stops"), count(m, "question", "questions"))
        }
    }
}

fn blanks(out: &mut String, plan: &Plan) {
    for eye in plan.planned() {
        match (&eye.lens, &eye.to_order) {
            (Some(lens), _) => {
                let blank = &lens.blank;
                let place = blank.place.as_deref().unwrap_or("no place written");
                let lot = blank.lot.as_ref().map_or(String::new(), |l| format!("   lot {l}"));
                line(out, &format!("  {:<6} {place:<10} {}{lot}", eye.eye, blank.sku));
                line(
                    out,
                    &format!(
                        "         {}   {:.0} mm   front {} on 1.530   centre {:.2}   {:.2} to spare",
                        power(eye.power),
                        blank.nominal.mm(),
                        signed(lens.front_curve_1530.dioptres()),
                        lens.thickness.optical_centre.mm(),
                        lens.coverage.margin.mm()
                    ),
                );
            }
            (None, Some(order)) => {
                let thickness = match order.thickness {
                    OrderThickness::Centre(centre) => format!("centre {:.2} mm", centre.mm()),
                    OrderThickness::CentreForEdge { centre, edge } => {
                        format!("centre {:.2} mm (thinnest edge {:.2})", centre.mm(), edge.mm())
                    }
                };
                line(
                    out,
                    &format!(
                        "  {:<6} to order: {}, {:.1} mm or more,",
                        eye.eye,
                        power(eye.power),
                        order.least_diameter.mm()
                    ),
                );
                line(
                    out,
                    &format!("         {thickness}, optical centre in the middle, {}", place(order.decentration)),
                );
            }
            (None, None) => {}
        }
    }
    line(out, "");
}

/// What the hands do, in their order, right eye first.
fn hands(out: &mut String, plan: &Plan, order: &Order, rules: &Rules) {
    if plan.planned().all(|e| e.lens.is_none()) {
        return;
    }
    line(out, "Mark and block, one lens out of its packet at a time:");
    for eye in plan.planned() {
        let Some(lens) = &eye.lens else { continue };
        let marking = &lens.marking;
        let focimeter = match marking.focimeter_axis_deg {
            Some(axis) => format!(
                "set axis {}, turn the lens until it reads {}; three dots along the axis line",
                axis3(axis),
                power(eye.power)
            ),
            None => format!("find the middle where it reads {} without prism; three dots, level", power(eye.power)),
        };
        wrapped(out, &format!("  {} 1 ", eye.eye.letter()), &format!("focimeter: {focimeter}"));
        wrapped(out, "    2 ", &format!("write {} on the lens and an arrow to the nose", eye.eye.letter()));
        let from = match rules.block.at {
            job::rules::BlockAt::BoxedCentre => "the boxed centre",
            job::rules::BlockAt::OpticalCentre => "the optical centre",
        };
        wrapped(
            out,
            "    3 ",
            &format!("block at {from}: the middle dot stands {} of the block", place(marking.dot_from_block)),
        );
        match lens.block.diameter {
            Some(diameter) => wrapped(
                out,
                "    4 ",
                &format!(
                    "block {:.0} mm (leaves {:.1} mm of lens at {}); two pen lines across block and lens",
                    diameter.mm(),
                    lens.block.shortest_radius.mm() - diameter.mm() / 2.0,
                    axis3(lens.block.shortest_deg)
                ),
            ),
            None => wrapped(out, "    4 ", "no block of this bench clears the shape"),
        }
    }
    let _ = order;
    line(out, "");
}

/// Both eyes' figures, labels in the middle.
fn figures(out: &mut String, plan: &Plan) {
    line(out, &format!("{:>30}  {:^18}  {}", "right", "", "left"));
    let mut row = |label: &str, of: &dyn Fn(&EyePlan) -> Option<String>| {
        let value = |eye: Eye| plan.eyes[eye].as_ref().and_then(of).unwrap_or_default();
        let (right, left) = (value(Eye::Right), value(Eye::Left));
        if !right.is_empty() || !left.is_empty() {
            line(out, format!("{right:>30}  {label:^18}  {left}").trim_end());
        }
    };
    row("power", &|e| Some(power(e.power)));
    row("box", &|e| Some(format!("{:.1} x {:.1}", e.shape.boxed.width.mm(), e.shape.boxed.height.mm())));
    row("effective diameter", &|e| {
        let boxed = &e.shape.boxed;
        Some(format!("{:.1} at {}", boxed.effective_diameter.mm(), axis3(boxed.effective_diameter_at.direction_deg())))
    });
    row("circumference", &|e| {
        let space = e.circumference_3d.map_or(String::new(), |l| format!(" ({:.1} in space)", l.mm()));
        Some(format!("{:.1}{space}", e.shape.circumference.mm()))
    });
    row("reference point", &|e| e.reference_point.map(place));
    row("optical centre", &|e| e.optical_centre.map(place));
    row("prism ordered", &|e| {
        let prism = e.prism.ordered;
        (prism != job::prescription::InUp::default()).then(|| prism_words(prism))
    });
    row("margin", &|e| {
        let cover = &e.lens.as_ref()?.coverage;
        Some(format!("{:.2} at {}", cover.margin.mm(), axis3(cover.tightest_deg)))
    });
    row("smallest blank", &|e| Some(format!("{:.1}", e.lens.as_ref()?.coverage.smallest_blank.mm())));
    row("centre", &|e| Some(format!("{:.2}", e.lens.as_ref()?.thickness.optical_centre.mm())));
    row("thinnest edge", &|e| {
        let edge = &e.lens.as_ref()?.edge;
        Some(format!("{:.2} at {}", edge.thinnest.mm(), axis3(edge.thinnest_deg)))
    });
    row("thickest edge", &|e| {
        let edge = &e.lens.as_ref()?.edge;
        Some(format!("{:.2} at {}", edge.thickest.mm(), axis3(edge.thickest_deg)))
    });
    row("mass", &|e| Some(format!("{:.1} g", e.lens.as_ref()?.mass_g)));
    row("axis leans", &|e| {
        let LensPlan { block, .. } = e.lens.as_ref()?;
        Some(format!("{} in, {} up", degrees(block.tilt_in_deg), degrees(block.tilt_up_deg)))
    });
    line(out, "");
    let pair = &plan.pair;
    if let Some(allowed) = pair.pd_error_allowed {
        let text = match pair.pd_doubt {
            Some(doubt) if doubt <= allowed => format!(
                "This pupillary distance is good enough: the pair forgives {:.1} mm, measured this way it may be off by {:.1} mm.",
                allowed.mm(),
                doubt.mm()
            ),
            Some(doubt) => format!(
                "The pair forgives {:.1} mm in the pupillary distance; measured this way it may be off by {:.1} mm.",
                allowed.mm(),
                doubt.mm()
            ),
            None => format!(
                "The pair forgives {:.1} mm in the pupillary distance; the order does not say who measured it.",
                allowed.mm()
            ),
        };
        wrapped(out, "", &text);
    }
    let mut parts = Vec::new();
    if let Some(edges) = pair.edge_difference {
        parts.push(format!("thickest edges differ by {:.2} mm", edges.abs().mm()));
    }
    if let Some(curves) = pair.front_curve_difference {
        parts.push(format!("front curves by {:.2} D", curves.abs().dioptres()));
    }
    if let Some(mass) = pair.mass_g {
        parts.push(format!("together {mass:.1} g"));
    }
    if let Some(near) = pair.near_vertical_imbalance.filter(|n| n.abs().cm_per_m() >= 0.005) {
        parts.push(format!("vertical prism at reading level {:.2} prism dioptres", near.abs().cm_per_m()));
    }
    if !parts.is_empty() {
        wrapped(out, "", &format!("Pair: {}.", parts.join(", ")));
    }
    line(out, "");
}

fn misses(out: &mut String, plan: &Plan) {
    for eye in plan.planned().filter(|e| !e.near_misses.is_empty()) {
        let which = if eye.lens.is_some() { "Not for the" } else { "Nearest for the" };
        line(out, &format!("{which} {} eye:", eye.eye));
        for miss in eye.near_misses.iter().take(MISSES) {
            wrapped(out, &format!("  {:<24} ", miss.blank.sku), &miss.reason.sentence(miss.by));
        }
        let more = eye.near_misses.len().saturating_sub(MISSES);
        if more > 0 {
            line(out, &format!("  and {more} more; --json lists them"));
        }
    }
    if plan.planned().any(|e| !e.near_misses.is_empty()) {
        line(out, "");
    }
}

/// The blocks to paste into the order.
fn answers(out: &mut String, findings: &[Finding]) {
    let asks: Vec<&Finding> = findings.iter().filter(|f| f.kind.severity == Severity::Ask && f.is_open()).collect();
    if asks.is_empty() {
        return;
    }
    line(out, "To answer, paste into the order and fill in reason and who:");
    let mut told: Vec<&str> = Vec::new();
    for ask in &asks {
        let code = ask.kind.code;
        if told.contains(&code) {
            continue;
        }
        told.push(code);
        let alike: Vec<&&Finding> = asks.iter().filter(|a| a.kind.code == code).collect();
        for each in &alike {
            line(out, "");
            line(out, &if alike.len() > 1 { format!("[[answers.{code}]]") } else { format!("[answers.{code}]") });
            if let Some(eye) = each.eye {
                line(out, &format!("eye = \"{eye}\""));
            }
            line(out, &format!("figure = {:?}", each.value));
            line(out, "reason = \"\"");
            line(out, "who = \"\"");
        }
    }
    line(out, "");
}

fn cautions(out: &mut String, plan: &Plan, order: &Order, rules: &Rules) {
    if plan.planned().all(|e| e.lens.is_none()) {
        return;
    }
    if let Some(edging) = rules.material(&order.lens.material).and_then(|m| m.edging.as_ref()) {
        wrapped(out, "Cut ", &format!("{}: {edging}.", order.lens.material));
    }
    if order.frame.outline_from == Some(OutlineFrom::EarlierTrace) {
        wrapped(out, "", "Cut a little large first: the outline is not of this frame.");
    }
    wrapped(
        out,
        "",
        "Eyes: wear eye protection at wheel and drill; draw off dust; keep solvents and heat from coat and frame. The prescriber and local codes come before this plan.",
    );
    line(out, "");
}

/// A trace.
pub(crate) fn outline(frame: &FrameShapes) -> String {
    let mut out = String::new();
    findings(&mut out, &frame.doubts);
    line(&mut out, &format!("{:>30}  {:^20}  {}", "right", "", "left"));
    let mut row = |label: &str, of: &dyn Fn(&planner::plan::Shape) -> Option<String>| {
        let (right, left) = (of(&frame.eyes.right).unwrap_or_default(), of(&frame.eyes.left).unwrap_or_default());
        if !right.is_empty() || !left.is_empty() {
            line(&mut out, format!("{right:>30}  {label:^20}  {left}").trim_end());
        }
    };
    row("box", &|s| Some(format!("{:.2} x {:.2}", s.boxed.width.mm(), s.boxed.height.mm())));
    row("effective diameter", &|s| {
        Some(format!(
            "{:.2} at {}",
            s.boxed.effective_diameter.mm(),
            axis3(s.boxed.effective_diameter_at.direction_deg())
        ))
    });
    row("circumference, flat", &|s| Some(format!("{:.2}", s.circumference.mm())));
    row("raw points", &|s| Some(format!("{:.2}", s.circumference_raw.mm())));
    row("in space", &|s| s.circumference_3d.map(|l| format!("{:.2}", l.mm())));
    row("area mm2", &|s| Some(format!("{:.1}", s.area_mm2)));
    row("frame curve", &|s| s.frame_curve_d.map(|c| format!("{} on 1.530", signed(c))));
    row("tilt in the records", &|s| s.tilt_deg.map(|t| format!("{t:.1} degrees, not added")));
    row("noise", &|s| Some(format!("{:.3}", s.noise.mm())));
    row("", &|s| s.mirrored.then(|| "mirrored".to_owned()));
    line(&mut out, "");
    if let Some(between) = frame.between_lenses {
        line(&mut out, &format!("distance between lenses {:.1} mm", between.mm()));
    }
    if let Some(difference) = &frame.difference {
        line(
            &mut out,
            &format!(
                "right against mirrored left: {:.3} mm rms, {:.2} mm at {} at the most",
                difference.rms.mm(),
                difference.worst.mm().abs(),
                axis3(difference.worst_at.direction_deg())
            ),
        );
    }
    out
}

/// How figures came about.
pub(crate) fn working(plan: &Plan, wanted: &str) -> Result<String, Failure> {
    let names: Vec<&str> = plan.working.figures().map(|(name, _)| name).collect();
    let matches: Vec<&str> = names
        .iter()
        .copied()
        .filter(|name| {
            wanted == "all"
                || *name == wanted
                || name.strip_prefix("right.").or_else(|| name.strip_prefix("left.")).is_some_and(|n| n == wanted)
        })
        .collect();
    if matches.is_empty() {
        let mut known: Vec<&str> =
            names.iter().map(|n| n.strip_prefix("right.").or_else(|| n.strip_prefix("left.")).unwrap_or(n)).collect();
        known.sort_unstable();
        known.dedup();
        return Err(Failure::new(
            format!("there is no working of `{wanted}` in this plan"),
            format!("write all, or one of {}", known.join(", ")),
        ));
    }
    let mut out = String::new();
    let mut told: Vec<String> = Vec::new();
    // Right before left, as the trade reads.
    let mut matches = matches;
    matches.sort_by_key(|name| (name.starts_with("left."), (*name).to_owned()));
    for name in matches {
        figure(&mut out, plan, name, &mut told);
    }
    Ok(out)
}

fn figure(out: &mut String, plan: &Plan, name: &str, told: &mut Vec<String>) {
    if told.iter().any(|t| t == name) {
        return;
    }
    told.push(name.to_owned());
    let Some(steps) = plan.working.steps(name) else { return };
    for step in steps {
        if let Step::Uses(other) = step {
            figure(out, plan, other, told);
        }
    }
    line(out, name);
    for step in steps {
        match step {
            Step::Formula { symbol, formula, inputs, value, unit, source } => {
                line(out, &format!("  {symbol} = {formula}"));
                let put_in: Vec<String> =
                    inputs.iter().map(|i| format!("{} = {}{}", i.name, printed(i.value), unit_of(i.unit))).collect();
                if !put_in.is_empty() {
                    wrapped(out, "      with ", &put_in.join(", "));
                }
                line(out, &format!("      {symbol} = {}{}", printed(*value), unit_of(unit)));
                if !source.is_empty() {
                    wrapped(out, "      from ", source);
                }
            }
            Step::Said(said) => wrapped(out, "  ", said),
            Step::Uses(other) => line(out, &format!("  builds on {other}")),
        }
    }
    line(out, "");
}

fn unit_of(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

/// Typographic minus.
fn minus(text: &str) -> String {
    text.replace('-', "\u{2212}")
}

fn signed(value: f64) -> String {
    minus(&format!("{value:+.2}"))
}

fn degrees(value: f64) -> String {
    let text = format!("{value:.1}");
    if text == "-0.0" { "0.0".to_owned() } else { minus(&text) }
}

fn power(power: optics::OrderedPower) -> String {
    let cylinder = power.cylinder().map_or(String::new(), |(c, axis)| format!(" {c} x {axis}"));
    minus(&format!("{}{cylinder}", power.sphere()))
}

fn axis3(deg: f64) -> String {
    let whole = (deg.round() as i64).rem_euclid(360);
    format!("{whole:03}")
}

fn place(place: Place) -> String {
    let part = |mm: f64, plus: &str, less: &str| {
        let text = format!("{:.1}", mm.abs());
        format!("{text} {}", if mm < 0.0 && text != "0.0" { less } else { plus })
    };
    format!("{}, {}", part(place.inwards.mm(), "in", "out"), part(place.up.mm(), "up", "down"))
}

fn prism_words(prism: job::prescription::InUp) -> String {
    let part = |amount: f64, plus: &str, less: &str| {
        (amount.abs() >= 0.005)
            .then(|| format!("{:.2} \u{394} {}", amount.abs(), if amount < 0.0 { less } else { plus }))
    };
    let parts: Vec<String> =
        [part(prism.base_in.cm_per_m(), "in", "out"), part(prism.base_up.cm_per_m(), "up", "down")]
            .into_iter()
            .flatten()
            .collect();
    parts.join(", ")
}
