//! Every piece of a document is set, nothing an owner writes is read as anything but text, and the same gives the same.

use crate::{Paper, Sheet, moment, pdf, set};
use book::document::{Block, Chapter, Document, Span, Step, Table};
use typst::introspection::Tag;
use typst::layout::{Frame, FrameItem, PagedDocument};

const SHEET: Sheet = Sheet { paper: Paper::A4, made: Some(1_795_000_000_000) };

fn document(blocks: Vec<Block>) -> Document {
    Document {
        title: "Handbook".into(),
        vessel: "Marram".into(),
        subtitle: "For whoever is aboard".into(),
        rests_on: "The description of the plant. The maker's manual comes before it.".into(),
        date: "26 November 2026".into(),
        landscape: false,
        chapters: vec![Chapter { title: "One".into(), anchor: "one".into(), new_sheet: false, blocks }],
    }
}

fn said(text: &str) -> Vec<Span> {
    vec![Span::text(text)]
}

fn paged(document: &Document) -> PagedDocument {
    set(document, SHEET).expect("it is set")
}

/// What is written on each page, without the places where a line or a word was broken.
fn written(paged: &PagedDocument) -> Vec<String> {
    fn of(frame: &Frame, out: &mut String) {
        for (_, item) in frame.items() {
            match item {
                FrameItem::Group(group) => of(&group.frame, out),
                FrameItem::Text(text) => *out += &text.text,
                _ => {}
            }
        }
    }
    let mut pages = Vec::new();
    for page in &paged.pages {
        let mut out = String::new();
        of(&page.frame, &mut out);
        pages.push(squeezed(&out));
    }
    pages
}

fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && !matches!(c, '\u{200b}' | '\u{ad}' | '-' | '\u{2010}')).collect()
}

/// How many texts, images and lines stand on all pages, and how many links.
fn counted(paged: &PagedDocument) -> (usize, usize, usize) {
    fn of(frame: &Frame, counts: &mut (usize, usize, usize)) {
        for (_, item) in frame.items() {
            match item {
                FrameItem::Group(group) => of(&group.frame, counts),
                FrameItem::Image(..) => counts.0 += 1,
                FrameItem::Shape(..) => counts.1 += 1,
                FrameItem::Link(..) => counts.2 += 1,
                FrameItem::Text(_) | FrameItem::Tag(Tag::Start(..) | Tag::End(..)) => {}
            }
        }
    }
    let mut counts = (0, 0, 0);
    for page in &paged.pages {
        of(&page.frame, &mut counts);
    }
    counts
}

#[track_caller]
fn says(paged: &PagedDocument, words: &str) {
    let all = written(paged).concat();
    let some: String = all.chars().take(2000).collect();
    assert!(all.contains(&squeezed(words)), "“{words}” is not in {some}");
}

fn step(text: &str, caution: Option<&str>) -> Step {
    Step { text: said(text), caution: caution.map(str::to_string) }
}

