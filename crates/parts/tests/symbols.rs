//! How every kind is drawn: inside its size, with its pipes at its outline.

use parts::catalogue::KINDS;
use parts::kind::{End, Kind, Stroke, Symbol, Way};

/// Everything that is wrong, at once; empty when all is well.
#[track_caller]
fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

fn all(wrong: impl Fn(&Kind, &Symbol) -> Vec<String>) {
    let found = KINDS.iter().flat_map(|kind| {
        let found = wrong(kind, &kind.symbol);
        found.into_iter().map(|line| format!("{}: {line}", kind.name)).collect::<Vec<_>>()
    });
    none(&found.collect::<Vec<_>>());
}

fn ends(way: &Way) -> impl Iterator<Item = (f64, f64)> {
    way.enter.into_iter().chain(way.leave)
}

fn port(end: End) -> Option<&'static str> {
    match end {
        End::Port(name) => Some(name),
        _ => None,
    }
}

/// The points that a path goes to; nothing if it uses what is not understood here.
fn points(path: &str) -> Option<Vec<(f64, f64)>> {
    let mut found: Vec<(f64, f64)> = Vec::new();
    let mut rest = path;
    while let Some(letter) = rest.chars().next() {
        rest = &rest[1..];
        let end = rest.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(rest.len());
        let numbers: Vec<f64> =
            rest[..end].split(' ').filter(|n| !n.is_empty()).map(|n| n.parse().ok()).collect::<Option<_>>()?;
        rest = &rest[end..];
        let last = found.last().copied();
        match (letter, numbers.as_slice()) {
            ('M' | 'L', [x, y]) | ('A', [_, _, _, _, _, x, y]) => found.push((*x, *y)),
            ('H', [x]) => found.push((*x, last?.1)),
            ('V', [y]) => found.push((last?.0, *y)),
            ('C', [a, b, c, d, x, y]) => found.extend([(*a, *b), (*c, *d), (*x, *y)]),
            ('Z', []) => {}
            _ => return None,
        }
    }
    Some(found)
}

#[test]
fn paths_are_read() {
    assert_eq!(points("M0 1H4V2.5L3 3Z"), Some(vec![(0.0, 1.0), (4.0, 1.0), (4.0, 2.5), (3.0, 3.0)]));
    assert_eq!(points("M0 0A2 2 0 0 1 4 5"), Some(vec![(0.0, 0.0), (4.0, 5.0)]));
    assert_eq!(points("m1 1"), None);
    assert_eq!(points("M1"), None);
}

#[test]
fn every_kind_is_drawn_within_its_size() {
    all(|_, symbol| {
        let (w, h) = symbol.size;
        let mut wrong = Vec::new();
        if !(8.0..=140.0).contains(&w) || !(8.0..=100.0).contains(&h) || symbol.strokes.is_empty() {
            wrong.push(format!("{w} by {h} with {} strokes", symbol.strokes.len()));
        }
        for stroke in symbol.strokes {
            let Some(points) = points(stroke.path()) else {
                wrong.push(format!("{:?} is no path of M L H V C A Z", stroke.path()));
                continue;
            };
            let outside = points.into_iter().filter(|(x, y)| !(0.0..=w).contains(x) || !(0.0..=h).contains(y));
            wrong.extend(outside.map(|point| format!("{point:?} is outside {w} by {h}")));
        }
        wrong
    });
}

#[test]
fn pipes_come_in_at_the_edge() {
    all(|_, symbol| {
        let (w, h) = symbol.size;
        let at = symbol.ways.iter().chain([&symbol.link]).flat_map(ends);
        let off = at.filter(|(x, y)| {
            let inside = (0.0..=w).contains(x) && (0.0..=h).contains(y);
            !(inside && (*x == 0.0 || *x == w || *y == 0.0 || *y == h))
        });
        off.map(|at| format!("a pipe at {at:?} is not at the edge of {w} by {h}")).collect()
    });
}

