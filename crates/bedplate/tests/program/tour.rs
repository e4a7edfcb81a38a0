//! The tour as a folder of pages, on good, bad and absurd input.

use crate::run::{answered, bedplate, file, folder, vessel};
use serde_json::Value;
use std::path::Path;

fn pages(folder: &str) -> Vec<(String, String)> {
    let entries = std::fs::read_dir(folder).expect("it was written");
    let page = |path: std::path::PathBuf| {
        let name = path.file_name().expect("a file").to_string_lossy().into_owned();
        (name, std::fs::read_to_string(path).expect("text"))
    };
    entries.map(|entry| page(entry.expect("a file").path())).collect()
}

/// A folder that is not there yet.
fn fresh(name: &str) -> String {
    let folder = folder(name);
    std::fs::remove_dir_all(&folder).expect("left by the run before");
    folder
}

#[test]
fn a_folder_of_pages_is_written_that_needs_nothing_else() {
    let to = fresh("tour-marram");
    let said = answered(&["tour", &vessel("marram"), "--pages", &to]);
    let pages = pages(&to);
    assert!(said.contains(&format!("{} pages are written", pages.len())) && said.contains("index.html"), "{said}");
    assert!(pages.iter().any(|(name, text)| name == "index.html" && text.contains("Marram")));
    assert!(pages.iter().any(|(_, text)| text.contains("Port seacock") && text.contains("port bilge")));
    assert!(pages.iter().all(|(_, text)| !text.contains("http") && !text.contains("<script")));
}

#[test]
fn its_name_is_left_out_on_request_and_programs_are_told_what_was_written() {
    let to = fresh("tour-nameless");
    let told = answered(&["tour", &vessel("marram"), "--pages", &to, "--nameless", "--json"]);
    let told: Value = serde_json::from_str(&told).expect("it is JSON");
    let pages = pages(&to);
    assert!(pages.iter().all(|(_, text)| !text.contains("Marram")));
    assert_eq!((&told["vessel"], &told["version"]), (&Value::from(""), &Value::from(1)));
    let files = told["files"].as_array().expect("a list");
    assert_eq!(files.len(), pages.len());
    assert_eq!(files[0], "index.html");
    assert!(files.iter().all(|name| Path::new(&to).join(name.as_str().expect("a name")).exists()));
}

#[test]
fn what_cannot_be_used_is_refused_with_place_and_remedy() {
    let ran = bedplate(&["tour", "no-such-vessel", "--pages", &fresh("tour-none")]);
    assert_eq!(ran.code, 2, "{}", ran.err);
    let taken = file("tour-is-a-file", "a file");
    let ran = bedplate(&["tour", &vessel("marram"), "--pages", &taken]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("cannot be made") && ran.err.contains("Give another"), "{}", ran.err);
    // A procedure that names what is not there: at its line, with the nearest name.
    let own = folder("tour-procedures");
    std::fs::create_dir_all(format!("{own}/procedures")).expect("a folder for tests");
    std::fs::copy(format!("{}/vessel.toml", vessel("marram")), format!("{own}/vessel.toml")).expect("it is shipped");
    std::fs::write(format!("{own}/procedures/start.md"), "# Start\n\nOpen {seacock-prot}.\n")
        .expect("a folder for tests");
    let ran = bedplate(&["tour", &own, "--pages", &fresh("tour-own")]);
    assert_eq!(ran.code, 2);
    for says in ["start.md:3:6", "seacock-prot", "Did you mean `seacock-port`?"] {
        assert!(ran.err.contains(says), "{}", ran.err);
    }
}
