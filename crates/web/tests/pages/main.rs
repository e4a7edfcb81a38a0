//! The pages as a browser gets them: over a real socket, from a real watch of the demonstration vessel.

mod books;
mod desk;
mod paper;

use alerts::Deed;
use model::steady::Model;
use plant::evidence::{Found, Named, Renewal, RenewalResult, Situation, ToldPoint};
use plant::plant::Plant;
use std::sync::{Arc, Mutex, OnceLock};
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch as channel;
use watch::picture::{Entry, Picture};
use watch::recent::Reading;
use watch::watch::Watch;
use web::{Access, Ask, Order, Press, Scene, Ship, Simulated};

const MARRAM: &str = include_str!("../../../../vessels/marram/vessel.toml");

fn plant() -> Arc<Plant> {
    static PLANT: OnceLock<Arc<Plant>> = OnceLock::new();
    PLANT.get_or_init(|| Arc::new(plant::reader::read(MARRAM).0.expect("the demonstration vessel loads"))).clone()
}

/// A watch that was handed what a sound vessel reads at cruise for a quarter of an hour.
fn watched() -> Watch {
    let plant = plant();
    let mut model = Model::new(&plant).expect("it has a structure");
    let cruise = model::point::told(&plant, &ToldPoint::default()).0;
    let figures = model.figures.clone();
    let state = model.solve(&figures, &cruise, None).expect("it has a state at cruise");
    let mut watch = Watch::new(plant.clone(), true).expect("it can be watched");
    for beat in 0..90 {
        let at = 10.0 * f64::from(beat);
        for gauge in plant.gauge_ids() {
            let sound = model.read(&state, plant[gauge].tap);
            let value = if plant[gauge].trips.is_some() { 0.0 } else { sound };
            watch.take(Reading { gauge, value, at });
        }
        watch.tick(at);
        while let Some(job) = watch.job() {
            watch.done(job.run(&plant));
        }
    }
    watch
}

/// The vessel with nothing wrong; weighed once for all tests.
fn sound() -> Arc<Picture> {
    static PICTURE: OnceLock<Arc<Picture>> = OnceLock::new();
    PICTURE.get_or_init(|| watched().picture()).clone()
}

/// Pages served on a port of their own, and what was asked of them.
struct Served {
    port: u16,
    asked: Arc<Mutex<Vec<Ask>>>,
    scenes: channel::Sender<Arc<Scene>>,
}

async fn serve(picture: Arc<Picture>) -> Served {
    serve_with(picture, None).await
}

async fn serve_with(picture: Arc<Picture>, press: Option<Arc<Press>>) -> Served {
    let scene = Scene { picture, simulated: Some(Simulated { pace: 30.0, wrong: None }), aboard: None, asked: 0 };
    let (scenes, seen) = channel::channel(Arc::new(scene));
    let asked = Arc::new(Mutex::new(Vec::new()));
    let (dealt, latest) = (scenes.clone(), asked.clone());
    // What is asked is dealt with at once, as far as the pages can tell.
    let ask = move |ask| {
        dealt.send_modify(|scene| {
            let asked = scene.asked + 1;
            *scene = Arc::new(Scene { asked, ..Scene::clone(scene) });
        });
        latest.lock().map(|mut list| list.push(ask)).is_ok()
    };
    let listener = TcpListener::bind("127.0.0.1:0").await.expect("a port is free");
    let port = listener.local_addr().expect("it is bound").port();
    let desk = Arc::new(desk::InMemory::default());
    let ship = Ship { scenes: seen, ask: Arc::new(ask), board: None, desk, asked: Arc::default(), press };
    tokio::spawn(web::serve(listener, ship, Access::default()));
    Served { port, asked, scenes }
}