#[test]
fn every_piece_says_what_is_in_it() {
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='200' height='100'><path d='M0 0H200' stroke='#000'/>\
               <text x='9' y='50'>In the drawing</text></svg>";
    let table = Table {
        caption: "Valves".into(),
        head: vec!["Valve".into(), "Stands".into()],
        widths: vec![2.0, 1.0],
        figures: vec![false, true],
        rows: vec![vec![said("Seacock"), said("open")], vec![said("Drain")]],
        row_height: Some(9.0),
    };
    let blocks = vec![
        Block::Heading { level: 1, text: "Before starting".into(), anchor: "before".into() },
        Block::Heading { level: 2, text: "On deck".into(), anchor: String::new() },
        Block::Paragraph(vec![
            Span::text("Look at "),
            Span::Strong("the overboard water".into()),
            Span::Link { text: ", as told before".into(), to: "before".into() },
            Span::Link { text: ", or nowhere".into(), to: "no such place".into() },
        ]),
        Block::Steps(vec![step("Shut the seacock", None), step("Open the cover", Some("Hot water may remain."))]),
        Block::List(vec![said("impeller"), said("belt")]),
        Block::Table(table),
        Block::Drawing { svg: svg.into(), caption: "Raw water".into(), width: 0.6 },
        Block::Caution("The shaft turns.".into()),
        Block::Code { content: "bedplate:strainer-port".into(), text: "Strainer, port".into() },
        Block::Lines { text: "Seen".into(), count: 3 },
        Block::Card {
            title: "Fire".into(),
            anchor: "fire".into(),
            blocks: vec![Block::Caution("Do not open the hatch.".into())],
        },
    ];
    let paged = paged(&document(blocks));
    for words in [
        "Handbook",
        "Marram",
        "For whoever is aboard",
        "One",
        "Before starting",
        "On deck",
        "Look at the overboard water, as told before",
        ", or nowhere",
        "1.Shut the seacock",
        "2.",
        "Caution. Hot water may remain.Open the cover",
        "impeller",
        "Valves",
        "ValveStandsSeacockopen",
        "Drain",
        "Raw water",
        "Caution. The shaft turns.",
        "bedplate:strainer-port",
        "Strainer, port",
        "Seen",
        "Fire",
        "Caution. Do not open the hatch.",
        "What it rests on. The description of the plant.",
    ] {
        says(&paged, words);
    }
    let (images, _, links) = counted(&paged);
    assert_eq!((images, links), (2, 1), "the drawing and the code; the one link that leads somewhere");
    assert_eq!(paged.pages.len(), 2, "the card has a sheet of its own");
    assert!(written(&paged)[1].starts_with("Fire"), "{:?}", written(&paged)[1]);
}

#[test]
fn every_page_says_whose_it_is_and_how_many_there_are() {
    let text = "A long sentence about the raw water, said again and again. ".repeat(400);
    let pages = written(&paged(&document(vec![Block::Paragraph(said(&text))])));
    assert!(pages.len() > 2);
    for (k, page) in pages.iter().enumerate() {
        let foot = format!("Marram · Handbook26 November 2026 · page {} of {}", k + 1, pages.len());
        assert!(page.ends_with(&squeezed(&foot)), "{page}");
        assert_eq!(page.contains("Whatitrestson."), k == 0, "once");
    }
}

#[test]
fn a_name_that_is_left_out_leaves_no_gap() {
    let nameless = Document { vessel: String::new(), date: String::new(), ..document(Vec::new()) };
    let pages = written(&paged(&nameless));
    assert_eq!(pages.len(), 1);
    assert!(pages[0].ends_with("Handbookpage1of1"), "{}", pages[0]);
}

#[test]
fn a_table_says_its_heads_on_every_sheet() {
    let rows = (0..120).map(|k| vec![said(&format!("gauge {k}")), said("")]).collect();
    let head = vec!["Gauge".into(), "Reads here".into()];
    let table = Table { head, rows, row_height: Some(9.0), widths: vec![1.0, 3.0], ..Table::default() };
    let pages = written(&paged(&document(vec![Block::Table(table)])));
    // A4 less its margins holds 28 rows of 9 mm.
    assert!((5..=6).contains(&pages.len()), "{} pages", pages.len());
    assert!(pages.iter().all(|page| page.contains("GaugeReadshere")));
}

#[test]
fn contents_come_with_a_book_and_not_with_a_sheet() {
    let chapter =
        |title: &str| Chapter { title: title.into(), anchor: title.into(), new_sheet: true, blocks: Vec::new() };
    let with = |count: usize| Document {
        chapters: ["Oil", "Fuel", "Air", "Shaft", "Bilge"].into_iter().take(count).map(chapter).collect(),
        ..document(Vec::new())
    };
    let book = paged(&with(5));
    let first = &written(&book)[0];
    assert!(first.contains("Contents") && first.contains("Bilge") && first.contains("Whatitrestson."), "{first}");
    assert_eq!(book.pages.len(), 6);
    assert!(counted(&book).2 >= 5, "an entry leads to its chapter");
    let sheet = paged(&with(2));
    assert!(!written(&sheet)[0].contains("Contents"));
}

