//! Documents on paper, as a browser asks for them.

use super::{serve, serve_with, sound, status};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

#[tokio::test]
async fn documents_are_printed_one_at_a_time_as_they_are_wanted() {
    let (busy, most) = (AtomicUsize::new(0), Arc::new(AtomicUsize::new(0)));
    let seen = most.clone();
    let served = serve_with(
        sound(),
        Some(Arc::new(move |document: &book::document::Document, letter| {
            seen.fetch_max(busy.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
            std::thread::sleep(Duration::from_millis(30));
            busy.fetch_sub(1, Ordering::SeqCst);
            if document.title.contains("Tour") || document.title.contains("tour") {
                return Err("the paper <tore>".into());
            }
            Ok(format!("%PDF {} of {:?}, letter {letter}", document.title, document.vessel).into_bytes())
        })),
    )
    .await;
    let page = served.get("/print").await;
    assert!(page.contains("Round sheet") && page.contains("formaction=\"/print/rounds.pdf\""), "{page}");
    let pdf = served.get("/print/rounds.pdf").await;
    assert_eq!(status(&pdf), 200);
    assert!(pdf.contains("content-type: application/pdf") && pdf.contains("of \"Marram\", letter false"), "{pdf}");
    let pdf = served.get("/print/rounds.pdf?paper=letter&name=out").await;
    assert!(pdf.contains("of \"\", letter true"), "{pdf}");
    for (address, code) in [
        ("/print/rounds.pdf?paper=a3", 400),
        ("/print/rounds.pdf?paper=a4&paper=a4", 400),
        ("/print/rounds", 404),
        ("/print/elsewhere.pdf", 404),
        ("/print/..%2Frounds.pdf", 404),
        ("/print/%ff.pdf", 404),
        ("/print/tour.pdf", 500),
    ] {
        let answer = served.get(address).await;
        assert_eq!(status(&answer), code, "{address}: {answer}");
    }
    assert!(served.get("/print/tour.pdf").await.contains("It could not be printed: the paper &#60;tore&#62;."));
    tokio::join!(served.get("/print/rounds.pdf"), served.get("/print/rounds.pdf"), served.get("/print/rounds.pdf"));
    assert_eq!(most.load(Ordering::SeqCst), 1);
}

#[tokio::test]
async fn a_program_without_paper_says_so() {
    let served = serve(sound()).await;
    assert!(served.get("/print").await.contains("built without paper"));
    let answer = served.get("/print/rounds.pdf").await;
    assert_eq!(status(&answer), 501);
    assert!(answer.contains("cargo build --release --features paper"), "{answer}");
}
