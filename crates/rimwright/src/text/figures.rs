//! The figures of both eyes side by side, and those of the pair.

use job::prescription::InUp;
use job::{EdgeKind, Eye, Rules};
use planner::Plan;
use planner::edge_line::{EdgeLinePlan, EdgeLineRow};
use planner::plan::{EyePlan, PairPlan};

use super::page::Page;
use super::words::{at, one, place, prism, signed, two};

/// All of them.
pub(super) fn show(page: &mut Page, plan: &Plan, rules: &Rules) {
    page.gap();
    page.sides("figures in mm");
    let mut row = |label: &str, of: &dyn Fn(&EyePlan) -> Option<String>| {
        let value = |eye: Eye| plan.eyes[eye].as_ref().and_then(of);
        page.spine(label, value(Eye::Right).as_deref(), value(Eye::Left).as_deref());
    };
    row("box", &|e| Some(format!("{} \u{d7} {}", one(e.shape.boxed.width.mm()), one(e.shape.boxed.height.mm()))));
    row("effective diameter", &|e| {
        let boxed = &e.shape.boxed;
        Some(format!("{} at {}", one(boxed.effective_diameter.mm()), at(boxed.effective_diameter_at.direction_deg())))
    });
    row("circumference", &|e| {
        let space = e.circumference_3d.map_or(String::new(), |l| format!(", in space {}", one(l.mm())));
        Some(format!("{}{space}", one(e.shape.circumference.mm())))
    });
    row("PD used", &|e| e.pd.map(|pd| one(pd.mm())));
    row("reference point", &|e| e.reference_point.map(place));
    row("prism ordered", &|e| prism(e.prism.ordered));
    row("optical centre", &|e| {
        Some(e.optical_centre.map_or_else(|| "none: prism ground".to_owned(), place)).filter(|_| e.vertex.is_some())
    });
    row("prism point of blank", &|e| e.vertex.filter(|_| e.prism.ground != Default::default()).map(place));
    row("size setting", &|e| {
        let (set, of) = planner::edge_line::setting(rules.size.unit, e.size_offset?);
        Some(format!("{} of {of}", signed(set.mm())))
    });
    row("first cut, larger", &|e| {
        let (setting, of) = (e.setting?, planner::edge_line::setting(rules.size.unit, e.size_offset?).1);
        Some(format!("{} of {of}", signed(setting.first.mm()))).filter(|_| setting.first > setting.planned)
    });
    row("radius/width/round", &|e| {
        let offset = e.size_offset?;
        let round = e.circumference_offset.map_or(String::new(), |c| format!(", {}", signed(c.mm())));
        Some(format!("{}, {}{round}", signed(offset.mm()), signed(2.0 * offset.mm())))
    });
    row("rim, apex in space", &|e| {
        let line = edge_line(e)?;
        Some(format!("{}, {}", two(line.rim_3d?.mm()), two(line.sized.line.length().mm())))
    });
    row("margin", &|e| {
        let cover = &e.lens.as_ref()?.coverage;
        Some(format!("{} at {}", two(cover.margin.mm()), at(cover.tightest_deg)))
    });
    row("smallest blank", &|e| Some(one(e.lens.as_ref()?.coverage.smallest_blank.mm())));
    row("centre", &|e| Some(two(e.lens.as_ref()?.thickness.vertex.mm())));
    row("thinnest edge", &|e| {
        let edge = &e.lens.as_ref()?.edge;
        Some(format!("{} at {}", two(edge.thinnest.mm()), at(edge.thinnest_deg)))
    });
    row("thickest edge", &|e| {
        let edge = &e.lens.as_ref()?.edge;
        Some(format!("{} at {}", two(edge.thickest.mm()), at(edge.thickest_deg)))
    });
    let shoulders = |e: &EyePlan, edge: EdgeKind, of: &dyn Fn(EdgeLineRow) -> units::Mm| {
        let line = edge_line(e).filter(|line| line.edge == edge)?;
        let rows = (0..360).step_by(5).filter_map(|deg| Some(of(line.row(deg)?).mm()));
        let (least, most) = rows.fold((f64::INFINITY, 0.0), |(a, b): (f64, f64), row| (a.min(row), b.max(row)));
        Some(format!("{} to {}", two(least), two(most)))
    };
    let runs = |e: &EyePlan, edge: EdgeKind| {
        let line = edge_line(e).filter(|line| line.edge == edge)?;
        let held = line.sized.run.as_ref().filter(|run| run.held.mm() > 0.05);
        Some(format!("{}{}", line.run, held.map_or("", |_| ", held")))
    };
    row("apex runs", &|e| runs(e, EdgeKind::Bevel));
    row("groove runs", &|e| runs(e, EdgeKind::Groove));
    row("front shoulder", &|e| shoulders(e, EdgeKind::Bevel, &|row| row.to_front));
    row("back shoulder", &|e| shoulders(e, EdgeKind::Bevel, &|row| row.to_back));
    row("groove from front", &|e| shoulders(e, EdgeKind::Groove, &|row| row.to_front));
    row("groove from back", &|e| shoulders(e, EdgeKind::Groove, &|row| row.to_back));
    row("visible edge", &|e| {
        let visible = edge_line(e).filter(|line| line.edge == EdgeKind::Bevel)?.visible.as_ref()?;
        Some(format!(
            "{} at {} to {} at {}",
            two(visible.thinnest.mm()),
            at(visible.thinnest_at.direction_deg()),
            two(visible.thickest.mm()),
            at(visible.thickest_at.direction_deg())
        ))
    });
    row("gap to the rim", &|e| {
        let seated = edge_line(e)?.sized.seated.as_ref()?;
        let gap = seated.gap_greatest.mm();
        Some(format!(
            "rms {}; {} {} at {}",
            two(seated.gap_rms.mm()),
            two(gap.abs()),
            if gap < 0.0 { "before" } else { "behind" },
            at(seated.gap_greatest_at.direction_deg())
        ))
    });
    row("nose, temple end", &|e| {
        let line = edge_line(e).filter(|line| line.seat.is_some())?;
        let end = |deg| Some(stands(line.row(deg)?.gap?.mm()));
        let (right, left) = (end(0)?, end(180)?);
        Some(if e.eye.nasal() > 0.0 { format!("{right}, {left}") } else { format!("{left}, {right}") })
    });
    row("into rim's groove", &|e| {
        let sits = edge_line(e)?.sits?;
        let whole = sits.reach + sits.short;
        Some(format!("{} of {}, to its {}", two(sits.reach.mm()), two(whole.mm()), sits.stopped_by.word()))
    });
    row("frame, bevel curve", &|e| {
        let line = edge_line(e)?;
        Some(format!("{}, {} D", signed(line.frame_curve_d?), signed(line.bevel_curve_d?)))
    });
    row("room for lashes", &|e| Some(one(e.lens.as_ref()?.lashes?.room.mm())));
    let parts = |e: &EyePlan| edge_line(e).map_or(0, |line| line.behind.len());
    for i in 0..[&plan.eyes.right, &plan.eyes.left].into_iter().flatten().map(parts).max().unwrap_or(0) {
        row("takes of room", &|e| {
            let part = edge_line(e)?.behind.get(i)?;
            Some(format!("{} of {} at {}", two(part.takes.mm()), two(part.room.mm()), at(part.deg)))
        });
    }
    let most = |e: &EyePlan| e.lens.as_ref().map_or(0, |lens| lens.holes.len());
    let holes = [&plan.eyes.right, &plan.eyes.left].into_iter().flatten().map(most).max().unwrap_or(0);
    for i in 0..holes {
        row(&format!("hole {}", i + 1), &|e| Some(place(e.lens.as_ref()?.holes.get(i)?.at)));
        row("thick, to edge", &|e| {
            let hole = e.lens.as_ref()?.holes.get(i)?;
            let thick = hole.thickness.map_or_else(|| "none".to_owned(), |t| two(t.mm()));
            Some(format!("{thick}, {}", two(hole.wall.mm())))
        });
    }
    row("mass", &|e| {
        let lens = e.lens.as_ref()?;
        let finished = lens.finished;
        let square = if finished.is_some() { " square" } else { "" };
        let finished = finished.map_or(String::new(), |f| format!(", {} finished", one(f.mass_g)));
        Some(format!("{} g{square}{finished}", one(lens.mass_g)))
    });
    row("cutting axis leans", &|e| {
        let block = &e.lens.as_ref()?.block;
        let lean = |deg: f64, plus, less| {
            let text = one(deg.abs());
            let way = if deg < 0.0 && text != "0.0" { less } else { plus };
            format!("{text} {way}")
        };
        let (inwards, up) = (lean(block.tilt_in_deg, "in", "out"), lean(block.tilt_up_deg, "up", "down"));
        Some(format!("{inwards}, {up}, degrees"))
    });
    page.gap();
    pair(page, &plan.pair);
}

