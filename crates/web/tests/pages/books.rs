//! Ledger and samples on pages: shown, entered, corrected, taken back; and nonsense refused.

use super::{serve, sound, status};

#[tokio::test]
async fn entries_of_the_ledger_come_by_forms_and_are_shown_corrected_and_taken_back() {
    let served = serve(sound()).await;
    let page = served.get("/work/ledger").await;
    assert!(page.contains("Nothing stands in the ledger yet") && page.contains("<option>fuel</option>"), "{page}");
    for body in [
        "sort=taken&of=fuel&amount=300+L&where=West+%26+East&at=2026-05-03+14%3A00&who=Ada",
        "sort=sounded&of=fuel&amount=40+%25",
        "sort=added&of=sump&amount=0.5+L",
        "sort=meter-changed&of=main&to=1850+h&amount=0+h",
    ] {
        assert_eq!(status(&served.send("/work/ledger", body).await), 303, "{body}");
    }
    let page = served.get("/work/ledger").await;
    for said in ["300 L taken into fuel, West &#38; East", ", Ada", "fuel sounded: 400 L", "topped up in sump"] {
        assert!(page.contains(said), "{said}: {page}");
    }
    let key = |page: &str, about: &str| {
        let before = page.split(about).next().expect("there is a beginning").to_string();
        let at = before.rfind("name=\"key\" value=\"").expect("it has a key") + "name=\"key\" value=\"".len();
        before[at..at + 16].to_string()
    };
    let sounded = key(&page, "fuel sounded: 400 L");
    let form = served.get(&format!("/work/ledger?correct={sounded}")).await;
    assert!(form.contains("stands instead of") && form.contains(&format!("name=\"correct\" value=\"{sounded}\"")));
    let body = format!("sort=sounded&of=fuel&amount=410+L&correct={sounded}");
    assert_eq!(status(&served.send("/work/ledger", &body).await), 303);
    let page = served.get("/work/ledger").await;
    assert!(page.contains("fuel sounded: 410 L") && page.contains("<s>"), "{page}");
    assert_eq!(status(&served.send("/work/ledger", &body).await), 400, "it stands no more");
    let topped = key(&page, "topped up in sump");
    assert_eq!(status(&served.send("/work/ledger", &format!("sort=back&key={topped}")).await), 303);
    assert!(
        !served.get("/work/ledger").await.split("Corrected or taken back").next().expect("text").contains("in sump")
    );
}

#[tokio::test]
async fn a_sheet_is_copied_into_a_form_and_judged() {
    let served = serve(sound()).await;
    assert!(served.get("/work/samples").await.contains("No sample is kept yet"));
    let results =
        "iron+20+ppm%0Asilicon+%3D+6%0Atin+%3C+1+ppm%0Afuel+6.5+%25%0Aviscosity-100+11.2%0Aparticles+17%2F15%2F12";
    let body = format!("of=sump&number=A-7&hours_on_fill=100&hours=1850&grade=15W-40&results={results}");
    let answer = served.send("/work/samples", &body).await;
    assert_eq!(status(&answer), 303, "{answer}");
    let page = served.get("/work/samples").await;
    for said in ["A-7", "6.5 %", "act on it", "17/15/12", "&#60; 1 ppm", "Sump: fuel 6.5 %"] {
        assert!(page.contains(said), "{said}: {page}");
    }
}

#[tokio::test]
async fn nonsense_in_the_books_is_told_and_nothing_is_entered() {
    let served = serve(sound()).await;
    for (path, body) in [
        ("/work/ledger", "sort=taken&of=fuel&amount=lots"),
        ("/work/ledger", "sort=taken&of=nowhere&amount=3+L"),
        ("/work/ledger", "sort=eaten&of=fuel&amount=3+L"),
        ("/work/ledger", "sort=taken&of=fuel&amount=3+L&at=soon"),
        ("/work/ledger", "sort=back&key=ffff"),
        ("/work/ledger", "sort=taken&of=fuel&amount=3+L&correct=ffff"),
        ("/work/ledger", "%"),
        ("/work/samples", "of=sump&results=iron"),
        ("/work/samples", "of=sump&results=iron+many"),
        ("/work/samples", "of=nowhere&results=iron+3"),
        ("/work/samples", "of=sump&results=%22%5D+%3D+3"),
        ("/work/samples", "of=sump&number=%22%0Aof+%3D+3&results=iron+%22%0A3"),
        ("/work/samples", ""),
    ] {
        let answer = served.send(path, body).await;
        assert_eq!(status(&answer), 400, "{body}: {answer}");
        assert!(
            answer.contains("Nothing was entered") || answer.contains("not what this page asks for"),
            "{body}: {answer}"
        );
    }
    assert!(served.get("/work/ledger").await.contains("Nothing stands in the ledger yet"));
    assert!(served.get("/work/samples").await.contains("No sample is kept yet"));
    // Another site's form is refused, as everywhere.
    let foreign = served.post("/work/ledger", "sort=hours&amount=3+h", "http://elsewhere.example").await;
    assert_eq!(status(&foreign), 403);
}