#[test]
fn a_card_is_set_as_large_as_it_goes() {
    fn largest(frame: &Frame) -> f64 {
        let of = |item: &FrameItem| match item {
            FrameItem::Group(group) => largest(&group.frame),
            FrameItem::Text(text) if text.text.contains("thing") => text.size.to_pt(),
            _ => 0.0,
        };
        frame.items().map(|(_, item)| of(item)).fold(0.0, f64::max)
    }
    let card = |steps: usize| {
        let steps =
            (0..steps).map(|_| step("Do this one thing, and look whether it was done.", Some("It is hot."))).collect();
        let card = Block::Card { title: "Fire".into(), anchor: String::new(), blocks: vec![Block::Steps(steps)] };
        let paged = paged(&Document { rests_on: String::new(), ..document(vec![card]) });
        (paged.pages.len(), paged.pages.iter().map(|page| largest(&page.frame)).fold(0.0, f64::max))
    };
    let (few, many, most) = (card(3), card(18), card(90));
    assert!(few.0 == 2 && many.0 == 2, "one sheet beside the first: {few:?} {many:?}");
    assert!(few.1 > many.1 && many.1 >= 9.0, "{few:?} {many:?}");
    assert!(most.0 > 3 && most.1 == 9.0, "what fits no sheet goes on: {most:?}");
}

#[test]
fn tags_are_cut_out_of_one_sheet() {
    let tag = |name: &str| Block::Tag {
        title: name.into(),
        anchor: name.into(),
        blocks: vec![Block::Caution("Sea.".into())],
    };
    let paged = paged(&document(["V1", "V2", "V3", "V4", "V5"].map(tag).to_vec()));
    assert_eq!(paged.pages.len(), 1);
    assert_eq!(written(&paged)[0].matches("Caution.Sea.").count(), 5);
}

#[test]
fn the_same_gives_the_same_bytes() {
    let document = document(vec![Block::Paragraph(said("Nothing changes."))]);
    let first = pdf(&document, SHEET).expect("it is set");
    assert_eq!(first, pdf(&document, SHEET).expect("it is set"));
    let later = Sheet { made: Some(1_795_000_001_000), ..SHEET };
    assert_ne!(first.pdf, pdf(&document, later).expect("it is set").pdf, "the moment is kept in the file");
    assert!(first.pdf.starts_with(b"%PDF-1.7"));
    let letter = pdf(&document, Sheet { paper: Paper::Letter, ..SHEET }).expect("it is set");
    assert_ne!(first.pdf, letter.pdf);
}

#[test]
fn moments_are_those_of_the_calendar() {
    // 2026-11-18 11:06:40 and others, as `date -u -d @…` has them.
    for (made, y, m, d, h, minute, s) in [
        (1_795_000_000_000, 2026, 11, 18, 11, 6, 40),
        (0, 1970, 1, 1, 0, 0, 0),
        (951_782_400_000, 2000, 2, 29, 0, 0, 0),
        (-1, 1969, 12, 31, 23, 59, 59),
        (4_107_542_399_999, 2100, 2, 28, 23, 59, 59),
    ] {
        let moment = moment(made).expect("it is a moment");
        let got = (moment.year(), moment.month(), moment.day(), moment.hour(), moment.minute(), moment.second());
        assert_eq!(got, (Some(y), Some(m), Some(d), Some(h), Some(minute), Some(s)), "{made}");
    }
    assert_eq!(moment(i64::MAX), None);
    assert_eq!(moment(i64::MIN), None);
}