/// How an end stands in its rim: a gap of a twentieth is none to the eye.
fn stands(gap: f64) -> String {
    if gap.abs() < 0.05 {
        "flush".to_owned()
    } else {
        format!("{} {}", two(gap.abs()), if gap < 0.0 { "proud" } else { "behind" })
    }
}

fn edge_line(eye: &EyePlan) -> Option<&EdgeLinePlan> {
    eye.lens.as_ref()?.edge_line.as_ref()
}

fn pair(page: &mut Page, pair: &PairPlan) {
    if let Some(allowed) = pair.pd_error_allowed {
        let forgives = format!("the pair forgives {} mm", one(allowed.mm()));
        let text = match pair.pd_doubt {
            Some(doubt) if doubt <= allowed => {
                format!("This PD is good enough: {forgives}; measured so, it may be off by {} mm.", one(doubt.mm()))
            }
            Some(doubt) => {
                format!("This PD is not good enough: {forgives}; measured so, it may be off by {} mm.", one(doubt.mm()))
            }
            None => format!("For the PD {forgives}; the order does not say who measured it."),
        };
        page.wrapped("", &text);
    }
    let mut parts = Vec::new();
    if let Some(edges) = pair.edge_difference {
        parts.push(format!("thickest edges {} mm apart", two(edges.abs().mm())));
    }
    if let Some(curves) = pair.front_curve_difference {
        parts.push(format!("front curves {} D apart", two(curves.abs().dioptres())));
    }
    if let Some(near) = pair.near_vertical_imbalance.map(|n| two(n.abs().cm_per_m())).filter(|n| n != "0.00") {
        parts.push(format!("{near} \u{394} of vertical prism between the eyes at the reading level"));
    }
    if let Some(mass) = pair.mass_g {
        parts.push(format!("{} g together", one(mass)));
    }
    if let Some(p) = &pair.prism {
        let between = InUp { base_in: p.horizontal_in, base_up: p.vertical_up };
        let words = prism(between).unwrap_or_else(|| "none".to_owned());
        let mut text = format!("{words} between the eyes as ordered (up: right less left)");
        if !p.is_shared
            && let (Some(right), Some(left)) = (prism(p.shared.right), prism(p.shared.left))
        {
            text.push_str(&format!("; shared equally it is R {right}, L {left}: the prescriber's to decide"));
        }
        page.wrapped("Prism: ", &format!("{text}."));
    }
    if !parts.is_empty() {
        page.wrapped("Pair: ", &format!("{}.", parts.join(", ")));
    }
    page.gap();
}
