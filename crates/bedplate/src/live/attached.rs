//! Photos and files kept beside records, under their check sums.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use work::record::Kept;

/// The folder in the vessel's folder.
const FOLDER: &str = "kept";
/// The longest file that is kept [bytes].
pub const LONGEST: u64 = 50_000_000;
/// Digits of the check sum in a file's name.
const DIGITS: usize = 12;

/// Keeps a file; one that is there already is not written again.
///
/// # Errors
/// If it cannot be written, or something else stands in its place.
pub fn keep(vessel: &Path, name: &str, bytes: &[u8]) -> io::Result<Kept> {
    let kept = Kept { name: plain(name), sha256: diary::digest(bytes), bytes: bytes.len() as u64 };
    let place = place(vessel, &kept);
    if place.exists() {
        let there = fs::read(&place)?;
        if diary::digest(&there) == kept.sha256 {
            return Ok(kept);
        }
    }
    if let Some(folder) = place.parent() {
        fs::create_dir_all(folder)?;
    }
    // Whole or not at all, also when the power goes.
    let half = place.with_extension("part");
    let mut file = fs::File::create(&half)?;
    io::Write::write_all(&mut file, bytes)?;
    file.sync_all()?;
    fs::rename(&half, &place)?;
    Ok(kept)
}

/// What was kept, if it is still what it was.
///
/// # Errors
/// If it is not there, or was changed.
pub fn read(vessel: &Path, kept: &Kept) -> io::Result<Vec<u8>> {
    let bytes = fs::read(place(vessel, kept))?;
    if diary::digest(&bytes) == kept.sha256 {
        Ok(bytes)
    } else {
        Err(io::Error::new(io::ErrorKind::InvalidData, "it is not what was kept: its check sum differs"))
    }
}

/// Where it is kept.
pub fn place(vessel: &Path, kept: &Kept) -> PathBuf {
    let folder = if vessel.is_dir() { vessel } else { vessel.parent().unwrap_or(Path::new("")) };
    let sum: String = kept.sha256.chars().filter(char::is_ascii_hexdigit).take(DIGITS).collect();
    folder.join(FOLDER).join(format!("{sum}-{}", plain(&kept.name)))
}

/// A name that stays in its folder on every disk.
fn plain(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let fits = |letter: char| if letter.is_alphanumeric() || ".-_".contains(letter) { letter } else { '-' };
    let name: String = last.chars().map(fits).take(80).collect();
    let name = name.trim_matches(['.', '-']).to_string();
    if name.is_empty() { "file".into() } else { name }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_kept_once_and_known_again_and_a_changed_one_is_told() {
        let folder = tempfile::tempdir().expect("a folder");
        let kept = keep(folder.path(), "../../etc/found tooth.jpg", b"abc").expect("kept");
        assert_eq!(kept.name, "found-tooth.jpg");
        assert_eq!(keep(folder.path(), "found tooth.jpg", b"abc").expect("kept"), kept);
        let place = place(folder.path(), &kept);
        assert!(place.starts_with(folder.path()), "{}", place.display());
        assert_eq!(read(folder.path(), &kept).expect("there"), b"abc");
        fs::write(&place, b"abd").expect("written");
        assert!(read(folder.path(), &kept).is_err());
        assert_eq!(keep(folder.path(), "found tooth.jpg", b"abc").expect("mended"), kept);
        assert_eq!(read(folder.path(), &kept).expect("there"), b"abc");
        assert_eq!([plain(".."), plain("a/b\\c.txt"), plain("")], ["file", "c.txt", "file"]);
    }
}
