//! `rimwright intake`: an order as it was taken, before frame and shelf are looked at.

use exchange::json::{self, IntakeInputs, IntakeJson};
use job::Finding;

use super::{GOOD, NO};
use crate::cli::IntakeArgs;
use crate::failure::Failure;
use crate::output::Output;
use crate::{files, text};

pub(super) fn run(args: &IntakeArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.order.is_dir() {
        return Err(Failure::new(
            format!("{} is a folder: an order is read back alone, since it goes to one wearer", args.order.display()),
            "name one order in it",
        ));
    }
    let in_force = files::rules(args.rules.as_deref(), &files::folder_of(&args.order))?;
    let (order, digest) = files::order(&args.order, &in_force.rules)?;
    let findings = planner::intake::alone(&order, &in_force.rules);
    let read_back = text::read_back::lines(&order, &in_force.rules);
    let questions = text::read_back::questions(&findings);
    if args.json {
        let inputs = IntakeInputs { order: digest, rules: in_force.digest };
        let document = IntakeJson::new(&order.number, inputs, read_back, questions, &findings);
        out.line(&json::pretty(&document).map_err(|e| Failure::own(&e))?)?;
    } else {
        let mut page = out.page();
        text::intake(&mut page, &order, &read_back, &questions, &findings);
        out.text(page.text())?;
    }
    Ok(if findings.iter().any(Finding::is_open) { NO } else { GOOD })
}
