//! The command line: one definition for parsing, help, completions and the man page.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use clap_complete::Shell;
use job::Eye;
use planner::recut::Tried;
use units::Mm;

/// Says before a blank is touched whether a pair of lenses will come out right, and how to make it.
///
/// Exit codes: 0 done and good; 1 readable, but the answer is no (a stop, an ask without an answer); 2 wrong input or
/// usage.
#[derive(Debug, Parser)]
#[command(name = "rimwright", version, max_term_width = 100)]
pub(crate) struct Cli {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Plan an order, or every order of a folder: blanks, coverage, thickness, marking and blocking.
    Plan(PlanArgs),
    /// Lay an order side by side with what else the shelf can make of it, other frames, and small changes.
    Compare(CompareArgs),
    /// Check an order as it was taken, and read it back in plain words for the wearer; no frame, no shelf.
    Intake(IntakeArgs),
    /// After a lens was cut and tried in its rim: the size to cut it to next.
    Recut(RecutArgs),
    /// Say what is in a trace: sizes, circumferences, right against left, depth, doubts.
    Outline(OutlineArgs),
    /// Print the rules in force, each with its source; the output reads back as a rules file.
    Rules(RulesArgs),
    /// Print every finding's code with its meaning.
    Findings,
    /// Print the JSON Schema of a document.
    Schema {
        /// The document: plan, outline, comparison, intake or recut.
        name: String,
    },
    /// Plan an invented day of orders.
    Demo(DemoArgs),
    /// Print completions for a shell.
    Completions {
        /// The shell.
        shell: Shell,
    },
    /// Print the man page.
    Man {
        /// Of this command; else of the whole.
        command: Option<String>,
    },
}

