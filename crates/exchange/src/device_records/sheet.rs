//! The records of one machine as they are gathered: what is from memory is written or left out in one place.

use job::PerEye;
use units::Mm;

use super::{Cut, Device, DeviceFile, Extent, Mark};
use crate::records::{Problem, Record};
use crate::surfacing_order::fixed;

pub(super) struct Sheet<'a> {
    file: DeviceFile,
    extent: Extent,
    pub(super) cut: PerEye<Option<Cut<'a>>>,
}

impl<'a> Sheet<'a> {
    pub(super) const fn new(device: Device, extent: Extent, cut: PerEye<Option<Cut<'a>>>) -> Self {
        let file = DeviceFile { device, records: Vec::new(), from_memory: Vec::new(), unsaid: Vec::new() };
        Self { file, extent, cut }
    }

    pub(super) fn done(self) -> DeviceFile {
        self.file
    }

    /// What a person has to set at the machine.
    pub(super) fn unsaid(&mut self, what: &'static str) {
        self.file.unsaid.push(what);
    }

    /// Whether this machine follows a line in space: the others are told no heights.
    pub(super) fn wants_heights(&self) -> bool {
        self.file.device == Device::Edger
    }

    /// Whether a record of this mark is written.
    pub(super) fn has(&self, mark: Mark) -> bool {
        !mark.is_from_memory() || self.extent == Extent::FromMemory
    }

    /// One field.
    pub(super) fn one(&mut self, label: &'static str, mark: Mark, field: &str) -> Result<(), Problem> {
        self.fields(label, mark, &[field.to_owned()])
    }

    /// Right; left, empty for an eye that is not made or that lacks it. Not written at all where neither has it.
    pub(super) fn pair(
        &mut self,
        label: &'static str,
        mark: Mark,
        of: impl Fn(&Cut<'a>) -> Option<String>,
    ) -> Result<(), Problem> {
        let [right, left] = [&self.cut.right, &self.cut.left].map(|cut| cut.as_ref().and_then(&of));
        if right.is_none() && left.is_none() {
            return Ok(());
        }
        self.fields(label, mark, &[right.unwrap_or_default(), left.unwrap_or_default()])
    }

    /// As they stand.
    pub(super) fn fields(&mut self, label: &'static str, mark: Mark, fields: &[String]) -> Result<(), Problem> {
        if self.knows(label, mark) {
            self.file.records.push(Record::new(label, fields)?);
        }
        Ok(())
    }

    /// Records that were made elsewhere, under the label that opens them.
    pub(super) fn made(&mut self, label: &'static str, mark: Mark, records: Vec<Record>) {
        if self.knows(label, mark) {
            self.file.records.extend(records);
        }
    }

    /// Notes a label that is from memory, and says whether it is written.
    fn knows(&mut self, label: &'static str, mark: Mark) -> bool {
        if mark.is_from_memory() {
            match self.file.from_memory.iter_mut().find(|(known, _)| *known == label) {
                Some((_, weakest)) => *weakest = mark.max(*weakest),
                None => self.file.from_memory.push((label, mark)),
            }
        }
        self.has(mark)
    }
}

/// A length in mm as records have it: two decimals.
pub(super) fn mm(length: Mm) -> String {
    fixed(length.mm(), 2)
}
