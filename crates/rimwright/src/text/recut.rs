//! The answer to a trial fit: what to set next, first; then why.

use job::rules::Rules;
use job::{FrameMaterial, Order};
use planner::edge_line::setting;
use planner::recut::{HeldBy, Next, Recut, Tried};
use units::Mm;

use super::page::{Page, Weight};
use super::words::{signed, two};

/// Every lens that was tried.
pub(crate) fn recut(page: &mut Page, order: &Order, rules: &Rules, tried: &[Recut], trial: Tried) {
    page.rule(&format!("{}   trial fit", order.number));
    for lens in tried {
        one(page, rules, lens);
        page.gap();
    }
    if let Tried::Gap(gap) = trial {
        page.wrapped(
            "",
            &format!(
                "Read as: the rim stays open by {} mm at its joint, so that the lens is too large. {}If light shows between \
                 lens and rim instead, it is too small: --fit loose.",
                two(gap.mm()),
                if order.frame.material == Some(FrameMaterial::Metal) { "" } else { "A rim without a joint bows: --fit tight. " }
            ),
        );
        page.gap();
    }
    page.wrapped(
        "Set: ",
        "settings count from the frame's trace. A machine that was given the plan's record file has the planned size in its trace: \
         set it to the difference.",
    );
    page.wrapped(
        "Care: ",
        "eye protection at the wheel; block and pad as before, on the same marks; try the lens cold and clean, screws and \
         rim eased, never forced.",
    );
}

fn one(page: &mut Page, rules: &Rules, lens: &Recut) {
    let set = |offset: Mm| {
        let (set, of) = setting(rules.size.unit, offset);
        format!("{} of {of}", signed(set.mm()))
    };
    let eye = lens.eye.word().to_uppercase();
    let (weight, verdict) = match lens.next {
        Next::Keep => (Weight::Verdict, format!("{eye}: LEAVE IT at {}.", set(lens.cut))),
        Next::Cut { offset, .. } => (Weight::Verdict, format!("{eye}: CUT IT NEXT at {}.", set(offset))),
        Next::AtRim => (Weight::Ask, format!("{eye}: DO NOT CUT IT SMALLER.")),
        Next::TooSmall(Some(by)) => {
            (Weight::Stop, format!("{eye}: TOO SMALL by {} mm round; make it again.", two(by.mm())))
        }
        Next::TooSmall(None) => (Weight::Stop, format!("{eye}: TOO SMALL; make it again.")),
        Next::AnotherLens(_) => (Weight::Ask, format!("{eye}: MEASURE IT AGAIN.")),
    };
    page.weighty(weight, &verdict);
    let how = if lens.in_space { "in space" } else { "flat: no depth is known" };
    let least = lens.least.map_or(String::new(), |least| format!("the least is {}, ", two(least.mm())));
    page.wrapped(
        "  ",
        &format!(
            "Cut at {}, it is {} mm round ({how}); {least}wanted is {}.",
            set(lens.cut),
            two(lens.round.mm()),
            two(lens.wanted.mm())
        ),
    );
    let off = lens.round - lens.figured;
    if off.abs().mm() >= 0.005 {
        page.wrapped(
            "  ",
            &format!(
                "This setting should have made {} mm: the machine is {} mm off, round.",
                two(lens.figured.mm()),
                signed(off.mm())
            ),
        );
    }
    let why = match lens.next {
        Next::Keep => "What was tried asks for no change.".to_owned(),
        Next::Cut { offset, round, held_by } => {
            let less = set(offset - lens.cut);
            let asked = lens.asks.map_or(String::new(), |asks| format!("; asked were {} mm less round", two(asks.mm())));
            let held = match held_by {
                None => "",
                Some(HeldBy::Step) => ". One step at a time: try it again before the next",
                Some(HeldBy::Rim) => ". Further it would be shorter than its rim",
            };
            let open = lens.least.zip(lens.asks).map(|(least, asks)| asks - (lens.round - least));
            let open = open.filter(|open| open.mm() > 0.1).map_or(String::new(), |open| {
                format!(
                    " Even at its rim's length {} mm would stay open: the trace is not of this rim, or it is bent; trace it again.",
                    two(open.mm())
                )
            });
            format!("That is {less}, {} mm round then{asked}{held}.{open}", two(round.mm()))
        }
        Next::AtRim if lens.least.is_some_and(|least| lens.round.mm() < least.mm() - 0.05) => {
            "It is shorter than its rim already: see what it was cut at, and measure it round by tape. If it turns in the rim, it \
             has to be made again."
                .to_owned()
        }
        Next::AtRim => "It is as short as its rim: something else keeps it out. Look for swarf in the groove, a bevel too high or \
                        too wide for it, a rim bent or traced open, the bevel's curve against the rim's; true the frame and trace it again."
            .to_owned(),
        Next::TooSmall(_) => "A lens only ever gets smaller. Take the next blank, and set this one's size and one step more; before \
                              that, see that the rim is not stretched and the trace is of this rim."
            .to_owned(),
        Next::AnotherLens(by) => format!(
            "No lens cut at this setting is so long round: it is {} mm off. Read the tape again, at the bevel apex; see that it is \
             this lens; or say what it was cut at: --cut.",
            signed(by.mm())
        ),
    };
    page.wrapped("  ", &why);
}
