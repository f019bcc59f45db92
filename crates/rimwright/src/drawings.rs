//! Drawings on the disk: all of a plan's, or none.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::failure::Failure;
use crate::files;

/// Writes drawings, each with its name, into a folder. All are written beside their places first; only when all are
/// there do they take their names, so that a full disk leaves neither half a drawing nor half a set.
pub(crate) fn write(folder: &Path, drawings: &[(String, String)]) -> Result<(), Failure> {
    let made = !folder.exists();
    fs::create_dir_all(folder).map_err(|e| Failure::writing(folder, &e))?;
    let written = write_beside(folder, drawings).and_then(take_names);
    if written.is_err() && made {
        // Only an empty folder goes; one that another plan has drawn into stays.
        drop(fs::remove_dir(folder));
    }
    written
}

fn write_beside(folder: &Path, drawings: &[(String, String)]) -> Result<Vec<(NamedTempFile, PathBuf)>, Failure> {
    let mut written = Vec::with_capacity(drawings.len());
    for (name, svg) in drawings {
        let path = folder.join(format!("{name}.svg"));
        if path.is_dir() {
            return Err(Failure::new(format!("{} is a folder", path.display()), "move it, or draw elsewhere"));
        }
        let mut file = files::beside(folder).map_err(|e| Failure::writing(folder, &e))?;
        file.write_all(svg.as_bytes()).and_then(|()| file.flush()).map_err(|e| Failure::writing(&path, &e))?;
        written.push((file, path));
    }
    Ok(written)
}

fn take_names(written: Vec<(NamedTempFile, PathBuf)>) -> Result<(), Failure> {
    for (file, path) in written {
        file.persist(&path).map_err(|e| Failure::writing(&path, &e.error))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    fn drawing(name: &str) -> (String, String) {
        (name.to_owned(), "<svg/>".to_owned())
    }

    #[test]
    fn drawings_take_their_names_and_leave_nothing_else() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("a/b");
        write(&folder, &[drawing("0142-pair"), drawing("0142-edge")]).unwrap();
        write(&folder, &[drawing("0142-pair")]).unwrap();
        assert_eq!(names(&folder), ["0142-edge.svg", "0142-pair.svg"]);
    }

    #[test]
    fn one_that_cannot_be_written_keeps_all_from_being_written() {
        let place = tempfile::tempdir().unwrap();
        fs::create_dir(place.path().join("0142-edge.svg")).unwrap();
        let failure = write(place.path(), &[drawing("0142-pair"), drawing("0142-edge")]).unwrap_err();
        assert_eq!(failure.exit(), 2);
        assert!(failure.to_string().contains("0142-edge.svg is a folder"));
        assert_eq!(names(place.path()), ["0142-edge.svg"]);
    }

    #[test]
    fn a_folder_made_for_nothing_goes_again() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("new");
        // A name with a separator leads into a folder that is not there: the rename fails.
        assert!(write(&folder, &[drawing("not/there")]).is_err());
        assert!(!folder.exists());
    }
}