#[test]
fn pipes_from_above_and_below_stand_on_three_lines() {
    // The lines that a column has for them: pipes of two kinds in one column never run close beside each other.
    all(|_, symbol| {
        let middle = symbol.size.0 / 2.0;
        let upright = symbol.ways.iter().flat_map(ends).filter(|(x, _)| *x != 0.0 && *x != symbol.size.0);
        let off = upright.filter(|(x, _)| ![-10.0, 0.0, 10.0].contains(&(x - middle)));
        off.map(|(x, _)| format!("{} from the middle", x - middle)).collect()
    });
}

#[test]
fn every_passage_has_its_way() {
    all(|kind, symbol| {
        let mut wrong = Vec::new();
        if symbol.ways.len() != kind.passages.len() {
            wrong.push(format!("{} ways for {} passages", symbol.ways.len(), kind.passages.len()));
        }
        for (passage, way) in kind.passages.iter().zip(symbol.ways).filter(|(passage, _)| !passage.is_pool()) {
            // An end inside the part (a pool of its own) needs no pipe; one in the open has none.
            let pools: Vec<&str> = kind.passages.iter().filter(|p| p.is_pool()).filter_map(|p| port(p.from)).collect();
            for (end, at) in [(passage.from, way.enter), (passage.to, way.leave)] {
                // What leaves for the open by a port where another way comes in has its pipe already.
                let open = !matches!(passage.from, End::Port(_)) || !matches!(passage.to, End::Port(_));
                let mut others = kind.passages.iter().zip(symbol.ways).filter(|(other, _)| other.name != passage.name);
                let shared = open && others.any(|(other, way)| other.from == end && way.enter.is_some());
                let wanted = matches!(end, End::Port(name) if !pools.contains(&name)) && !shared;
                if wanted
                    && at.is_none()
                    && passage.carries.first().is_some_and(|c| c.name() != "air")
                    && !kind.symbol.block
                {
                    wrong.push(format!("{}: {end:?} has no place", passage.name));
                }
                if !matches!(end, End::Port(_)) && at.is_some() {
                    wrong.push(format!("{}: {end:?} is joined to nothing, and has a place", passage.name));
                }
            }
        }
        wrong
    });
}

#[test]
fn a_position_is_a_parameter_from_shut_to_open() {
    let shown = KINDS.iter().filter_map(|kind| Some((kind, kind.symbol.position?)));
    let wrong = shown.clone().filter(|(kind, name)| {
        let parameter = kind.parameters.iter().find(|parameter| parameter.name == *name);
        parameter.is_none_or(|parameter| parameter.range.0 > 0.01 || parameter.range.1 < 0.99)
    });
    none(&wrong.map(|(kind, name)| format!("{}: {name}", kind.name)).collect::<Vec<_>>());
    assert!(shown.count() > 0, "some kind can be shut");
}

#[test]
fn the_plainest_drawings_differ() {
    // Two kinds that look alike carry letters or are told apart by their place: pumps are pumps whatever they move.
    let alike = [["raw-pump", "coolant-pump", "oil-pump"].as_slice(), &["oil-cooler", "gear-cooler"]];
    let instruments = |kind: &&&Kind| kind.circuit.name() != "gauges";
    let kinds: Vec<&&Kind> = KINDS.iter().filter(instruments).collect();
    let mut wrong = Vec::new();
    for (nth, a) in kinds.iter().enumerate() {
        for b in kinds.iter().skip(nth + 1) {
            let same = a.symbol.strokes.iter().map(Stroke::path).eq(b.symbol.strokes.iter().map(Stroke::path));
            let meant = alike.iter().any(|group| group.contains(&a.name) && group.contains(&b.name));
            if same && !meant && a.symbol.letters == b.symbol.letters {
                wrong.push(format!("{} looks like {}", a.name, b.name));
            }
        }
    }
    none(&wrong);
}