/// A document with this text in every place that holds one.
fn everywhere(text: &str) -> Document {
    let table = Table {
        caption: text.into(),
        head: vec![text.into(), String::new(), text.into()],
        widths: vec![1.0, f64::NAN, -3.0],
        figures: vec![true],
        rows: vec![vec![said(text)], vec![said(text), said(text), said(text), said(text)], Vec::new()],
        row_height: Some(f64::INFINITY),
    };
    let svg = format!("<svg xmlns='http://www.w3.org/2000/svg' width='90' height='9'>{text}</svg>");
    let link = vec![Span::Link { text: text.into(), to: text.into() }, Span::Strong(text.into())];
    let blocks = vec![
        Block::Heading { level: 200, text: text.into(), anchor: text.into() },
        Block::Heading { level: 0, text: text.into(), anchor: text.into() },
        Block::Paragraph(link.clone()),
        Block::Steps(vec![Step { text: link.clone(), caution: Some(text.into()) }, step("", Some(""))]),
        Block::List(vec![link.clone(), Vec::new()]),
        Block::List(Vec::new()),
        Block::Steps(Vec::new()),
        Block::Table(table),
        Block::Table(Table::default()),
        Block::Drawing { svg, caption: text.into(), width: f64::NAN },
        Block::Caution(text.into()),
        Block::Code { content: text.into(), text: text.into() },
        Block::Lines { text: text.into(), count: 2 },
    ];
    let inner = Block::Card { title: text.into(), anchor: text.into(), blocks: blocks.clone() };
    let mut outer = blocks.clone();
    outer.push(inner);
    outer.push(Block::Tag { title: text.into(), anchor: text.into(), blocks: blocks.clone() });
    let mut all = blocks.clone();
    all.push(Block::Tag { title: text.into(), anchor: text.into(), blocks });
    all.push(Block::Card { title: text.into(), anchor: text.into(), blocks: outer });
    let chapter = Chapter { title: text.into(), anchor: text.into(), new_sheet: true, blocks: all };
    Document {
        title: text.into(),
        vessel: text.into(),
        subtitle: text.into(),
        rests_on: text.into(),
        date: text.into(),
        landscape: text.len().is_multiple_of(2),
        chapters: vec![chapter.clone(), Chapter { title: String::new(), blocks: Vec::new(), ..chapter }],
    }
}

#[test]
fn no_text_is_read_as_anything_but_text() {
    let long = "W".repeat(3000);
    for text in [
        r#"#panic("read as code") #read("/etc/passwd") $x^2$ *not bold* _nor this_ `raw` @one <one> = no heading"#,
        r#"\ \u{41} ~ -- --- ... "quoted" 'quoted' // no comment /* nor this */ https://example.invalid/ [] {} () ; :"#,
        "#{sys.inputs} #include \"x\" %PDF-1.7 endstream endobj ) >> /JS (app.alert) ${x} {{ x }} <script>",
        "- a\n+ b\n/ c: d\n\n== e\r\n\tf",
        "تبريد المحرك and קירור מנוע and 冷却水 and 😀👩‍🔧🇳🇱 and e\u{301}\u{301} and \u{202e}turned\u{202c}",
        "\u{0}\u{1}\u{7f}\u{85}\u{feff}\u{fffe}\u{ffff}\u{e000}\u{10ffff}\u{fff9}\u{1d173}\u{e0041}\u{fe0f}\u{200d}",
        "<text x='1' y='5'>&#x4e2d;&#0;&#xfffe;&#99999999999;&#; \u{4e2d}</text><image href='/etc/passwd'/>",
        "<style>@media { a { b</style>",
        "<style>@import url(//example.invalid); .a { fill: var(--",
        "&undefined; <![CDATA[ ]]> <!DOCTYPE x [<!ENTITY a 'b'>]> -->",
        long.as_str(),
        "",
        " ",
    ] {
        let document = everywhere(text);
        let printed = pdf(&document, SHEET).unwrap_or_else(|why| panic!("{text:?}: {why}"));
        assert!(printed.pages > 0);
        let paged = paged(&document);
        // Words that run from the right stand in the order in which they are seen.
        for word in crate::plain::Plain::default().line(text).split_whitespace() {
            says(&paged, word);
        }
    }
}

/// The fractional part of a hash of its number: draws that are the same everywhere.
fn draw(seed: u64) -> u64 {
    let mut x = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
    x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

#[test]
fn no_text_that_can_be_drawn_stops_the_press() {
    const MARKS: &str = "#$*@<>\\\"'`_~=+-/[](){}&;:%^| \n\tab19éЖאبहि中😀\u{301}\u{200d}\u{202e}\u{e000}";
    let marks: Vec<char> = MARKS.chars().collect();
    for round in 0..24_u64 {
        let seed = draw(round) | 1;
        let sign = |k: u64| match draw(seed.wrapping_mul(k + 7)) {
            // Any sign at all, now and then.
            drawn if drawn.is_multiple_of(5) => char::from_u32((drawn >> 8) as u32 % 0x11_0000).unwrap_or('x'),
            drawn => marks[(drawn >> 8) as usize % marks.len()],
        };
        let text: String = (0..draw(seed) % 60).map(sign).collect();
        let printed = pdf(&everywhere(&text), SHEET);
        assert!(printed.is_ok(), "round {round}: {text:?}: {printed:?}");
    }
}