/// What an order is planned on.
#[derive(Debug, Args)]
pub(crate) struct OnBench {
    /// The shelf; else shelf.csv beside the order.
    #[arg(long, value_name = "FILE")]
    pub(crate) shelf: Option<PathBuf>,
    /// The rules; else rules.toml beside the order, else the built-in ones.
    #[arg(long, value_name = "FILE")]
    pub(crate) rules: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct PlanArgs {
    /// The order, or a folder of orders (all *.toml but rules.toml).
    pub(crate) order: PathBuf,
    #[command(flatten)]
    pub(crate) on: OnBench,
    /// Print JSON; of a folder one plan a line, by number.
    #[arg(long)]
    pub(crate) json: bool,
    /// Write the drawings as SVG into this folder.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) draw: Option<PathBuf>,
    /// Draw the edge cut through in this direction, whole degrees as in the plan's edge table, instead of where it tells
    /// most; may be given more than once.
    #[arg(long, value_name = "DEGREES", requires = "draw", value_parser = direction, allow_negative_numbers = true)]
    pub(crate) section: Vec<u32>,
    /// Exactly this blank for the right eye.
    #[arg(long, value_name = "SKU")]
    pub(crate) right: Option<String>,
    /// Exactly this blank for the left eye.
    #[arg(long, value_name = "SKU")]
    pub(crate) left: Option<String>,
    /// Readings of the uncut lenses: they take the place of what the labels say.
    #[arg(long, value_name = "FILE")]
    pub(crate) measured: Option<PathBuf>,
    /// Write what the shelf cannot make into this file, as records of ISO 16284 for a supplier.
    #[arg(long, value_name = "FILE")]
    pub(crate) to_order: Option<PathBuf>,
    /// Write what blocker, edger and drill are told into this folder, as records of ISO 16284: 0142-blocker.txt and so on.
    /// Nothing of a plan with a stop, or with an ask without an answer.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) records: Option<PathBuf>,
    /// With --records: write the labels too that are known from memory alone. They are named; see docs/records.md.
    #[arg(long, requires = "records")]
    pub(crate) records_from_memory: bool,
    /// Show how a figure came about: edge.thickest_mm for both eyes, right.edge.thickest_mm for one, or all.
    #[arg(long, value_name = "FIGURE")]
    pub(crate) working: Option<String>,
}

/// A whole degree about the boxed centre; 360 is 0.
fn direction(text: &str) -> Result<u32, String> {
    match text.parse() {
        Ok(deg @ 0..=360) => Ok(deg % 360),
        _ => Err("directions are whole degrees from 0 to 359, anticlockwise from the viewer's right about the boxed centre, \
            as in the plan's edge table: 225 is down and to the left, facing the wearer"
            .to_owned()),
    }
}

#[derive(Debug, Args)]
pub(crate) struct CompareArgs {
    /// The order.
    pub(crate) order: PathBuf,
    #[command(flatten)]
    pub(crate) on: OnBench,
    /// A folder of frame files, each a `[frame]` table as in an order.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) frames: Option<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
    /// Write the edge strips as SVG into this folder.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) draw: Option<PathBuf>,
}

#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("trial").required(true))]
pub(crate) struct RecutArgs {
    /// The order.
    pub(crate) order: PathBuf,
    #[command(flatten)]
    pub(crate) on: OnBench,
    /// What the trial in the rim said: "gap 0.4" (the rim stays open by so many mm at its joint), tight (it does not go in,
    /// or bows the rim), closes (it fits), loose (it turns by hand, or light shows round it).
    #[arg(long, value_name = "TRIAL", group = "trial", value_parser = trial)]
    pub(crate) fit: Option<Tried>,
    /// How long the lens is round its bevel apex, mm, by tape.
    #[arg(long, value_name = "MM", group = "trial", value_parser = circumference)]
    pub(crate) measured_circumference: Option<Mm>,
    /// What it was cut at, in what the machine is set in; else the first cut: the planned size and one step.
    #[arg(long, value_name = "SETTING", allow_hyphen_values = true, value_parser = setting)]
    pub(crate) cut: Option<Mm>,
    /// Only this lens: right or left.
    #[arg(long, value_parser = eye)]
    pub(crate) eye: Option<Eye>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// What a trial in the rim said.
fn trial(text: &str) -> Result<Tried, String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    match words[..] {
        ["tight"] => Ok(Tried::Tight),
        ["closes"] => Ok(Tried::Closes),
        ["loose"] => Ok(Tried::Loose),
        ["gap", gap] => number(gap, 0.0, 5.0)
            .filter(|gap| *gap > 0.0)
            .map(|gap| Tried::Gap(Mm::new(gap)))
            .ok_or_else(|| format!("a gap is a number above 0 and up to 5 mm, as in \"gap 0.4\"; found {gap}")),
        _ => Err("write \"gap 0.4\", tight, closes or loose".to_owned()),
    }
}

fn circumference(text: &str) -> Result<Mm, String> {
    number(text, 60.0, 300.0).map(Mm::new).ok_or_else(|| "a lens is 60 to 300 mm round".to_owned())
}

fn setting(text: &str) -> Result<Mm, String> {
    number(text, -20.0, 20.0).map(Mm::new).ok_or_else(|| "a size setting is a number from -20 to 20 mm".to_owned())
}

fn eye(text: &str) -> Result<Eye, String> {
    Eye::BOTH.into_iter().find(|eye| eye.word() == text).ok_or_else(|| "write right or left".to_owned())
}

/// A number within these ends; a decimal comma is one too.
fn number(text: &str, least: f64, most: f64) -> Option<f64> {
    text.replace(',', ".").parse().ok().filter(|number| (least..=most).contains(number))
}

#[derive(Debug, Args)]
pub(crate) struct IntakeArgs {
    /// The order.
    pub(crate) order: PathBuf,
    /// The rules; else rules.toml beside the order, else the built-in ones.
    #[arg(long, value_name = "FILE")]
    pub(crate) rules: Option<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct OutlineArgs {
    /// The record file of a tracer.
    pub(crate) file: PathBuf,
    /// The rules; else rules.toml beside the file, else the built-in ones.
    #[arg(long, value_name = "FILE")]
    pub(crate) rules: Option<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
    /// Write the drawing as SVG into this folder.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) draw: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct RulesArgs {
    /// A shop's rules over the built-in ones.
    #[arg(long, value_name = "FILE")]
    pub(crate) rules: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct DemoArgs {
    /// Print JSON, one plan a line.
    #[arg(long)]
    pub(crate) json: bool,
    /// Write the drawings as SVG into this folder.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) draw: Option<PathBuf>,
    /// Write the demo's own files into this folder, to try things on.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) unpack: Option<PathBuf>,
}
