//! Drawings on the disk: all of them, or none.

use std::fs;
use std::io::Write;
use std::path::Path;

use tempfile::NamedTempFile;

use crate::failure::Failure;

/// Writes drawings into a folder. Each is written beside its place first; only when all are there do they take their names.
pub(crate) fn write(folder: &Path, drawings: &[(String, String)]) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(|e| Failure::writing(folder, &e))?;
    let mut written = Vec::with_capacity(drawings.len());
    for (name, svg) in drawings {
        let path = folder.join(format!("{name}.svg"));
        let mut file = NamedTempFile::new_in(folder).map_err(|e| Failure::writing(folder, &e))?;
        file.write_all(svg.as_bytes())
            .and_then(|()| file.as_file().sync_all())
            .map_err(|e| Failure::writing(&path, &e))?;
        written.push((file, path));
    }
    for (file, path) in written {
        file.persist(&path).map_err(|e| Failure::writing(&path, &e.error))?;
    }
    Ok(())
}
