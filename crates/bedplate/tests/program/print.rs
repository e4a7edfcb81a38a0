//! Documents on paper: set where the program was built for it, and said plainly where it was not.

#[cfg(feature = "paper")]
use super::run::file;
use super::run::{answered, bedplate, folder, vessel};

#[test]
fn what_is_no_document_and_no_paper_is_refused_with_those_there_are() {
    let marram = vessel("marram");
    let ran = bedplate(&["print", &marram, "wallpaper"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("rounds") && ran.err.contains("handbook") && ran.err.contains("all"), "{}", ran.err);
    let ran = bedplate(&["print", &marram, "rounds", "--paper", "a3"]);
    assert!(ran.code == 2 && ran.err.contains("letter"), "{}", ran.err);
    let ran = bedplate(&["print", "nowhere", "rounds"]);
    assert!(ran.code == 2 && ran.err.contains("nowhere"), "{}", ran.err);
}

#[cfg(not(feature = "paper"))]
#[test]
fn without_paper_it_says_how_to_get_it() {
    let out = format!("{}/rounds.pdf", folder("no-paper"));
    let ran = bedplate(&["print", &vessel("marram"), "rounds", "--out", &out]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("this program was built without paper"), "{}", ran.err);
    assert!(ran.err.contains("cargo build --release -p bedplate --features paper"), "{}", ran.err);
    assert!(ran.err.contains("bedplate tour") && !std::path::Path::new(&out).exists(), "{}", ran.err);
    assert!(answered(&["print", "--help"]).contains("--without-name"));
}

#[cfg(feature = "paper")]
mod with_paper {
    use super::*;

    fn pdf(path: &str) -> Vec<u8> {
        let bytes = std::fs::read(path).expect("it was written");
        assert!(bytes.starts_with(b"%PDF-1.7") && bytes.trim_ascii_end().ends_with(b"%%EOF"), "{path} is whole");
        bytes
    }

    #[test]
    fn the_same_day_gives_the_same_file_and_paper_and_name_another() {
        let (marram, folder) = (vessel("marram"), folder("paper-rounds"));
        let print = |name: &str, more: &[&str]| {
            let out = format!("{folder}/{name}.pdf");
            let said = answered(&[&["print", &marram, "rounds", "--out", &out, "--date", "2026-11-26"], more].concat());
            assert!(said.starts_with("Round sheet: ") && said.contains(&out), "{said}");
            pdf(&out)
        };
        let first = print("first", &[]);
        assert_eq!(first, print("again", &[]));
        assert_ne!(first, print("letter", &["--paper", "letter"]));
        assert_ne!(first, print("nameless", &["--without-name"]));
        let whole = String::from_utf8_lossy(&first).into_owned();
        assert!(whole.contains("pdfaid"), "it says of itself that it is PDF/A");
        let nameless = pdf(&format!("{folder}/nameless.pdf"));
        assert!(!String::from_utf8_lossy(&nameless).contains("Marram"), "her name is in the file's own words");
    }

    #[test]
    fn all_are_set_into_a_folder_and_told_to_programs() {
        let folder = format!("{}/of/all", folder("paper-all"));
        let said = answered(&["print", &vessel("marram"), "all", "--out", &folder, "--paper", "letter", "--json"]);
        let told: serde_json::Value = serde_json::from_str(&said).expect("it is JSON");
        let documents = told["documents"].as_array().expect("it lists documents");
        let words: Vec<&str> = documents.iter().filter_map(|one| one["what"].as_str()).collect();
        assert!(words.contains(&"rounds") && words.contains(&"handbook"), "{words:?}");
        for one in documents {
            let bytes = pdf(one["file"].as_str().expect("it says where"));
            assert_eq!(one["bytes"].as_u64(), Some(bytes.len() as u64));
            assert!(one["pages"].as_u64() > Some(0));
        }
    }

    #[test]
    fn what_an_owner_writes_is_set_as_it_is() {
        let text = r##"
[vessel]
name = "#panic() *X* @y <z> $1 \\ 冷却 العربية"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "exchanger", "elbow"]
[gauge.coolant]
at = "engine.coolant-out"
reads = "temperature"
"##;
        let (plant, folder) = (file("paper-odd.toml", text), folder("paper-odd"));
        for what in ["rounds", "handbook", "emergency"] {
            let out = format!("{folder}/{what}.pdf");
            answered(&["print", &plant, what, "--out", &out]);
            pdf(&out);
        }
    }

    #[test]
    fn a_place_that_cannot_be_written_is_told() {
        let ran = bedplate(&["print", &vessel("marram"), "tags", "--out", "/no/such/place/tags.pdf"]);
        assert!(ran.code == 2 && ran.err.contains("/no/such/place/tags.pdf"), "{}", ran.err);
    }
}