impl Served {
    /// Sends a request as it stands and reads all that comes back.
    async fn raw(&self, request: &str) -> String {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).await.expect("it listens");
        stream.write_all(request.as_bytes()).await.expect("it takes a request");
        let mut answer = Vec::new();
        // A server that has seen enough may close before all was sent.
        let _ = stream.read_to_end(&mut answer).await;
        String::from_utf8_lossy(&answer).into_owned()
    }

    async fn get(&self, path: &str) -> String {
        let port = self.port;
        self.raw(&format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n")).await
    }

    async fn post(&self, path: &str, body: &str, origin: &str) -> String {
        let port = self.port;
        let origin = if origin.is_empty() { String::new() } else { format!("Origin: {origin}\r\n") };
        let length = body.len();
        self.raw(&format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n{origin}Content-Type: application/x-www-form-urlencoded\r\n\
             Content-Length: {length}\r\nConnection: close\r\n\r\n{body}"
        ))
        .await
    }

    async fn send(&self, path: &str, body: &str) -> String {
        self.post(path, body, &format!("http://127.0.0.1:{}", self.port)).await
    }

    fn asked(&self) -> Vec<Ask> {
        self.asked.lock().expect("nobody panicked").clone()
    }
}

fn status(answer: &str) -> u16 {
    answer.split_whitespace().nth(1).and_then(|code| code.parse().ok()).unwrap_or(0)
}

#[tokio::test]
async fn while_something_stands_to_be_done_nothing_is_to_be_left_alone() {
    let line = "Ease to idle in gear.".to_string();
    let act = vec![diagnosis::act::Act { line, because: "coolant is past its limit".into() }];
    let served = serve(Arc::new(Picture { act, ..Picture::clone(&sound()) })).await;
    let page = served.get("/causes").await;
    assert!(page.contains("What stands above comes first"), "{page}");
    for idle in ["Leave it until", "Most likely nothing is wrong", "Nothing is asked for"] {
        assert!(!page.contains(idle), "{idle}");
    }
    assert!(serve(sound()).await.get("/causes").await.contains("Nothing is asked for"), "with nothing to be done");
}

#[tokio::test]
async fn what_is_no_form_gets_a_page_that_says_so() {
    let served = serve(sound()).await;
    for (path, body) in
        [("/words", "what=hot"), ("/checks", "%"), ("/theme", "x=1"), ("/simulator", ""), ("/situation", "a")]
    {
        let answer = served.send(path, body).await;
        assert_eq!(status(&answer), 400, "{path}: {answer}");
        assert!(answer.contains("<html") && answer.contains("not what this page asks for"), "{path}: {answer}");
        assert!(!answer.contains("deserialize"), "{path}");
    }
    assert!(served.asked().is_empty());
}

const PAGES: [&str; 7] = [
    "/",
    "/plant",
    "/plant?part=strainer-port",
    "/plant?circuit=oil&fit=yes",
    "/plant/margins",
    "/causes",
    "/simulator",
];

#[tokio::test]
async fn every_page_is_there_says_that_it_is_simulated_and_keeps_to_itself() {
    let served = serve(sound()).await;
    for path in PAGES {
        let answer = served.get(path).await;
        assert_eq!(status(&answer), 200, "{path}");
        let (head, body) = answer.split_once("\r\n\r\n").expect("a head and a body");
        let head = head.to_lowercase();
        assert!(head.contains("content-security-policy: default-src 'none'; script-src 'self'"), "{path}: {head}");
        assert!(head.contains("x-content-type-options: nosniff"), "{path}");
        assert!(body.contains("Marram") && body.contains("Simulated"), "{path}");
        assert!(!body.contains("style=\"") && !body.contains("onclick"), "{path}: something is inline");
        assert_eq!(body.matches("<script").count(), body.matches("<script src=\"/assets/").count(), "{path}");
        let elsewhere = body.replace("http://www.w3.org/2000/svg", "");
        assert!(!elsewhere.contains("http://") && !elsewhere.contains("https://"), "{path} leads elsewhere");
        assert_eq!(body.matches("<h1").count(), 1, "{path}");
    }
    for asset in ["/assets/style.css", "/assets/live.js", "/assets/icon.svg"] {
        assert_eq!(status(&served.get(asset).await), 200, "{asset}");
    }
}

#[tokio::test]
async fn now_shows_every_gauge_and_a_verdict() {
    let body = serve(sound()).await.get("/").await;
    for gauge in &plant().gauges {
        let name = gauge.name.replace('-', " ");
        assert!(body.to_lowercase().contains(&name), "{name} is missing");
    }
    assert!(body.contains("All is well"), "a sound vessel is not called well");
    assert!(body.contains("class=\"bracket\"") && body.contains("class=\"tick\""));
}

