//! Record files on the disk: all of a plan's or none, and none in the place of another.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::failure::Failure;
use crate::files;

/// Writes files, each with its name, into a folder, and gives their paths. All are written beside their places first; a
/// file that is there already keeps all of them from being written.
pub(crate) fn write(folder: &Path, named: &[(String, Vec<u8>)]) -> Result<Vec<PathBuf>, Failure> {
    for (name, _) in named {
        let path = folder.join(name);
        if path.exists() {
            return Err(Failure::new(
                format!("{} is there already", path.display()),
                "it may have been cut from: move it away, or name another folder; no record of this order was written",
            ));
        }
    }
    let made = !folder.exists();
    fs::create_dir_all(folder).map_err(|e| Failure::writing(folder, &e))?;
    let written = write_beside(folder, named).and_then(take_names);
    if written.is_err() && made {
        // Only an empty folder goes.
        drop(fs::remove_dir(folder));
    }
    written
}

fn write_beside(folder: &Path, named: &[(String, Vec<u8>)]) -> Result<Vec<(NamedTempFile, PathBuf)>, Failure> {
    let one = |(name, bytes): &(String, Vec<u8>)| {
        let path = folder.join(name);
        let mut file = files::beside(folder).map_err(|e| Failure::writing(folder, &e))?;
        file.write_all(bytes).and_then(|()| file.flush()).map_err(|e| Failure::writing(&path, &e))?;
        Ok((file, path))
    };
    named.iter().map(one).collect()
}

fn take_names(written: Vec<(NamedTempFile, PathBuf)>) -> Result<Vec<PathBuf>, Failure> {
    let mut taken: Vec<PathBuf> = Vec::with_capacity(written.len());
    for (file, path) in written {
        // Another program may have put a file there since it was looked for.
        if let Err(e) = file.persist_noclobber(&path) {
            for ours in &taken {
                drop(fs::remove_file(ours));
            }
            return Err(Failure::writing(&path, &e.error));
        }
        taken.push(path);
    }
    Ok(taken)
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

    fn named(names: &[&str]) -> Vec<(String, Vec<u8>)> {
        names.iter().map(|name| ((*name).to_owned(), b"REQ=FIL\r\n".to_vec())).collect()
    }

    #[test]
    fn files_take_their_names_and_what_is_there_stays() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("a/b");
        let taken = write(&folder, &named(&["1-blocker.txt", "1-edger.txt"])).unwrap();
        assert_eq!(taken, [folder.join("1-blocker.txt"), folder.join("1-edger.txt")]);
        fs::write(folder.join("2-edger.txt"), "mine").unwrap();
        let failure = write(&folder, &named(&["2-blocker.txt", "2-edger.txt"])).unwrap_err();
        assert!(failure.to_string().contains("2-edger.txt is there already"), "{failure}");
        assert_eq!(fs::read(folder.join("2-edger.txt")).unwrap(), b"mine");
        assert_eq!(names(&folder), ["1-blocker.txt", "1-edger.txt", "2-edger.txt"]);
    }

    #[test]
    fn a_name_that_cannot_be_taken_gives_the_others_back() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("new");
        // A name with a separator leads into a folder that is not there: the second rename fails.
        assert!(write(&folder, &named(&["1-blocker.txt", "not/there.txt"])).is_err());
        assert!(!folder.exists(), "nothing was in it, so it goes again");
    }

    #[test]
    fn a_name_that_is_taken_meanwhile_is_not_taken_over() {
        let place = tempfile::tempdir().unwrap();
        let beside = write_beside(place.path(), &named(&["1-blocker.txt", "1-edger.txt"])).unwrap();
        fs::write(place.path().join("1-edger.txt"), "another's").unwrap();
        assert!(take_names(beside).is_err());
        assert_eq!(names(place.path()), ["1-edger.txt"]);
        assert_eq!(fs::read(place.path().join("1-edger.txt")).unwrap(), b"another's");
    }
}
