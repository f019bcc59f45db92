//! `rimwright plan --records FOLDER`: what blocker, edger and drill are told, as record files.

use std::io::{self, Write};
use std::path::Path;

use exchange::device_records::{DeviceFile, Extent, Mark, device_records};
use exchange::records;
use job::{Order, Rules};
use planner::Plan;

use crate::cli::PlanArgs;
use crate::failure::Failure;
use crate::record_files;

/// Records that are wanted, and what a run has to say of them once.
pub(super) struct DeviceSheets<'a> {
    folder: &'a Path,
    extent: Extent,
    from_memory: Vec<(&'static str, Mark)>,
    has_circumference: bool,
}

impl<'a> DeviceSheets<'a> {
    /// `None` where none are asked for.
    pub(super) fn wanted(args: &'a PlanArgs) -> Option<Self> {
        let folder = args.records.as_deref()?;
        let extent = if args.records_from_memory { Extent::FromMemory } else { Extent::Confirmed };
        Some(Self { folder, extent, from_memory: Vec::new(), has_circumference: false })
    }

    /// Writes the files of one plan, all or none, and says so on standard error. `false` where something that is wanted
    /// cannot be told to a machine as the plan stands.
    pub(super) fn write(&mut self, plan: &Plan, order: &Order, rules: &Rules) -> Result<bool, Failure> {
        let number = &plan.number;
        let sheets = match device_records(plan, order, rules, self.extent) {
            Ok(sheets) => sheets,
            Err(why) => {
                tell(&format!("rimwright: no records of {number} were written: {why}"));
                tell(&format!("hint: {}", why.hint()));
                return Ok(false);
            }
        };
        let named: Vec<(String, Vec<u8>)> =
            sheets.files.iter().map(|file| named(plan, file)).collect::<Result<_, _>>()?;
        let paths = record_files::write(self.folder, &named)?;
        let paths: Vec<String> = paths.iter().map(|path| path.display().to_string()).collect();
        tell(&format!("rimwright: wrote {}", paths.join(", ")));
        for eye in plan.planned().filter(|eye| eye.lens.is_some()) {
            if let Some(setting) = eye.setting.filter(|setting| setting.first > setting.planned) {
                let step = setting.first.mm() - setting.planned.mm();
                tell(&format!(
                    "note: {number}, {}: the trace in the file is of the planned size already; for a first cut that is tried, \
                     set the machine {step:+.2} mm of {}",
                    eye.eye,
                    setting.unit.word()
                ));
            }
        }
        for file in &sheets.files {
            self.note(file);
            for what in &file.unsaid {
                tell(&format!("note: {number}: set by hand at the {}: {what}", file.device.word()));
            }
        }
        match sheets.not_drilled {
            None => Ok(true),
            Some(why) => {
                tell(&format!("rimwright: {number}-drill.txt was not written: {why}"));
                tell(&format!("hint: {}", why.hint()));
                // What was not asked for is not missed.
                Ok(why == exchange::device_records::CannotDrill::FromMemory)
            }
        }
    }

    fn note(&mut self, file: &DeviceFile) {
        self.has_circumference |= file.records.iter().any(|record| record.label() == "CIRC");
        for &(label, mark) in &file.from_memory {
            match self.from_memory.iter_mut().find(|(known, _)| *known == label) {
                Some((_, weakest)) => *weakest = mark.max(*weakest),
                None => self.from_memory.push((label, mark)),
            }
        }
    }

    /// What holds for every file of the run.
    pub(super) fn close(&self) {
        if self.has_circumference {
            tell("note: CIRC is the flat length of the cut outline; see whether your edger takes it so, or in space");
        }
        if self.from_memory.is_empty() {
            return;
        }
        let labels = |of: &dyn Fn(Mark) -> bool| {
            let found = self.from_memory.iter().filter(|(_, mark)| of(*mark)).map(|(label, _)| *label);
            found.collect::<Vec<_>>().join(" ")
        };
        if self.extent == Extent::Confirmed {
            tell(&format!(
                "note: left out, since known from memory alone: {}; --records-from-memory writes them",
                labels(&|_| true)
            ));
            return;
        }
        tell(&format!(
            "note: known from memory alone: {}; hold them against your machine's papers before a lens is cut",
            labels(&|_| true)
        ));
        let least = labels(&|mark| mark == Mark::Low);
        if !least.is_empty() {
            tell(&format!("note: the least sure of them: {least}"));
        }
        if self.from_memory.iter().any(|(label, _)| *label == "Z") {
            tell("note: Z grows towards the eye, and is 0 on the front surface at the block point");
        }
        if self.from_memory.iter().any(|(label, _)| *label == "DRILLE") {
            tell("note: DRILLE counts from the boxed centre, + towards the nose; drill a test piece before any lens");
        }
    }
}

/// The name and the bytes of a file.
fn named(plan: &Plan, file: &DeviceFile) -> Result<(String, Vec<u8>), Failure> {
    let bytes = records::write(&file.records).map_err(|faults| {
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        Failure::own(&told.join("; "))
    })?;
    Ok((format!("{}-{}.txt", plan.number, file.device.word()), bytes))
}

/// A line on standard error; nobody may be listening there.
fn tell(line: &str) {
    drop(writeln!(io::stderr(), "{line}"));
}