#[tokio::test]
async fn only_this_machine_s_own_pages_may_ask() {
    let served = serve(sound()).await;
    let port = served.port;
    for host in ["evil.example", &format!("evil.example:{port}"), "127.0.0.1:1", ""] {
        let answer = served.raw(&format!("GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n")).await;
        assert_eq!(status(&answer), 421, "{host}");
        assert!(!answer.contains("Marram"), "{host} was told something");
    }
    for origin in ["", "null", "http://evil.example", "https://127.0.0.1", "http://127.0.0.1:1"] {
        let answer = served.post("/simulator", "order=mend", origin).await;
        assert_eq!(status(&answer), 403, "{origin}");
    }
    assert!(served.asked().is_empty(), "something was asked: {:?}", served.asked());
}

#[tokio::test]
async fn what_is_sent_is_read_against_the_plant() {
    let served = serve(sound()).await;
    let plant = plant();
    let strainer = Named::Part(plant.part("strainer-port").expect("it is there"));
    let kind = diagnosis::hypothesis::kind_of(&plant, strainer);
    let (check, word) = (kind.checks[0].name, kind.words[0].name);
    let found = format!("of=strainer-port&check={check}&found=blocked");
    for (path, body) in [
        ("/checks", found.as_str()),
        ("/words", &format!("word=strainer-port.{}&there=no", word.replace(' ', "+"))),
        ("/repairs", "of=strainer-port&cause=blocked&result=no+change"),
        ("/repairs", "of=strainer-port&cause=blocked&result=do"),
        ("/repairs", "of=strainer-port&cause=blocked&result=back"),
        ("/situation", "place=lee&hours=2.5"),
        ("/situation", "place=port&hours=2.5"),
        ("/simulator", "order=fault&cause=strainer-port.blocked&severity=85"),
        ("/cleared", ""),
    ] {
        assert_eq!(status(&served.send(path, body).await), 303, "{path} {body}");
    }
    let cause = kind.causes.iter().position(|cause| cause.name == "blocked").expect("it can be blocked");
    let cleaned = kind.causes[cause].remedy.to_string();
    assert_eq!(
        served.asked(),
        [
            Ask::Entry(Entry::Checked { of: strainer, check: 0, found: Found::Cause(cause) }),
            Ask::Entry(Entry::Said { of: strainer, word: 0, there: false }),
            Ask::Entry(Entry::Repaired(Renewal {
                of: strainer,
                what: cleaned.clone(),
                result: RenewalResult::NoChange
            })),
            Ask::Order(Order::Repair { of: strainer, cause }),
            Ask::Entry(Entry::Unrepaired { of: strainer, what: cleaned }),
            Ask::Entry(Entry::Situated(Situation { at_sea: true, cannot_stop: true, haven_hours: Some(2.5) })),
            Ask::Entry(Entry::Situated(Situation::default())),
            Ask::Order(Order::Fault { what: diagnosis::hypothesis::What::Cause(strainer, cause), severity: 0.85 }),
            Ask::Entry(Entry::Cleared),
        ]
    );
}

