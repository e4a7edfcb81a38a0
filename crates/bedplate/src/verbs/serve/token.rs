//! The token: made once, kept in the vessel's folder for the owner's eyes alone.

use crate::stop::Stop;
use std::fs::{File, OpenOptions};
use std::io::{self, Read as _, Write as _};
use std::path::Path;

/// The file that keeps it.
const FILE: &str = "token";
/// Letters and digits that are not taken for one another.
const LETTERS: &[u8; 31] = b"abcdefghjkmnpqrstuvwxyz23456789";
/// Sixteen of them cannot be guessed: 79 bits.
const LENGTH: usize = 16;
/// A token of one's own has at least so many letters and digits.
const SHORTEST: usize = 12;
/// What group and others may do with a file, in its mode.
const OTHERS: u32 = 0o077;
/// Longest file that is read [bytes].
const LONGEST: u64 = 1_000;

/// A token, and whether it was made just now.
pub struct Token {
    /// As it is typed.
    pub text: String,
    /// Made just now: it is to be printed.
    pub new: bool,
    /// Whether it will be the same next time.
    pub kept: bool,
}

/// The token of a vessel's folder; a new one if there is none.
///
/// # Errors
/// [`Stop::BadInput`] if there is a file that holds none, or that others may read.
pub fn of(folder: &Path) -> Result<Token, Stop> {
    let path = folder.join(FILE);
    match File::open(&path) {
        Ok(file) => Ok(Token { text: read(file, &path)?, new: false, kept: true }),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            let text = made()?;
            let kept = keep(&path, &text).is_ok();
            Ok(Token { text, new: true, kept })
        }
        Err(error) => Err(refused(&path, &format!("it cannot be read: {error}"), "Look at its rights.")),
    }
}

fn refused(path: &Path, what: &str, advice: &str) -> Stop {
    Stop::BadInput(format!("{}: fault: {what}\n  {advice}", path.display()))
}

fn read(file: File, path: &Path) -> Result<String, Stop> {
    private(&file, path)?;
    let mut text = String::new();
    file.take(LONGEST)
        .read_to_string(&mut text)
        .map_err(|error| refused(path, &format!("it cannot be read: {error}"), "Take it away: a new one is made."))?;
    let text = text.trim().to_string();
    if text.chars().filter(char::is_ascii_alphanumeric).count() < SHORTEST {
        let advice = "Take the file away: a new token is made, and printed once.";
        return Err(refused(path, &format!("a token has {SHORTEST} letters and digits or more"), advice));
    }
    Ok(text)
}

/// What others may read is no secret.
#[cfg(unix)]
fn private(file: &File, path: &Path) -> Result<(), Stop> {
    use std::os::unix::fs::MetadataExt as _;
    let mode = file.metadata().map_or(OTHERS, |metadata| metadata.mode());
    if mode & OTHERS == 0 {
        return Ok(());
    }
    Err(refused(path, "others than its owner may read it", "Take that away: chmod 600."))
}

#[cfg(not(unix))]
fn private(_: &File, _: &Path) -> Result<(), Stop> {
    Ok(())
}

fn keep(path: &Path, text: &str) -> io::Result<()> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    // Half a token would keep her from being served next time.
    writeln!(file, "{text}").and_then(|()| file.sync_all()).inspect_err(|_| drop(std::fs::remove_file(path)))
}

/// Drawn by the system, each letter as likely as any other.
fn made() -> Result<String, Stop> {
    let mut text = String::new();
    let mut letters = 0;
    while letters < LENGTH {
        let mut bytes = [0; 32];
        getrandom::fill(&mut bytes)
            .map_err(|error| Stop::NoAnswer(format!("the system gives no random numbers for a token: {error}")))?;
        // Five bits tell one more than there are letters; that one is passed over, so that all are alike.
        for byte in bytes {
            let Some(letter) = LETTERS.get(usize::from(byte & 31)).filter(|_| letters < LENGTH) else { continue };
            if letters > 0 && letters % 4 == 0 {
                text.push('-');
            }
            text.push(char::from(*letter));
            letters += 1;
        }
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_is_made_once_for_the_owner_alone() {
        let folder = tempfile::tempdir().expect("a folder");
        let first = of(folder.path()).expect("it is made");
        assert!(first.new && first.kept && first.text.len() == 19, "{}", first.text);
        let again = of(folder.path()).expect("it is there");
        assert!(!again.new && again.text == first.text);
        let other = tempfile::tempdir().expect("a folder");
        assert_ne!(of(other.path()).expect("it is made").text, first.text);
    }

    #[cfg(unix)]
    #[test]
    fn what_others_may_read_or_is_too_short_is_no_token() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join(FILE);
        of(folder.path()).expect("it is made");
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o644)).expect("it is ours");
        assert!(of(folder.path()).is_err_and(|stop| stop.to_string().contains("chmod 600")));
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o600)).expect("it is ours");
        std::fs::write(&path, "short\n").expect("it is ours");
        assert!(of(folder.path()).is_err_and(|stop| stop.to_string().contains("12 letters")));
    }
}
