//! The text of a file: bytes made into characters, and what is said where that fails.

use std::borrow::Cow;

use crate::fault::Fault;

const BOM: &str = "\u{feff}";

/// The file as text; bytes that are not UTF-8 become the replacement character.
pub(crate) fn text(bytes: &[u8]) -> Cow<'_, str> {
    // The common case is checked by a faster function than the one that mends.
    core::str::from_utf8(bytes).map_or_else(|_| String::from_utf8_lossy(bytes), Cow::Borrowed)
}

/// Where the text starts: after the byte order mark, where there is one.
pub(crate) fn start(text: &str) -> usize {
    if text.starts_with(BOM) { BOM.len() } else { 0 }
}

/// Whether a file is UTF-16, as some programs save what they call Unicode text.
pub(crate) fn utf16_fault(bytes: &[u8]) -> Option<Fault> {
    matches!(bytes, [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..])
        .then(|| Fault::at(0..0, "the file is UTF-16 text; expected UTF-8", "save it as UTF-8"))
}

/// The first byte that is not UTF-8, and how many more places like it there are.
pub(crate) fn encoding_fault(bytes: &[u8]) -> Option<Fault> {
    let error = core::str::from_utf8(bytes).err()?;
    let at = error.valid_up_to();
    let byte = bytes.get(at).copied().unwrap_or_default();
    let more = bytes.utf8_chunks().filter(|chunk| !chunk.invalid().is_empty()).count() - 1;
    let more = match more {
        0 => String::new(),
        1 => ", nor is 1 more place".to_owned(),
        n => format!(", nor are {n} more places"),
    };
    let end = at + char::REPLACEMENT_CHARACTER.len_utf8();
    Some(Fault::at(at..end, format!("byte 0x{byte:02X} is not UTF-8 text{more}"), "save the file as UTF-8"))
}