#[tokio::test]
async fn nonsense_is_told_what_is_wrong_and_nothing_is_entered() {
    let served = serve(sound()).await;
    for (path, body, words) in [
        ("/checks", "of=strainer-prot&check=look&found=clean", "Did you mean “strainer-port”?"),
        ("/checks", "of=strainer-port&check=pray&found=clean", "no check “pray”"),
        ("/checks", "of=strainer-port", "not what this page asks for"),
        ("/checks", "%ff%00=&&&", "not what this page asks for"),
        ("/repairs", "of=strainer-port&cause=bent&result=cured", "no way in which strainer-port fails"),
        ("/repairs", "of=strainer-port&cause=blocked&result=perhaps", "does not say what it changed"),
        ("/situation", "place=moon&hours=", "does not say where she is"),
        ("/situation", "place=sea&hours=-1", "out of range"),
        ("/words", "word=hot&there=yes", "does not name a part"),
        ("/words", "word=main.purple&there=yes", "nothing that is said of main"),
        ("/simulator", "order=fault&cause=strainer-port.blocked&severity=NaN", "out of range"),
        ("/simulator", "order=fault&cause=strainer-port.blocked&severity=1e9", "out of range"),
        ("/simulator", "order=fault&cause=strainer-port.blocked&severity=", "no number"),
        ("/simulator", "order=pace&pace=0", "out of range"),
        ("/simulator", "order=sink", "does not know “sink”"),
        ("/simulator", "order=<script>alert(1)</script>", "&#60;script&#62;"),
    ] {
        let answer = served.send(path, body).await;
        assert_eq!(status(&answer), 400, "{path} {body}");
        assert!(answer.contains(words), "{path} {body}: {}", answer.split("<h1>").nth(1).unwrap_or(&answer));
        assert!(answer.contains("Nothing was entered"));
    }
    let long = format!("word={}&there=yes", "a".repeat(100_000));
    let answer = served.send("/words", &long).await;
    assert!((400..500).contains(&status(&answer)), "{}", status(&answer));
    for path in [
        "/nowhere",
        "/plant?part=kraken",
        "/plant?circuit=wine",
        "/live/nowhere",
        "/plant?part=%3Cscript%3E",
        "/../etc/passwd",
    ] {
        let answer = served.get(path).await;
        assert_eq!(status(&answer), 404, "{path}");
        assert!(!answer.contains("<script>"), "{path}");
    }
    let twice = served.get("/plant?part=a&part=b").await;
    assert!(status(&twice) == 400 && twice.contains("at a time"), "{}", status(&twice));
    assert!(served.asked().is_empty());
}

#[tokio::test]
async fn the_theme_is_kept_and_leads_nowhere_else() {
    let served = serve(sound()).await;
    let answer = served.send("/theme", "theme=night&here=/causes").await;
    assert!(answer.contains("theme=night;") && answer.contains("location: /causes"), "{answer}");
    for here in ["//evil.example/", "/\\evil.example/", "http://evil.example/", "/%0d%0aX: y", ""] {
        let answer = served.send("/theme", &format!("theme=day&here={here}")).await;
        assert!(answer.contains("location: /\r\n"), "{here}: {answer}");
    }
    let port = served.port;
    let request =
        format!("GET / HTTP/1.1\r\nHost: localhost:{port}\r\nCookie: a=b; theme=dark\r\nConnection: close\r\n\r\n");
    assert!(served.raw(&request).await.contains("data-theme=\"dark\""));
}

#[tokio::test]
async fn an_open_page_is_told_what_has_changed_and_only_that() {
    let mut watch = watched();
    let served = serve(watch.picture()).await;
    let mut stream = TcpStream::connect(("127.0.0.1", served.port)).await.expect("it listens");
    let request = format!("GET /live/ HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", served.port);
    stream.write_all(request.as_bytes()).await.expect("it takes a request");
    let whole = until(&mut stream, "exhaust-bell").await;
    assert!(whole.contains("event: news") && whole.contains("All is well") && whole.contains("\"g0\""));
    // One gauge moves, by more than anything sound would make of it.
    let gauge = plant().gauge("raw-out").expect("it has this gauge");
    watch.take(Reading { gauge, value: 273.15 + 49.0, at: 890.0 });
    let scene = Scene { picture: watch.picture(), simulated: None, aboard: None, asked: 0 };
    served.scenes.send(Arc::new(scene)).expect("a page listens");
    let news = until(&mut stream, "°C over").await;
    assert!(news.contains("Raw out reads 49"), "the gauge that moved is not told");
    assert!(!news.contains("day tank level"), "a gauge that kept still is told again");
}

/// What comes in until there is this in it.
async fn until(stream: &mut TcpStream, mark: &str) -> String {
    let (mut text, mut buffer) = (String::new(), vec![0; 16 * 1024]);
    while !text.contains(mark) {
        let read = stream.read(&mut buffer).await.expect("the stream goes on");
        assert!(read > 0, "the stream ended after {text}");
        text += &String::from_utf8_lossy(&buffer[..read]);
    }
    text
}

