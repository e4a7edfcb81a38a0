//! Entries read back: what stands, and what was corrected by what.

use crate::entry::{Body, Key, Line, Sort};
use std::collections::HashMap;

/// Everything of one sort that was ever written down.
#[derive(Clone, Debug)]
pub struct Diary<T> {
    /// What stands, by time; of one time in the order written.
    pub entries: Vec<Entry<T>>,
    /// What was corrected or taken back, in the order written.
    pub struck: Vec<Struck<T>>,
    /// What could not be read, in words; nothing of it is lost.
    pub unread: Vec<String>,
}

/// An entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry<T> {
    /// What it is called.
    pub key: Key,
    /// When it happened [ms since 1970, UTC].
    pub time: i64,
    /// Who wrote it down, if that was told.
    pub who: Option<String>,
    /// The entry that it stands for instead, if it is a correction.
    pub corrects: Option<Key>,
    /// What it holds.
    pub what: T,
}

/// An entry that no longer stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Struck<T> {
    /// As it was written.
    pub entry: Entry<T>,
    /// The entry that corrects it, or takes it back.
    pub by: Key,
}

impl<T> Default for Diary<T> {
    fn default() -> Diary<T> {
        Diary { entries: Vec::new(), struck: Vec::new(), unread: Vec::new() }
    }
}

/// The entries of one sort among the lines of a store, which are in the order in which they were written; other sorts are
/// passed over.
///
/// Of two entries that correct the same one the later stands, and strikes the earlier. A correction of what is not there
/// stands by itself.
pub fn read<'a, T: Sort>(lines: impl IntoIterator<Item = &'a Line>) -> Diary<T> {
    let mut diary = Diary::default();
    // Written order: entries, and what was taken back.
    let mut written: Vec<Written<T>> = Vec::new();
    for line in lines.into_iter().filter(|line| line.kind == T::KIND) {
        let key = line.key();
        if line.version > T::VERSION {
            let Line { kind, version, .. } = line;
            diary.unread.push(format!("entry {} is of a later version of “{kind}”, {version}", key.0));
            continue;
        }
        match serde_json::from_str::<Body<T>>(&line.body) {
            Ok(Body { who, corrects, what: Some(what) }) => {
                let entry = Entry { key: key.clone(), time: line.time, who, corrects: corrects.clone(), what };
                written.push((key, corrects, Some(entry)));
            }
            Ok(Body { corrects: Some(corrects), what: None, .. }) => written.push((key, Some(corrects), None)),
            Ok(_) => diary.unread.push(format!("entry {} holds nothing", key.0)),
            Err(why) => diary.unread.push(format!("entry {} cannot be read: {why}", key.0)),
        }
    }
    let by = struck_by(&written);
    for (key, _, entry) in written {
        let Some(entry) = entry else { continue };
        match by.get(&key) {
            Some(by) => diary.struck.push(Struck { entry, by: by.clone() }),
            None => diary.entries.push(entry),
        }
    }
    // Stable: of one time, as written.
    diary.entries.sort_by_key(|entry| entry.time);
    diary
}

/// An entry as written: its key, what it corrects, and what it holds if it is not only taken back.
type Written<T> = (Key, Option<Key>, Option<Entry<T>>);

