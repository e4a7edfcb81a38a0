//! What is told besides readings and words, what contradicts itself, and what cannot be.

use crate::{read, shown, small_plant};
use plant::evidence::Came;
use plant::finding::Finding;

#[test]
fn how_it_came_since_when_and_that_the_sister_is_well_are_read() {
    let plant = small_plant();
    let told = |came: &str, sister: &str, since: &str| {
        format!(
            "came = {came}\nsister = {sister}\n[[occasion]]\nsaid = [\"oil-alarm.on\"]\n\
             [[work]]\npart = \"raw-pump\"\nhours-ago = 2\nsince = {since}\n"
        )
    };
    let (evidence, findings) = read(&told("\"at once\"", "\"well\"", "true"), &plant);
    // One engine is described: another must be meant, or nothing is.
    let alone = |finding: &Finding| finding.problem.to_string().contains("`sister` speaks of another engine");
    assert!(findings.len() == 1 && alone(&findings[0]) && !findings[0].is_fatal(), "{findings:?}");
    assert_eq!(evidence.came, Some(Came::AtOnce));
    assert!(evidence.sister_well && evidence.work[0].since);
    let nearest = |came: &str, sister: &str, since: &str| {
        let mut findings = read(&told(came, sister, since), &plant).1;
        findings.retain(|finding| !alone(finding));
        assert_eq!(findings.len(), 1, "{findings:?}");
        shown(&findings, &told(came, sister, since), "a")
    };
    assert!(nearest("\"by degree\"", "\"well\"", "true").contains("by degrees"));
    assert!(nearest("\"at once\"", "\"sick\"", "true").contains("well"));
    nearest("\"at once\"", "\"well\"", "\"launch\"");
    assert!(read("sister = \"well\"\n", &plant).1.iter().any(Finding::is_fatal), "tells of no trouble");
}

#[test]
fn how_warm_she_was_and_that_nothing_else_was_there_are_read() {
    let plant = small_plant();
    let told = |only| format!("[[occasion]]\nat = {{ eased-from = \"1500 rpm\" }}\nsaid = [\"oil-alarm.on\"]\n{only}");
    let (evidence, findings) = read(&told("nothing-else = true"), &plant);
    assert!(findings.is_empty() && evidence.occasions[0].nothing_else);
    assert!(evidence.occasions[0].at.eased_from.is_some_and(|speed| (speed - 157.08).abs() < 0.01));
    assert!(!read(&told("nothing-else = \"yes\""), &plant).1.is_empty());
}

#[test]
fn what_contradicts_itself_is_pointed_out_with_place_and_remedy() {
    let plant = small_plant();
    let shown_of = |text: &str| shown(&read(text, &plant).1, text, "e.toml");
    let contrary = "[[occasion]]\nsaid = [\"engine.hotter than usual\", \"engine.cooler than usual\"]\n";
    let text = shown_of(contrary);
    assert!(
        text.contains("e.toml:2:") && text.contains("each is the other's contrary") && text.contains("of its own"),
        "{text}"
    );
    let check =
        |found: &str| format!("[[check]]\npart = \"strainer-port\"\ncheck = \"open_and_look\"\nfound = \"{found}\"\n");
    let occasion = "[[occasion]]\nsaid = [\"engine.hot\"]\n";
    let two = shown_of(&format!("{occasion}{}{}", check("clean"), check("blocked")));
    assert!(
        two.contains("e.toml:7:") && two.contains("told twice and found two things") && two.contains("both are"),
        "{two}"
    );
    let (evidence, findings) = read(&format!("{occasion}{}{}", check("clean"), check("clean")), &plant);
    assert_eq!((evidence.checks.len(), findings.len()), (1, 1), "a check told twice alike is one");
    let renewal = |result: &str| format!("[[renewed]]\npart = \"raw-pump.impeller\"\nresult = \"{result}\"\n");
    let two = shown_of(&format!("{occasion}{}{}", renewal("cured"), renewal("no change")));
    assert!(
        two.contains("e.toml:6:") && two.contains("`raw-pump.impeller` is told twice and came out two ways"),
        "{two}"
    );
    let (evidence, findings) = read(&format!("{occasion}{}{}", renewal("cured"), renewal("cured")), &plant);
    assert_eq!((evidence.renewed.len(), findings.len()), (1, 1), "a renewal told twice alike is one");
    let far = shown_of("[situation]\nhaven-hours = 100000\n[[occasion]]\nsaid = [\"engine.hot\"]\n");
    assert!(far.contains("`haven-hours` cannot be 100000") && far.contains("0 h to 1000 h"), "{far}");
    assert_eq!(shown_of(&format!("{occasion}{}", check("clean"))), "");
}

#[test]
fn what_no_gauge_can_show_is_refused() {
    let plant = small_plant();
    let fatal = |reading: &str| {
        let text = format!("[[occasion]]\nreadings = {{ {reading} }}\n");
        let findings = read(&text, &plant).1;
        assert!(findings.iter().all(|finding| !finding.places.is_empty()), "{findings:?}");
        findings.iter().any(Finding::is_fatal)
    };
    assert!(fatal("coolant = \"900 C\"") && !fatal("coolant = \"130 C\""));
    // Full vacuum is 1.013 bar under the atmosphere; nothing is less.
    assert!(fatal("oil-pressure = \"-1.2 bar\"") && !fatal("oil-pressure = \"-0.2 bar\""));
}