#[tokio::test]
async fn a_reading_that_is_old_looks_old() {
    let mut watch = watched();
    watch.tick(900.0 + 240.0);
    let body = serve(watch.picture()).await.get("/").await;
    assert!(body.contains("gauge stale") && body.contains("4 min ago"), "an old reading looks fresh");
    assert!(!body.contains("gauge in\""), "an old reading counts as one in its band");
}

/// The same vessel an instant after her oil pressure was lost, and her oil lamp lit.
fn without_oil() -> Arc<Picture> {
    let mut watch = watched();
    let plant = plant();
    let gauge = |name: &str| plant.gauge(name).expect("it is there");
    for second in 0..6 {
        let at = 900.0 + f64::from(second);
        watch.take(Reading { gauge: gauge("oil-pressure"), value: 20_000.0, at });
        watch.take(Reading { gauge: gauge("oil-lamp"), value: 1.0, at });
        watch.tick(at);
    }
    watch.picture()
}

#[tokio::test]
async fn an_alert_is_told_on_every_page_and_seen_and_held_from_any() {
    let served = serve(without_oil()).await;
    for path in ["/", "/plant", "/causes", "/alerts", "/simulator", "/plant/margins", "/nowhere"] {
        let page = served.get(path).await;
        assert!(page.contains(r#"data-sounds="emergency alarm""#) && page.contains("New: oil-"), "{path}: {page}");
    }
    let now = served.get("/").await;
    assert_eq!(now.matches("<li id=\"alert-").count(), 1, "one place, one line");
    assert!(now.contains("emergency alarm</strong> <span class=\"shown\">new") && now.contains("15 min from now"));
    assert!(!now.contains("1 hour from now"), "an emergency alarm is not held for an hour");
    let see = "key=oil-lamp.sounds&key=oil-pressure.limit-1&deed=see";
    assert_eq!(status(&served.send("/alerts", see).await), 303);
    assert_eq!(status(&served.send("/alerts", see).await), 303, "a second phone does no harm");
    assert_eq!(status(&served.send("/alerts", "key=oil-lamp.sounds&deed=hold&minutes=15").await), 303);
    let keys = vec!["oil-lamp.sounds".to_string(), "oil-pressure.limit-1".to_string()];
    let until = 905.0 + 900.0;
    let asked = served.asked();
    assert_eq!(
        asked[..2],
        [Ask::Entry(Entry::Alert(Deed::See(keys.clone()))), Ask::Entry(Entry::Alert(Deed::See(keys)))]
    );
    assert_eq!(asked[2], Ask::Entry(Entry::Alert(Deed::Hold { keys: vec!["oil-lamp.sounds".into()], until })));
    for (body, why) in [
        ("key=oil-lamp.sounds&deed=hold&minutes=1e9", "15 minutes at most"),
        ("key=oil-lamp.sounds&deed=hold&minutes=0", "passed already"),
        ("key=gone&deed=see", "There is no alert “gone”"),
        ("deed=see", "No alert was named"),
        ("nonsense", "nothing that is done"),
        ("deed=take-out&of=coolant&reason=&days=1", "whoever comes next will ask"),
    ] {
        let answer = served.send("/alerts", body).await;
        assert!(status(&answer) == 400 && answer.contains(why), "{body}: {answer}");
    }
    assert_eq!(served.asked().len(), 3, "nothing of it was entered");
}

#[tokio::test]
async fn a_page_that_is_not_there_still_hears_from_the_program() {
    let served = serve(sound()).await;
    let page = served.get("/nowhere").await;
    let live = page.split("data-live=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("it listens");
    let mut stream = TcpStream::connect(("127.0.0.1", served.port)).await.expect("served");
    let request = format!("GET {live} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", served.port);
    stream.write_all(request.as_bytes()).await.expect("sent");
    assert!(until(&mut stream, "event: news").await.starts_with("HTTP/1.1 200"));
    let beat = until(&mut stream, "event: beat").await;
    assert!(beat.contains("data: 1"), "{beat}");
}