/// Which entries no longer stand, and what each was struck by: of several that correct one, the last stands.
fn struck_by<T>(written: &[Written<T>]) -> HashMap<Key, Key> {
    let mut by: HashMap<Key, Key> = HashMap::new();
    for (key, corrects, _) in written {
        let Some(corrected) = corrects else { continue };
        if let Some(earlier) = by.insert(corrected.clone(), key.clone()) {
            by.entry(earlier).or_insert_with(|| key.clone());
        }
    }
    by
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::digest;
    use serde::{Deserialize, Serialize};

    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    struct Filled {
        litres: f64,
    }

    impl Sort for Filled {
        const KIND: &'static str = "filled";
        const VERSION: u32 = 1;
    }

    fn filled(time: i64, litres: f64, corrects: Option<&Key>) -> Line {
        Line::of(time, Some("A"), corrects, &Filled { litres })
    }

    fn standing(lines: &[Line]) -> Vec<f64> {
        read::<Filled>(lines).entries.iter().map(|entry| entry.what.litres).collect()
    }

    #[test]
    fn a_correction_stands_and_what_it_corrects_is_kept_beside_it() {
        let first = filled(10, 100.0, None);
        let other = filled(5, 7.0, None);
        let second = filled(10, 110.0, Some(&first.key()));
        let third = filled(10, 111.0, Some(&second.key()));
        let diary = read::<Filled>(&[first.clone(), other, second.clone(), third.clone()]);
        let standing: Vec<f64> = diary.entries.iter().map(|entry| entry.what.litres).collect();
        assert_eq!(standing, [7.0, 111.0], "by time, corrected");
        let struck: Vec<(f64, Key)> =
            diary.struck.iter().map(|struck| (struck.entry.what.litres, struck.by.clone())).collect();
        assert_eq!(struck, [(100.0, second.key()), (110.0, third.key())]);
        assert_eq!(diary.entries[1].corrects, Some(second.key()));
        assert_eq!(diary.entries[0].who.as_deref(), Some("A"));
    }

    #[test]
    fn of_two_corrections_of_one_entry_the_later_stands() {
        let first = filled(10, 100.0, None);
        let lines = [first.clone(), filled(10, 1.0, Some(&first.key())), filled(10, 2.0, Some(&first.key()))];
        assert_eq!(standing(&lines), [2.0]);
        assert_eq!(read::<Filled>(&lines).struck.len(), 2);
    }

    #[test]
    fn what_is_taken_back_is_struck_and_what_is_taken_back_wrongly_can_be_written_again() {
        let first = filled(10, 100.0, None);
        let back = Line::taking_back::<Filled>(20, None, &first.key());
        assert_eq!(standing(&[first.clone(), back.clone()]), [] as [f64; 0]);
        let again = filled(10, 100.0, Some(&back.key()));
        assert_eq!(standing(&[first, back, again]), [100.0]);
    }

    #[test]
    fn what_cannot_be_read_is_told_and_hides_nothing_else() {
        let good = filled(10, 100.0, None);
        let with = |version, body: &str| Line { time: 0, kind: "filled".into(), version, body: body.into() };
        let bad = [with(2, "{}"), with(1, r#"{"what":{"litres":"many"}}"#), with(1, "{}"), with(1, "no")];
        let other = Line { kind: "alert".into(), ..bad[0].clone() };
        let lines: Vec<Line> = bad.into_iter().chain([other, good]).collect();
        let diary = read::<Filled>(&lines);
        assert_eq!((diary.entries.len(), diary.unread.len()), (1, 4), "{:?}", diary.unread);
    }

    #[test]
    fn a_correction_of_what_is_not_there_stands_and_one_of_itself_is_impossible() {
        assert_eq!(standing(&[filled(1, 3.0, Some(&Key("nowhere".into())))]), [3.0]);
        // Two that name each other cannot be made, for a key is drawn from all of an entry; written by hand they strike both.
        let loop_of = |key: &str| filled(1, 1.0, Some(&Key(key.into())));
        assert_eq!(standing(&[loop_of("a"), loop_of("b")]).len(), 2);
    }

    #[test]
    fn keys_are_drawn_from_all_of_an_entry_and_the_digest_is_the_standards() {
        // FIPS 180-4, digest of the empty text and of "abc", as published with it.
        assert_eq!(digest(b""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
        assert_eq!(digest(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        let keys: std::collections::HashSet<Key> =
            [filled(1, 1.0, None), filled(2, 1.0, None), filled(1, 1.5, None)].iter().map(Line::key).collect();
        assert_eq!(keys.len(), 3);
    }
}
